"""Making a backup while people work: the stored files first, then every row as of one moment."""

import json
import tomllib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

from django.conf import settings
from django.core.files.storage import default_storage
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder
from django.utils import timezone

from sites.backup.folder import (
    CHUNK_BYTES,
    FILES_NAME,
    Backups,
    LinesFile,
    Manifest,
    StoredFile,
    TablePart,
    ahead_of,
    damaged_parts,
    opened_for_writing,
    read_manifest,
    read_stored_files,
    sha256_on_disk,
    table_file,
    write_manifest,
)
from sites.backup.tables import (
    backed_up_models,
    column_types,
    file_columns,
    last_key,
    left_out_tables,
    named_files,
    table_lines,
)
from sites.documents.moment import repeatable_read
from sites.errors import BackupError

Report = Callable[[str], None]
FILES_A_LINE = 500
MOST_READINGS = 3


class UnreadableError(BackupError):
    """A stored file that storage does not give."""


@dataclass(frozen=True)
class MadeBackup:
    """A finished backup.

    missing: stored files that the record names and storage does not have; an earlier backup
        in the same folder may have them, then this one has them too.
    damaged: stored files that are not as the record has written down, and whether this backup has
        them as they were: where an earlier one has them so, it does.
    removed: those that were put in and taken away again while the backup was made.
    """

    folder: Path
    manifest: Manifest
    copied: int
    missing: list[str]
    damaged: dict[str, bool]
    removed: list[str]


class StoredFileCopies:
    """The stored files of one backup: copied unless an earlier backup has them as they are."""

    def __init__(self, backups: Backups, report: Report) -> None:
        self.backups, self.report = backups, report
        self.kept: dict[str, StoredFile] = {}
        self.missing: set[str] = set()
        self.copied: set[str] = set()
        self._earlier = _earlier_files(backups)

    def copy(self, names: Iterable[str]) -> None:
        """Copy each of `names` that is not copied yet; one that cannot be read is noted."""
        for name in sorted(set(names) - self.kept.keys()):
            try:
                self.kept[name] = self._unchanged(name) or self.copy_again(name)
            except UnreadableError:
                self.missing.add(name)
                # Its name is never given to another file: what an earlier backup has is it.
                if self._is_in_backup(name):
                    self.kept[name] = self._earlier[name]
            if len(self.kept) % FILES_A_LINE == 0:
                self.report(f"{len(self.kept)} stored files looked at, {len(self.copied)} copied")

    def put_right(self, recorded: dict[str, str]) -> dict[str, bool]:
        """Keep of each name the content whose SHA-256 is recorded of it, if the backup has it.

        Returns the names whose file is another, and whether they are kept as recorded.
        """
        damaged = {}
        for name, sha256 in sorted(recorded.items()):
            file, content = self.kept.get(name), self.backups.content(sha256)
            if file is not None and file.sha256 == sha256:
                continue
            is_there = sha256_on_disk(content) == sha256
            if is_there:
                # Without its time: the next backup looks at what is in storage again.
                self.kept[name] = StoredFile(name, sha256, content.stat().st_size, "")
            if file is not None and not (is_there and name in self.missing):
                damaged[name] = is_there
        return damaged

    def copy_again(self, name: str) -> StoredFile:
        """Copy a stored file whatever there was before.

        Raises UnreadableError, and BackupError for one that never stands still.
        """
        for _reading in range(MOST_READINGS):
            before = _state(name)
            sha256, length = self.backups.keep(_chunks(name))
            # Written anew while it was read, what was read may be half of each.
            if _state(name) == before:
                self.copied.add(sha256)
                return StoredFile(name, sha256, length, before[1])
        raise BackupError(f"{name} was written to each of the {MOST_READINGS} times it was read.")

    def _unchanged(self, name: str) -> StoredFile | None:
        there = self._earlier.get(name)
        if there is None or not there.modified or _state(name) != (there.bytes, there.modified):
            return None
        return there if self._is_in_backup(name) else None

    def _is_in_backup(self, name: str) -> bool:
        """Whether an earlier backup names the file, and its content is there in its length."""
        if name not in self._earlier:
            return False
        content = self.backups.content(self._earlier[name].sha256)
        return content.is_file() and content.stat().st_size == self._earlier[name].bytes


def make_backup(target: Path, report: Report, *, check_all: bool = True) -> MadeBackup:
    """Make a backup of the whole record in the folder `target` and check it from the disk.

    check_all: read every stored file of the backup again; otherwise only those copied now, and of
        the others see that they are there in their length.

    Raises BackupError in the user's words, and OSError where `target` cannot be written to; then
    nothing of it counts, and the backups made before stand.
    """
    with opened_for_writing(target) as backups, backups.new_backup() as folder:
        if ahead := ahead_of(timezone.now(), backups.finished()):
            raise BackupError(
                f"{ahead} A new backup would count as older than it. Set the clock right; where it "
                "is right, move that folder elsewhere."
            )
        copies = StoredFileCopies(backups, report)
        copies.copy(named_files())
        report("the stored files are copied; now the rows")
        with repeatable_read():
            made_at = timezone.now()
            parts, recorded = _write_tables(folder)
            migrations = _migrations()
        copies.copy(recorded)
        missing, removed = _explained(copies.missing & recorded.keys())
        damaged = copies.put_right(recorded)
        files = [copies.kept[name] for name in sorted(recorded.keys() & copies.kept.keys())]
        manifest = Manifest(
            made_at=made_at.isoformat(),
            program=_program_version(),
            migrations=migrations,
            engine=connection.vendor,
            tables=parts,
            left_out=left_out_tables(),
            files=len(files),
            files_bytes=sum(file.bytes for file in files),
            files_sha256=_write_files_list(folder, files),
            missing_files=sorted(recorded.keys() - copies.kept.keys()),
        )
        write_manifest(folder, manifest)
        report("all is written; now it is read again from the disk")
        _check(folder, files, copies, check_all)
        place = backups.finish(folder, made_at)
    return MadeBackup(place, manifest, len(copies.copied), missing, damaged, removed)


def _write_tables(folder: Path) -> tuple[list[TablePart], dict[str, str]]:
    """Write every table; return what the manifest says of each, and the named files' SHA-256."""
    parts: list[TablePart] = []
    recorded: dict[str, str] = {}
    for model in backed_up_models():
        table, columns = model._meta.db_table, file_columns(model)
        with LinesFile(table_file(folder, table)) as file:
            for line in table_lines(model):
                file.write(line)
                if columns:
                    row = json.loads(line)
                    recorded.update(
                        (row[name], row[sha256]) for name, sha256 in columns.items() if row[name]
                    )
        parts.append(
            TablePart(table, column_types(model), file.lines, last_key(model), file.sha256)
        )
    return parts, recorded


def _write_files_list(folder: Path, files: Iterable[StoredFile]) -> str:
    """Write the list of stored files and return its SHA-256."""
    with LinesFile(folder / FILES_NAME) as lines:
        for file in files:
            lines.write(json.dumps(asdict(file), ensure_ascii=False))
    return lines.sha256


def _explained(missing: set[str]) -> tuple[list[str], list[str]]:
    """Sort what is not in storage: what the record still names, and what was taken away since."""
    named_now = named_files() if missing else {}
    return sorted(missing & named_now.keys()), sorted(missing - named_now.keys())


def _check(
    folder: Path, files: Iterable[StoredFile], copies: StoredFileCopies, check_all: bool
) -> None:
    """Read the backup again from the disk. Raises BackupError naming what is not as written.

    A stored file that has been damaged in the backup since an earlier one is copied again.
    """
    damaged = [str(path) for path in damaged_parts(folder, read_manifest(folder))]
    for file in files:
        if not check_all and file.sha256 not in copies.copied:
            continue
        path = copies.backups.content(file.sha256)
        if sha256_on_disk(path) == file.sha256:
            continue
        copies.report(f"{path} is damaged in the backup; it is copied again")
        again = copies.copy_again(file.name)
        if again.sha256 != file.sha256 or sha256_on_disk(path) != file.sha256:
            damaged.append(f"{path} ({file.name})")
    if damaged:
        raise BackupError(f"The disk does not give back what was written: {', '.join(damaged)}.")


def _earlier_files(backups: Backups) -> dict[str, StoredFile]:
    """The stored files of the newest backup whose list is as it was written, by name."""
    for folder in backups.finished():
        try:
            manifest = read_manifest(folder)
        except BackupError:
            continue
        if sha256_on_disk(folder / FILES_NAME) == manifest.files_sha256:
            return {file.name: file for file in read_stored_files(folder)}
    return {}


def _state(name: str) -> tuple[int, str]:
    """Return a stored file's length and the time it was modified, "" where storage keeps none."""
    try:
        length = default_storage.size(name)
        try:
            return length, default_storage.get_modified_time(name).isoformat()
        except NotImplementedError:
            return length, ""
    except OSError as problem:
        raise UnreadableError(f"{name} cannot be read: {problem}") from problem


def _chunks(name: str) -> Iterator[bytes]:
    try:
        with default_storage.open(name, "rb") as file:
            yield from file.chunks(CHUNK_BYTES)
    except OSError as problem:
        raise UnreadableError(f"{name} cannot be read: {problem}") from problem


def _migrations() -> dict[str, str]:
    """Return the last migration of each app: which state of the program the tables are of."""
    applied = sorted(MigrationRecorder(connection).applied_migrations())
    return dict(applied)


def _program_version() -> str:
    project = Path(settings.BASE_DIR, "pyproject.toml").read_text("utf-8")
    return str(tomllib.loads(project)["project"]["version"])
