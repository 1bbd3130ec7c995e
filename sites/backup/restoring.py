"""Restoring a backup into an empty installation, and bringing back single files from one."""

import hashlib
from collections.abc import Callable, Iterable, Iterator
from itertools import zip_longest
from pathlib import Path
from typing import Any

from django.apps import apps
from django.core.files import File
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction
from django.db.models import Model
from django.db.models.query import QuerySet
from django.utils import timezone

from sites.backup.folder import (
    CHUNK_BYTES,
    Backups,
    Manifest,
    StoredFile,
    TablePart,
    ahead_of,
    damaged_parts,
    find_backups,
    read_manifest,
    read_stored_files,
    sha256_on_disk,
    table_file,
)
from sites.backup.tables import (
    FILLED_BY_MIGRATE,
    backed_up_models,
    column_types,
    continue_keys_after,
    insert_statement,
    is_same_row,
    named_files,
    row_values,
    table_lines,
)
from sites.errors import BackupError
from sites.rules.install import install_rules, remove_rules

Report = Callable[[str], None]
MOST_ROWS_AT_ONCE = 500
MOST_LETTERS_AT_ONCE = 4_000_000
MOST_NAMED = 20


def check_backup(source: Path) -> tuple[Path, Manifest]:
    """Read a backup whole, the newest where `source` holds several; return it and its manifest.

    Raises BackupError naming every part that is damaged or missing.
    """
    backups, found = find_backups(source)
    folder = found[0]
    manifest = read_manifest(folder)
    damaged = damaged_parts(folder, manifest)
    if not damaged:
        damaged = [
            backups.content(file.sha256)
            for file in read_stored_files(folder)
            if sha256_on_disk(backups.content(file.sha256)) != file.sha256
        ]
    if damaged:
        raise BackupError(
            f"The backup {folder} is damaged and cannot be restored. Missing or not as written: "
            f"{_named(damaged)}."
        )
    return folder, manifest


def restore(source: Path, report: Report) -> tuple[Path, Manifest]:
    """Restore a backup into this installation, which must be empty; return it and its manifest.

    The stored files come first and the rows last, in one transaction: until that is committed
    the installation counts as empty, and the same call may be made again.

    Raises BackupError in the user's words: an installation with records in it, a backup that is
    damaged or of another version, a row this database does not take; and a folder of backups whose
    newest is of a time still to come: that one must itself be named.
    """
    refuse_unless_empty()
    _refuse_one_of_the_future(source)
    report("the backup is read and checked")
    folder, manifest = check_backup(source)
    call_command("migrate", interactive=False, verbosity=0)
    refuse_other_columns(manifest)
    backups = Backups(folder.parent)
    for count, file in enumerate(read_stored_files(folder), start=1):
        put_into_storage(backups, file)
        if count % MOST_ROWS_AT_ONCE == 0:
            report(f"{count} of {manifest.files} stored files")
    report("the stored files are in place and checked; now the rows")
    restore_rows(folder, manifest)
    return folder, manifest


def bring_back_missing(source: Path) -> tuple[list[str], list[str]]:
    """Bring back each stored file that the record names and storage does not have.

    What is brought back has the SHA-256 that the record has written down of it: a copy that was
    damaged before it was backed up has not. Changes no row and no file that is there. Returns the
    names brought back, and those that no backup has.
    """
    backups, _folders = find_backups(source)
    brought: list[str] = []
    missing: list[str] = []
    for name, sha256 in sorted(named_files().items()):
        if default_storage.exists(name):
            continue
        content = backups.content(sha256)
        if sha256_on_disk(content) == sha256:
            put_into_storage(backups, StoredFile(name, sha256, content.stat().st_size, ""))
            brought.append(name)
        else:
            missing.append(name)
    return brought, missing


def _refuse_one_of_the_future(source: Path) -> None:
    _backups, found = find_backups(source)
    ahead = ahead_of(timezone.now(), found[:1])
    if ahead and found[0] != source.absolute():
        later = f" or {found[1]}" if found[1:] else ""
        raise BackupError(
            f"{ahead} It need not be the newest, and nothing was restored. Name the sub-folder "
            f"that you want: {found[0]}{later}."
        )


def refuse_unless_empty() -> None:
    """Raise BackupError, naming the tables with rows, unless the database holds no record yet."""
    there = set(connection.introspection.table_names())
    filled = [
        model._meta.db_table
        for model in backed_up_models()
        if model._meta.label not in FILLED_BY_MIGRATE
        and model._meta.db_table in there
        and _has_rows(model)
    ]
    if filled:
        raise BackupError(
            "This installation is not empty, and nothing in it was changed: there are rows in "
            f"{_named(filled)}. Restore into a new one: name another DATA_DIR or DATABASE_URL."
        )


def refuse_other_columns(manifest: Manifest) -> None:
    """Raise BackupError unless the backup has the tables and columns of this program's version."""
    theirs = {part.table: part.columns for part in manifest.tables}
    ours = {model._meta.db_table: column_types(model) for model in backed_up_models()}
    other = [t for t in sorted(theirs.keys() | ours.keys()) if theirs.get(t) != ours.get(t)]
    if other:
        made_by = ", ".join(f"{app} {name}" for app, name in manifest.migrations.items())
        raise BackupError(
            f"The backup is of another version of the program ({manifest.program}; {made_by}): "
            f"{_named(other)} had other columns. Restore it with that version, then bring the "
            "program up to date and run `manage.py migrate`."
        )


def put_into_storage(backups: Backups, file: StoredFile) -> None:
    """Store a file of the backup under its name, and read it back. Raises BackupError.

    One that is there as it should be is left. Another one, as the half that a killed restore
    leaves, goes only once storage has taken the right one under a name beside it.
    """
    beside = f"{file.name}.part"
    default_storage.delete(beside)
    if default_storage.exists(file.name):
        if _sha256_in_storage(file.name) == file.sha256:
            return
        _save(backups, file, beside)
        default_storage.delete(file.name)
    _save(backups, file, file.name)
    default_storage.delete(beside)


def _save(backups: Backups, file: StoredFile, name: str) -> None:
    """Store a file of the backup under a name that is free, whole or not at all."""
    given = name
    try:
        with backups.content(file.sha256).open("rb") as content:
            given = default_storage.save(name, File(content))
        if given != name or _sha256_in_storage(given) != file.sha256:
            raise BackupError(f"The storage of this installation did not take {name} as it is.")
    except BaseException:
        default_storage.delete(given)
        raise


@transaction.atomic
def restore_rows(folder: Path, manifest: Manifest) -> None:
    """Insert every row of the backup and see that the database gives each back as it was.

    The database's rules are off meanwhile: a restored row is no change, and its history is among
    the rows. All is one transaction, the rules included. Raises BackupError.
    """
    parts = {part.table: part for part in manifest.tables}
    models = backed_up_models()
    remove_rules()
    # Again, now that the tables are locked: somebody may have begun to work here meanwhile.
    refuse_unless_empty()
    for label in FILLED_BY_MIGRATE:
        QuerySet(apps.get_model(label))._raw_delete(connection.alias)
    for model in models:
        _insert_rows(model, table_file(folder, model._meta.db_table))
    connection.check_constraints()
    for model in models:
        part = parts[model._meta.db_table]
        if part.last_key is not None:
            continue_keys_after(model, part.last_key)
        _compare_rows(model, part, table_file(folder, part.table))
    install_rules()


def _insert_rows(model: type[Model], path: Path) -> None:
    statement = insert_statement(model)
    with connection.cursor() as cursor:
        for lines in _batches(path):
            try:
                with transaction.atomic():
                    cursor.executemany(statement, [row_values(model, line) for line in lines])
            except (DatabaseError, ValueError) as problem:
                raise _refused_row(model, statement, lines) from problem


def _refused_row(model: type[Model], statement: str, lines: Iterable[str]) -> BackupError:
    """Find the row that the database does not take, and put it into words."""
    for line in lines:
        try:
            with transaction.atomic(), connection.cursor() as cursor:
                cursor.execute(statement, row_values(model, line))
        except (DatabaseError, ValueError) as problem:
            why = " ".join(str(problem).split())
            return BackupError(
                f"{connection.display_name} does not take this row of {model._meta.db_table}: "
                f"{why}. The row: {line[:200]}"
            )
    return BackupError(f"{connection.display_name} does not take rows of {model._meta.db_table}.")


def _compare_rows(model: type[Model], part: TablePart, path: Path) -> None:
    """See that the table holds what its file does, row for row. Raises BackupError."""
    count = QuerySet(model).count()
    if count != part.rows:
        raise BackupError(f"{part.table} has {count} rows, and had {part.rows} in the backup.")
    for line, restored in zip_longest(_lines(path), table_lines(model)):
        if line is None or restored is None or not is_same_row(model, line, restored):
            raise BackupError(f"A row of {part.table} is not as in the backup: {restored or line}")


def _batches(path: Path) -> Iterator[list[str]]:
    """Yield a table's lines some hundreds at a time; fewer where they are long."""
    batch: list[str] = []
    letters = 0
    for line in _lines(path):
        batch.append(line)
        letters += len(line)
        if len(batch) == MOST_ROWS_AT_ONCE or letters > MOST_LETTERS_AT_ONCE:
            yield batch
            batch, letters = [], 0
    if batch:
        yield batch


def _lines(path: Path) -> Iterator[str]:
    # Only "\n" ends a line: a text may hold other signs that Python takes for one.
    with path.open(encoding="utf-8", newline="\n") as lines:
        for line in lines:
            yield line.removesuffix("\n")


def _has_rows(model: type[Model]) -> bool:
    """Asked without naming columns: the table may be of an older version of the program."""
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT 1 FROM {connection.ops.quote_name(model._meta.db_table)} LIMIT 1")
        return cursor.fetchone() is not None


def _sha256_in_storage(name: str) -> str:
    sha256 = hashlib.sha256()
    with default_storage.open(name, "rb") as file:
        for chunk in file.chunks(CHUNK_BYTES):
            sha256.update(chunk)
    return sha256.hexdigest()


def _named(things: Iterable[Any]) -> str:
    names = [str(thing) for thing in things]
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    return ", ".join(names[:MOST_NAMED]) + more
