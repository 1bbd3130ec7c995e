"""Two records compared by plain SQL and their files' bytes, with nothing of the program's own."""

import datetime as dt
import hashlib
import json
import re
from decimal import Decimal
from pathlib import Path
from typing import Any
from uuid import UUID

# Which migrations ran, who is signed in, and the counters of failed sign-ins are no part of it.
NOT_THE_RECORD = {"django_migrations", "django_session", "saddlebar_cache", "sqlite_sequence"}


def record(installation: Any) -> dict[str, dict[Any, dict[str, Any]]]:
    """Return every row of a database: table by name, row by key, value by column."""
    raw = installation.raw()
    try:
        return {table: rows(raw, table, kinds) for table, kinds in tables(raw).items()}
    finally:
        raw.close()


def files(folder: Path) -> dict[str, str]:
    """Return the SHA-256 of every file under a folder, by its path."""
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file()
    }


def differences(one: dict, other: dict) -> list[str]:
    """Return what differs between two records, one line a row: none, if they are equal."""
    found = [f"table {table}" for table in one.keys() ^ other.keys()]
    for table in one.keys() & other.keys():
        keys = one[table].keys() | other[table].keys()
        found += [
            f"{table} {key}: {one[table].get(key)} / {other[table].get(key)}"
            for key in keys
            if one[table].get(key) != other[table].get(key)
        ]
    return found


def counts(installation: Any) -> dict[str, int]:
    """Return the number of rows of each table that has any."""
    return {table: len(found) for table, found in record(installation).items() if found}


def tables(raw: Any) -> dict[str, dict[str, str]]:
    """Return the tables of the record, each with its columns and what kind of value each holds."""
    if hasattr(raw, "pgconn"):
        columns = raw.execute(
            "SELECT table_name, column_name, data_type FROM information_schema.columns "
            "WHERE table_schema = current_schema()"
        ).fetchall()
    else:
        columns = [
            (table, column, "json" if f'JSON_VALID("{column}")' in made else kind)
            for table, made in raw.execute(
                "SELECT name, sql FROM sqlite_master WHERE type = 'table'"
            ).fetchall()
            for _number, column, kind, *_rest in raw.execute(f"PRAGMA table_xinfo('{table}')")
        ]
    found: dict[str, dict[str, str]] = {}
    for table, column, kind in columns:
        if table not in NOT_THE_RECORD:
            found.setdefault(table, {})[column] = kind.lower()
    return found


def computed_columns(raw: Any) -> set[str]:
    """Return the columns that the database computes from others, as table.column."""
    if hasattr(raw, "pgconn"):
        found = raw.execute(
            "SELECT table_name, column_name FROM information_schema.columns "
            "WHERE table_schema = current_schema() AND is_generated = 'ALWAYS'"
        ).fetchall()
    else:
        found = raw.execute(
            "SELECT m.name, c.name FROM sqlite_master m, pragma_table_xinfo(m.name) c "
            "WHERE m.type = 'table' AND c.hidden IN (2, 3)"
        ).fetchall()
    return {f"{table}.{column}" for table, column in found}


def rows(raw: Any, table: str, kinds: dict[str, str]) -> dict[Any, dict[str, Any]]:
    names = sorted(kinds)
    wanted = ", ".join(
        f'"{name}"::text' if kinds[name] == "jsonb" else f'"{name}"' for name in names
    )
    found = {}
    for values in raw.execute(f'SELECT {wanted} FROM "{table}"').fetchall():
        row = {name: plain(kinds[name], value) for name, value in zip(names, values, strict=True)}
        found[row["id"]] = row
    return found


def plain(kind: str, value: Any) -> Any:
    """Return a value in the one form that both engines' values can be brought to."""
    if value is None:
        return None
    if kind in ("uuid", "char(32)"):
        return UUID(str(value))
    if kind in ("json", "jsonb"):
        # In a list, so that JSON's null is not taken for no value at all.
        return [json.loads(value, parse_float=Decimal)]
    if kind in ("decimal", "numeric"):
        return Decimal(str(value))
    if kind in ("bool", "boolean"):
        return bool(value)
    if re.match("datetime|timestamp", kind):
        moment = dt.datetime.fromisoformat(str(value))
        return moment.replace(tzinfo=moment.tzinfo or dt.UTC).astimezone(dt.UTC)
    return str(value) if kind == "date" else value


def parts_not_as_written(backup: Path) -> list[str]:
    """Return what in a backup's folder is not as its manifest says."""
    manifest_text = (backup / "manifest.json").read_bytes()
    manifest = json.loads(manifest_text)
    digests = {backup / f"tables/{part['table']}.jsonl": part for part in manifest["tables"]}
    found = [str(path) for path, part in digests.items() if sha256(path) != part["sha256"]]
    for line in (backup / "files.jsonl").read_text("utf-8").split("\n")[:-1]:
        digest = json.loads(line)["sha256"]
        content = backup.parent / "files" / digest[:2] / digest
        found += [] if sha256(content) == digest else [str(content)]
    for name, digest in (
        ("files.jsonl", manifest["files_sha256"]),
        ("manifest.json", (backup / "manifest.sha256").read_text().split()[0]),
    ):
        found += [] if sha256(backup / name) == digest else [name]
    return found


def sha256(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else ""
