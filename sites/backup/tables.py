"""The database's rows as lines of JSON that no database engine is needed to read."""

import base64
import datetime as dt
import json
from collections.abc import Iterator
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.apps import apps
from django.db import connection
from django.db.models import AutoField, CharField, F, Field, FileField, JSONField, Model, TextField
from django.db.models.functions import Cast, Collate
from django.db.models.query import QuerySet
from django.utils.duration import duration_string

from sites.errors import BackupError

LEFT_OUT = {"sessions.Session": "who is signed in: everybody signs in again after a restore"}
# `migrate` fills these itself, so that an installation with nothing else in it counts as empty.
FILLED_BY_MIGRATE = ("contenttypes.ContentType", "auth.Permission")
ROWS_AT_ONCE = 100

TYPE_NAMES = {
    "AutoField": "integer",
    "BigAutoField": "integer",
    "BigIntegerField": "integer",
    "IntegerField": "integer",
    "PositiveBigIntegerField": "integer",
    "PositiveIntegerField": "integer",
    "PositiveSmallIntegerField": "integer",
    "SmallAutoField": "integer",
    "SmallIntegerField": "integer",
    "BinaryField": "base64",
    "BooleanField": "boolean",
    "CharField": "text",
    "FileField": "file name",
    "SlugField": "text",
    "TextField": "text",
    "DateField": "date",
    "DateTimeField": "instant",
    "TimeField": "time",
    "DurationField": "duration",
    "DecimalField": "decimal",
    "FloatField": "number",
    "JSONField": "json",
    "UUIDField": "uuid",
}


def backed_up_models() -> list[type[Model]]:
    """Return the model of every table that is in a backup, link tables included, by table name."""
    managed = [
        model
        for model in apps.get_models(include_auto_created=True)
        if model._meta.managed and not model._meta.proxy and model._meta.label not in LEFT_OUT
    ]
    return sorted(managed, key=lambda model: model._meta.db_table)


def left_out_tables() -> dict[str, str]:
    """Return the tables that are in no backup, each with the reason."""
    return {apps.get_model(label)._meta.db_table: why for label, why in LEFT_OUT.items()}


def stored_columns(model: type[Model]) -> dict[str, Field]:
    """Return a table's own columns with their fields, without those the database computes."""
    return {
        str(field.column): field
        for field in model._meta.local_concrete_fields
        if not field.generated
    }


def column_types(model: type[Model]) -> dict[str, str]:
    """Return each column of a table with its type in the words of the backup.

    Raises BackupError for a column of a type that has no neutral form yet.
    """
    types = {}
    for column, field in stored_columns(model).items():
        kind = _value_field(field).get_internal_type()
        if kind not in TYPE_NAMES:
            raise BackupError(
                f"The column {model._meta.db_table}.{column} is a {kind}, which a backup "
                "cannot hold yet: give it a neutral form in sites/backup/tables.py."
            )
        types[column] = TYPE_NAMES[kind]
    return types


def table_lines(model: type[Model]) -> Iterator[str]:
    """Yield every row of a table as one line of JSON, in the order of its key.

    The order is the same on every engine: a key that is text is sorted by its code points.
    """
    columns = stored_columns(model)
    # JSON as the database keeps it, to the last digit: read into Python, 1.50 would become 1.5.
    wanted = [
        Cast(F(field.attname), TextField()) if isinstance(field, JSONField) else field.attname
        for field in columns.values()
    ]
    rows: Any = QuerySet(model).order_by(_key_order(model)).values_list(*wanted)
    for row in rows.iterator(chunk_size=ROWS_AT_ONCE):
        values = dict(zip(columns, row, strict=True))
        yield json.dumps(values, ensure_ascii=False, default=_plain)


def file_columns(model: type[Model]) -> dict[str, str]:
    """Return the columns that name a stored file, each with the column of the file's SHA-256."""
    columns = stored_columns(model)
    files = [column for column, field in columns.items() if isinstance(field, FileField)]
    return {column: own if (own := f"{column}_sha256") in columns else "sha256" for column in files}


def named_files() -> dict[str, str]:
    """Return every stored file that a row of the database names now, with its SHA-256 there."""
    return {
        name: sha256
        for model in backed_up_models()
        for columns in file_columns(model).items()
        for name, sha256 in QuerySet(model).values_list(*columns).iterator()
        if name
    }


def row_values(model: type[Model], line: str) -> list[Any]:
    """Return a line's values as this installation's database takes them, column by column."""
    row = json.loads(line)
    return [
        row[column]
        if isinstance(field, JSONField)
        else field.get_db_prep_save(_python_value(field, row[column]), connection)
        for column, field in stored_columns(model).items()
    ]


def insert_statement(model: type[Model]) -> str:
    """Return the SQL that takes what `row_values` returns."""
    quote = connection.ops.quote_name
    columns = stored_columns(model)
    names = ", ".join(map(quote, columns))
    is_postgresql = connection.vendor == "postgresql"
    places = ", ".join(
        "%s::jsonb" if is_postgresql and isinstance(field, JSONField) else "%s"
        for field in columns.values()
    )
    return f"INSERT INTO {quote(model._meta.db_table)} ({names}) VALUES ({places})"


def is_same_row(model: type[Model], line: str, other: str) -> bool:
    """Whether two lines say the same; JSON may differ in spaces, order of keys and 1.50 for 1.5."""
    return line == other or _comparable(model, line) == _comparable(model, other)


def last_key(model: type[Model]) -> int | None:
    """Return the last number that was given as a key; None for a table whose keys are no numbers.

    A number is not given again though its row was deleted: the history names rows by it.
    """
    key = model._meta.pk
    if not isinstance(key, AutoField):
        return None
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute(
                "SELECT seq FROM sqlite_sequence WHERE name = %s", [model._meta.db_table]
            )
        else:
            sequence = _sequence(model, cursor)
            cursor.execute(f"SELECT last_value FROM {sequence} WHERE is_called")
        found = cursor.fetchone()
    greatest = QuerySet(model).order_by("-pk").values_list("pk", flat=True).first()
    return max(found[0] if found else 0, greatest or 0)


def continue_keys_after(model: type[Model], last: int) -> None:
    """Let the next new row of a table get a number above `last`."""
    table = model._meta.db_table
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("DELETE FROM sqlite_sequence WHERE name = %s", [table])
            cursor.execute("INSERT INTO sqlite_sequence (name, seq) VALUES (%s, %s)", [table, last])
        else:
            cursor.execute(
                "SELECT setval(%s, %s, %s)", [_sequence(model, cursor), max(last, 1), last > 0]
            )


def _sequence(model: type[Model], cursor: Any) -> str:
    quoted = connection.ops.quote_name(model._meta.db_table)
    cursor.execute("SELECT pg_get_serial_sequence(%s, %s)", [quoted, model._meta.pk.column])
    return str(cursor.fetchone()[0])


def _value_field(field: Any) -> Any:
    """The field that decides a column's type: of a foreign key, the key it points to."""
    while field.is_relation:
        field = field.target_field
    return field


def _key_order(model: type[Model]) -> Any:
    key = model._meta.pk
    if connection.vendor == "postgresql" and isinstance(_value_field(key), CharField):
        return Collate(F(key.attname), "C")
    return "pk"


def _plain(value: Any) -> str:
    """Return a value that JSON has no form for as text. Raises TypeError for one not known."""
    if isinstance(value, UUID):
        return str(value)
    if isinstance(value, Decimal):
        return format(value, "f")
    if isinstance(value, dt.datetime):
        return value.astimezone(dt.UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")
    if isinstance(value, dt.date | dt.time):
        return value.isoformat()
    if isinstance(value, dt.timedelta):
        return str(duration_string(value))
    if isinstance(value, bytes | memoryview):
        return base64.b64encode(value).decode("ascii")
    raise TypeError(f"a backup has no form for {value!r}")


def _python_value(field: Field, value: Any) -> Any:
    return None if value is None else field.to_python(value)


def _comparable(model: type[Model], line: str) -> dict[str, Any]:
    row: dict[str, Any] = json.loads(line)
    for column, field in stored_columns(model).items():
        if isinstance(field, JSONField) and row[column] is not None:
            row[column] = [json.loads(row[column], parse_float=Decimal)]
    return row
