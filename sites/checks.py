"""Checks run at start: what would otherwise fail months later, in the middle of somebody's work."""

import os
from collections.abc import Sequence
from pathlib import Path
from shlex import quote
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, Warning, register
from django.db import connections

from sites.rules.install import missing_rules

# A write-ahead log on a network share corrupts: SQLite's own documentation, "Write-Ahead Logging".
NETWORK_FILESYSTEMS = {"nfs", "nfs4", "cifs", "smb3", "9p", "fuse.sshfs", "afs"}
# The tag of the check that must come before those that open the database.
DATA_FOLDER = "data_folder"
PUTS_RULES_BACK = "Run `manage.py migrate`, which puts every rule back."


@register(Tags.database)
def rules_are_in_the_database(
    databases: Sequence[str] | None = None, **kwargs: Any
) -> list[CheckMessage]:
    """Warn of missing rules: an error would keep `migrate`, which puts them back, from running.

    `serve` does not start without them.
    """
    missing = [name for alias in databases or [] for name in missing_rules(alias)]
    if not missing:
        return []
    text = f"The database does not hold all its rules: {', '.join(missing)} missing."
    return [Warning(text, hint=PUTS_RULES_BACK, id="sites.W001")]


@register(Tags.database)
def sqlite_is_set_as_needed(
    databases: Sequence[str] | None = None, **kwargs: Any
) -> list[CheckMessage]:
    """Read the settings back from the database: an option at the wrong depth has no effect."""
    found: list[CheckMessage] = []
    for alias in databases or []:
        connection = connections[alias]
        if connection.vendor != "sqlite":
            continue
        with connection.cursor() as cursor:
            for pragma, wanted in (
                ("journal_mode", "wal"),
                ("foreign_keys", 1),
                ("busy_timeout", 20_000),
            ):
                cursor.execute(f"PRAGMA {pragma}")
                value = cursor.fetchone()[0]
                if value != wanted:
                    found.append(
                        Error(f"SQLite's {pragma} is {value}, not {wanted}.", id="sites.E002")
                    )
    return found


@register()
def database_is_on_this_machine(**kwargs: Any) -> list[CheckMessage]:
    name = settings.DATABASES["default"]["NAME"]
    if not _on_sqlite():
        return []
    kind = filesystem_of(Path(name).absolute())
    if kind not in NETWORK_FILESYSTEMS:
        return []
    return [
        Error(
            f"The SQLite database lies on a network share ({kind}), where it can be corrupted.",
            hint="Move DATA_DIR to a local disk, or set DATABASE_URL to a PostgreSQL server.",
            id="sites.E003",
        )
    ]


@register(DATA_FOLDER)
def data_folder_is_usable(**kwargs: Any) -> list[CheckMessage]:
    """Make DATA_DIR where it is missing, for its owner's eyes only, or say what to do instead."""
    folder = Path(settings.DATA_DIR).absolute()
    trouble = _trouble_with(folder) if _is_used(folder) else None
    if trouble is None:
        return []
    problem, remedy = trouble
    return [
        Error(
            f"DATA_DIR is {folder}. {problem}",
            hint=f"Run `{remedy}`, or set DATA_DIR to a folder of the user who runs this.",
            id="sites.E004",
        )
    ]


def _is_used(folder: Path) -> bool:
    """Whether the database or the stored files lie in it."""
    return _on_sqlite() or Path(settings.MEDIA_ROOT).absolute().is_relative_to(folder)


def _on_sqlite() -> bool:
    return "sqlite" in settings.DATABASES["default"]["ENGINE"]


def _trouble_with(folder: Path) -> tuple[str, str] | None:
    """Make the folder, and return None; or return what is wrong and the command that mends it."""
    path, user = quote(str(folder)), f"{os.getuid()}:{os.getgid()}"
    make = f"sudo mkdir -p {path} && sudo chown {user} {path} && sudo chmod 700 {path}"
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except (FileExistsError, NotADirectoryError):
        file = next(each for each in (folder, *folder.parents) if os.path.lexists(each))
        return f"{file} is not a folder.", f"mv {quote(str(file))} {quote(f'{file}.old')}"
    except PermissionError:
        return "The user who runs this may not make it.", make
    except OSError as problem:
        return f"It cannot be made: {problem.strerror}.", make
    # SQLite writes files of its own beside the database.
    name = Path(settings.DATABASES["default"]["NAME"]).name
    files = folder.glob(f"{name}*") if _on_sqlite() else ()
    if os.access(folder, os.W_OK | os.X_OK) and all(os.access(each, os.W_OK) for each in files):
        return None
    return "The user who runs this may not write to it.", f"sudo chown -R {user} {path}"


def filesystem_of(path: Path, mounts: str = "/proc/self/mounts") -> str:
    """Return the type of the file system `path` is on, or '' where the system does not tell."""
    try:
        lines = Path(mounts).read_text().splitlines()
    except OSError:
        return ""
    points = [(fields[1], fields[2]) for fields in (line.split() for line in lines)]
    above = [(point, kind) for point, kind in points if path.is_relative_to(point)]
    return max(above, key=lambda mount: len(mount[0]), default=("", ""))[1]
