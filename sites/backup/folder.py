"""The folder of backups: where each part lies, and how a half of one never counts as one."""

import datetime as dt
import fcntl
import hashlib
import json
import os
import re
import shutil
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any
from uuid import uuid4

from sites.errors import BackupError

FORMAT = "saddlebar/backup/1"
CHUNK_BYTES = 1024 * 1024
READ_ME_NAME = "READ-ME.txt"
MANIFEST_NAME = "manifest.json"
DIGEST_NAME = "manifest.sha256"
FILES_NAME = "files.jsonl"
UNFINISHED = "unfinished-"
STAMP = "%Y-%m-%dT%H-%M-%SZ"
FINISHED = re.compile(r"(\d{4}-\d\d-\d\dT\d\d-\d\d-\d\dZ)(?:-(\d+))?")

READ_ME = """\
Backups of Saddlebar, the restoration records of church and memorial windows.

Each folder named for a day and time (in UTC) is one whole backup: the record as it stood at that
moment. A folder that begins with "unfinished-" is not one, and goes when the next is made.

  files/                    the stored files (photographs, documents, plans), each named for the
                            SHA-256 of its bytes and kept once, however many backups name it
  <day and time>/
    manifest.json           what is in this backup: when and by which version it was made, every
                            table with its columns, number of rows and SHA-256, what was left out
    manifest.sha256         the SHA-256 of manifest.json, as `sha256sum --check` reads it
    files.jsonl             the stored files: name in the record, SHA-256, length in bytes
    tables/<table>.jsonl    the rows of a table, one a line, in the order of its key

Lines are JSON in UTF-8. Of the types in the manifest: uuid, decimal, date (2026-05-12), instant
(UTC, to the microsecond), time, duration and base64 (bytes) are written as text; json is a text
that is itself JSON; "file name" is a name in files.jsonl. Columns that end in _id name a row of
another table by its key. A column the database computes from others is left out.

Without the program, a backup is checked from inside its folder by
    sha256sum --check manifest.sha256
then each table against the manifest, and the stored files from inside files/ by
    find . -type f ! -name '*.part' | sed 's|.*/\\(.*\\)|\\1  &|' | sha256sum --check --quiet

It holds names, addresses and password digests: keep it where only those may read who may read the
record. The secret key of the installation is not in it.
"""


@dataclass(frozen=True)
class TablePart:
    """One table of a backup. last_key: the last number given as a key, None without such keys."""

    table: str
    columns: dict[str, str]
    rows: int
    last_key: int | None
    sha256: str


@dataclass(frozen=True)
class Manifest:
    """What is in a backup. `missing_files` are named by the record and were not in storage."""

    made_at: str
    program: str
    migrations: dict[str, str]
    engine: str
    tables: list[TablePart]
    left_out: dict[str, str]
    files: int
    files_bytes: int
    files_sha256: str
    missing_files: list[str]

    @property
    def rows(self) -> int:
        return sum(part.rows for part in self.tables)


@dataclass(frozen=True)
class StoredFile:
    """A stored file: its name in the record, and the digest it lies under in the backup.

    modified: the storage's own time of it, by which the next backup knows it unchanged; may be "".
    """

    name: str
    sha256: str
    bytes: int
    modified: str


class LinesFile:
    """A file written line by line, which knows its digest and how many lines it has."""

    def __init__(self, path: Path) -> None:
        self._file = path.open("xb")
        self._sha256 = hashlib.sha256()
        self.lines = 0

    def __enter__(self) -> "LinesFile":
        return self

    def write(self, line: str) -> None:
        data = line.encode() + b"\n"
        self._sha256.update(data)
        self._file.write(data)
        self.lines += 1

    def __exit__(self, *error: Any) -> None:
        with self._file:
            flush_to_disk(self._file)

    @property
    def sha256(self) -> str:
        return self._sha256.hexdigest()


class Backups:
    """A folder of backups."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.files = root / "files"

    def finished(self) -> list[Path]:
        """Return the folders of the whole backups, newest first."""
        found = [(FINISHED.fullmatch(path.name), path) for path in self.root.iterdir()]
        named = [(match[1], int(match[2] or 1), path) for match, path in found if match]
        return [path for _moment, _count, path in sorted(named, reverse=True)]

    def content(self, sha256: str) -> Path:
        """Return where the stored file of this digest lies."""
        return self.files / sha256[:2] / sha256

    def keep(self, chunks: Iterable[bytes]) -> tuple[str, int]:
        """Keep a stored file under its digest, whole or not at all; return digest and length.

        One that is there already is written over: by the same bytes, or in place of damaged ones.
        """
        part = self.files / f"{uuid4().hex}.part"
        sha256, length = hashlib.sha256(), 0
        try:
            with part.open("xb") as file:
                for chunk in chunks:
                    file.write(chunk)
                    sha256.update(chunk)
                    length += len(chunk)
                flush_to_disk(file)
            place = self.content(sha256.hexdigest())
            place.parent.mkdir(exist_ok=True)
            os.replace(part, place)
        except BaseException:
            part.unlink(missing_ok=True)
            raise
        return sha256.hexdigest(), length

    @contextmanager
    def new_backup(self) -> Iterator[Path]:
        """Give a folder for a new backup, which goes again unless `finish` was reached."""
        folder = self.root / f"{UNFINISHED}{uuid4().hex}"
        # Not left to the umask: it holds password digests.
        folder.mkdir(mode=0o700)
        (folder / "tables").mkdir()
        try:
            yield folder
        finally:
            shutil.rmtree(folder, ignore_errors=True)

    def finish(self, folder: Path, made_at: dt.datetime) -> Path:
        """Give a backup that was checked its name, at one stroke, and return its place."""
        for path in (*self.files.iterdir(), self.files, folder / "tables", folder):
            flush_folder(path)
        stamp = made_at.astimezone(dt.UTC).strftime(STAMP)
        place, count = self.root / stamp, 1
        while place.exists():
            count += 1
            place = self.root / f"{stamp}-{count}"
        folder.rename(place)
        flush_folder(self.root)
        return place


@contextmanager
def opened_for_writing(root: Path) -> Iterator[Backups]:
    """Give the folder of backups at `root`, made if need be, to this process alone.

    What a backup that was killed has left is cleared away. Raises BackupError for a folder that
    holds something else, or in which another backup is being made.
    """
    root.mkdir(mode=0o700, parents=True, exist_ok=True)
    marker = root / READ_ME_NAME
    if not marker.exists() and any(root.iterdir()):
        raise BackupError(f"{root} holds something else than backups. Name a folder of its own.")
    if not marker.exists() or marker.read_text("utf-8") != READ_ME:
        marker.write_text(READ_ME, "utf-8")
    backups = Backups(root)
    backups.files.mkdir(mode=0o700, exist_ok=True)
    descriptor = os.open(root, os.O_RDONLY)
    try:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as taken:
            raise BackupError(f"Another backup is being made in {root}.") from taken
        for folder in root.glob(f"{UNFINISHED}*"):
            shutil.rmtree(folder)
        for part in backups.files.glob("*.part"):
            part.unlink()
        yield backups
    finally:
        os.close(descriptor)


def find_backups(source: Path) -> tuple[Backups, list[Path]]:
    """Return the backups that `source` names, newest first: all of a folder of them, or one.

    Raises BackupError where there is none.
    """
    source = source.absolute()
    if FINISHED.fullmatch(source.name) and source.is_dir():
        return Backups(source.parent), [source]
    backups = Backups(source)
    found = backups.finished() if (source / READ_ME_NAME).is_file() else []
    if not found:
        raise BackupError(f"There is no finished backup in {source}.")
    return backups, found


def ahead_of(now: dt.datetime, backups: Iterable[Path]) -> str:
    """Return in words which backup says that it was made after `now`; "" where none does.

    The clock was ahead then, or is behind now: by their names that backup would count as newer
    than all that are made until its day comes.
    """
    for folder in backups:
        named = FINISHED.fullmatch(folder.name)
        made_at = dt.datetime.strptime(named[1], STAMP).replace(tzinfo=dt.UTC) if named else now
        if made_at > now:
            return (
                f"The backup {folder} says that it was made at {made_at:%Y-%m-%d %H:%M:%S} UTC, "
                f"and it is {now.astimezone(dt.UTC):%Y-%m-%d %H:%M:%S} UTC by this machine's clock."
            )
    return ""


def write_manifest(folder: Path, manifest: Manifest) -> None:
    data = json.dumps({"format": FORMAT, **asdict(manifest)}, ensure_ascii=False, indent=1).encode()
    digest = f"{hashlib.sha256(data).hexdigest()}  {MANIFEST_NAME}\n"
    for name, content in ((MANIFEST_NAME, data), (DIGEST_NAME, digest.encode())):
        with (folder / name).open("xb") as file:
            file.write(content)
            flush_to_disk(file)


def read_manifest(folder: Path) -> Manifest:
    """Return what a backup says of itself. Raises BackupError where it is damaged or too new."""
    path = folder / MANIFEST_NAME
    try:
        data, digest = path.read_bytes(), (folder / DIGEST_NAME).read_text("ascii", "replace")
    except OSError as problem:
        raise BackupError(f"{problem.filename} cannot be read: {problem.strerror}.") from problem
    if digest.split()[:1] != [hashlib.sha256(data).hexdigest()]:
        raise BackupError(f"{path} is damaged: it is not as it was written.")
    values = json.loads(data)
    if values.pop("format") != FORMAT:
        raise BackupError(f"{path} was written by another version of the program.")
    tables = [TablePart(**part) for part in values.pop("tables")]
    return Manifest(tables=tables, **values)


def read_stored_files(folder: Path) -> list[StoredFile]:
    with (folder / FILES_NAME).open(encoding="utf-8", newline="\n") as lines:
        return [StoredFile(**json.loads(line)) for line in lines]


def table_file(folder: Path, table: str) -> Path:
    return folder / "tables" / f"{table}.jsonl"


def damaged_parts(folder: Path, manifest: Manifest) -> list[Path]:
    """Return the tables and the list of stored files that are not as the manifest says."""
    parts = [(table_file(folder, part.table), part.sha256) for part in manifest.tables]
    parts.append((folder / FILES_NAME, manifest.files_sha256))
    return [path for path, sha256 in parts if sha256_on_disk(path) != sha256]


def sha256_on_disk(path: Path) -> str:
    """Return the SHA-256 of a file as the disk has it, or "" where there is none to be read."""
    try:
        with path.open("rb") as file:
            # Not from the copy in memory that writing it has left behind.
            os.posix_fadvise(file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return ""


def flush_to_disk(file: Any) -> None:
    file.flush()
    os.fsync(file.fileno())


def flush_folder(folder: Path) -> None:
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
