"""Checks run at start: what would otherwise fail months later, in the middle of somebody's work."""

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, register
from django.db import connections

from sites.rules.install import missing_rules

# A write-ahead log on a network share corrupts: SQLite's own documentation, "Write-Ahead Logging".
NETWORK_FILESYSTEMS = {"nfs", "nfs4", "cifs", "smb3", "9p", "fuse.sshfs", "afs"}


@register(Tags.database)
def rules_are_in_the_database(
    databases: list[str] | None = None, **kwargs: Any
) -> list[CheckMessage]:
    return [
        Error(
            f"The database does not hold the rule {name}.",
            hint="Run `manage.py migrate`, which puts every rule back.",
            id="sites.E001",
        )
        for alias in databases or []
        for name in missing_rules(alias)
    ]


@register(Tags.database)
def sqlite_is_set_as_needed(
    databases: list[str] | None = None, **kwargs: Any
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
    if "sqlite" not in settings.DATABASES["default"]["ENGINE"]:
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


def filesystem_of(path: Path, mounts: str = "/proc/self/mounts") -> str:
    """Return the type of the file system `path` is on, or '' where the system does not tell."""
    try:
        lines = Path(mounts).read_text().splitlines()
    except OSError:
        return ""
    points = [(fields[1], fields[2]) for fields in (line.split() for line in lines)]
    above = [(point, kind) for point, kind in points if path.is_relative_to(point)]
    return max(above, key=lambda mount: len(mount[0]), default=("", ""))[1]
