"""The rules as SQLite triggers."""

from typing import Any

from sites.rules.definitions import (
    HISTORY_TABLE,
    Frozen,
    Refusal,
    Rules,
    Tracked,
    Trigger,
    trigger_name,
)

NOW = "strftime('%Y-%m-%d %H:%M:%f', 'now')"


def triggers(rules: Rules, cursor: Any) -> list[Trigger]:
    """Return every trigger of `rules`. `cursor` is only read from, for columns and keys."""
    made = [t for rule in rules.frozen for t in _frozen(rule, _unique_columns(rule.table, cursor))]
    made += [t for rule in rules.tracked for t in _tracked(rule, _columns(rule.table, cursor))]
    made += [t for rule in rules.refusals for t in _refusal(rule)]
    return made


def installed(cursor: Any) -> dict[str, str]:
    """Return the table of every trigger there is, by the trigger's name."""
    cursor.execute("SELECT name, tbl_name FROM sqlite_master WHERE type = 'trigger'")
    return dict(cursor.fetchall())


def definitions(cursor: Any) -> dict[str, str]:
    """Return the text of every trigger there is, by name, as `definition` gives it."""
    cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
    return dict(cursor.fetchall())


def definition(trigger: Trigger) -> str:
    """Return what tells a trigger from another: SQLite keeps the statement that made it."""
    return trigger.create[0]


def drop(name: str, table: str) -> list[str]:
    return [f'DROP TRIGGER IF EXISTS "{name}"']


def _frozen(rule: Frozen, unique: list[list[str]]) -> list[Trigger]:
    refuse = f"SELECT RAISE(ABORT, '{rule.what} once issued cannot be changed or deleted')"
    made = [
        _trigger(rule.table, f"no_{deed.lower()}", f"BEFORE {deed}", "", refuse)
        for deed in ("UPDATE", "DELETE")
    ]
    # INSERT OR REPLACE deletes without firing DELETE triggers: refuse it at the door.
    same = " OR ".join(
        "(" + " AND ".join(f'"{column}" = NEW."{column}"' for column in columns) + ")"
        for columns in unique
    )
    replaces = f'WHEN EXISTS (SELECT 1 FROM "{rule.table}" WHERE {same})'
    return [*made, _trigger(rule.table, "no_replace", "BEFORE INSERT", replaces, refuse)]


def _tracked(rule: Tracked, columns: list[str]) -> list[Trigger]:
    pairs = ", ".join(
        f"'{column}', OLD.\"{column}\"" for column in columns if column not in rule.private
    )
    return [
        _trigger(
            rule.table,
            f"history_{deed.lower()}",
            f"AFTER {deed}",
            "",
            f'INSERT INTO {HISTORY_TABLE} ("table", row, deed, before, actor, at) VALUES '
            f"('{rule.table}', OLD.id, '{deed}', json_object({pairs}), saddlebar_actor(), {NOW})",
        )
        for deed in ("UPDATE", "DELETE")
    ]


def _refusal(rule: Refusal) -> list[Trigger]:
    refuse = f"SELECT RAISE(ABORT, '{rule.message}')"
    return [
        _trigger(
            rule.table, f"{rule.name}_{verb[0]}", f"BEFORE {verb}", f"WHEN {rule.when}", refuse
        )
        for verb in ("INSERT", "UPDATE")
    ]


def _trigger(table: str, purpose: str, moment: str, when: str, body: str) -> Trigger:
    name = trigger_name(table, purpose.lower())
    statement = (
        f'CREATE TRIGGER "{name}" {moment} ON "{table}" FOR EACH ROW {when} BEGIN {body}; END'
    )
    return Trigger(name, table, (statement,))


def _columns(table: str, cursor: Any) -> list[str]:
    # table_xinfo also lists generated columns (hidden 2 or 3), which need no copy.
    cursor.execute(f'PRAGMA table_xinfo("{table}")')
    return [row[1] for row in cursor.fetchall() if row[6] == 0]


def _unique_columns(table: str, cursor: Any) -> list[list[str]]:
    cursor.execute(f'PRAGMA index_list("{table}")')
    indexes = [row[1] for row in cursor.fetchall() if row[2] and not row[4]]
    columns = []
    for index in indexes:
        cursor.execute(f'PRAGMA index_info("{index}")')
        columns.append([row[2] for row in cursor.fetchall()])
    # The primary key may be the rowid itself, which is in no index.
    return [["id"], *(names for names in columns if names != ["id"] and None not in names)]
