"""The rules as PostgreSQL triggers."""

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

Definition = tuple[str, str, str, frozenset[str], str, tuple[str, ...]]
# Class 23 is "integrity constraint violation": Django raises IntegrityError, as for a constraint.
FUNCTION = """
CREATE OR REPLACE FUNCTION "{name}"() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
{body}
END $$
"""


def triggers(rules: Rules, cursor: Any) -> list[Trigger]:
    """Return every trigger of `rules`. `cursor` is not used: the row itself is copied whole."""
    made = [t for rule in rules.frozen for t in _frozen(rule)]
    made += [_tracked(rule) for rule in rules.tracked]
    made += [_refusal(rule) for rule in rules.refusals]
    return made


def installed(cursor: Any) -> dict[str, str]:
    """Return the table of every trigger there is, by the trigger's name."""
    cursor.execute(
        "SELECT t.tgname, c.relname FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid "
        "WHERE NOT t.tgisinternal AND c.relnamespace = current_schema()::regnamespace "
        "AND t.tgenabled <> 'D'"
    )
    return dict(cursor.fetchall())


def definitions(cursor: Any) -> dict[str, Definition]:
    """Return what tells every trigger there is from another, by name; not those switched off."""
    cursor.execute(
        "SELECT t.tgname, p.proname, p.prosrc, pg_get_triggerdef(t.oid) FROM pg_trigger t "
        "JOIN pg_class c ON c.oid = t.tgrelid JOIN pg_proc p ON p.oid = t.tgfoid "
        "WHERE NOT t.tgisinternal AND c.relnamespace = current_schema()::regnamespace "
        "AND t.tgenabled <> 'D'"
    )
    return {name: _defined(function, body, text) for name, function, body, text in cursor}


def definition(trigger: Trigger) -> Definition:
    """Return what tells a trigger from another: its function, when it runs and on what."""
    function, statement = trigger.create
    return _defined(trigger.name, function.split("$$")[1], statement)


def _defined(function: str, body: str, statement: str) -> Definition:
    """The parts of CREATE TRIGGER that PostgreSQL keeps, in whatever order it tells the events."""
    words = statement.replace('"', "").split()
    place = words.index("ON")
    table = words[place + 1].rpartition(".")[2]
    events = frozenset(words[4:place]) - {"OR"}
    return function, body, words[3], events, table, tuple(words[place + 2 : place + 6])


def drop(name: str, table: str) -> list[str]:
    return [f'DROP TRIGGER IF EXISTS "{name}" ON "{table}"']


def _frozen(rule: Frozen) -> list[Trigger]:
    body = _raise(f"{rule.what} once issued cannot be changed or deleted")
    return [
        _trigger(rule.table, "no_change", "BEFORE UPDATE OR DELETE", "ROW", body),
        _trigger(rule.table, "no_truncate", "BEFORE TRUNCATE", "STATEMENT", body),
    ]


def _tracked(rule: Tracked) -> Trigger:
    private = "".join(f" - '{column}'" for column in (*rule.private, "subject_key"))
    body = (
        f'INSERT INTO {HISTORY_TABLE} ("table", "row", deed, before, actor, at) VALUES '
        f"('{rule.table}', OLD.id::text, TG_OP, to_jsonb(OLD){private}, "
        "coalesce(current_setting('saddlebar.actor', true), ''), clock_timestamp());\n"
        "RETURN NULL;"
    )
    return _trigger(rule.table, "history", "AFTER UPDATE OR DELETE", "ROW", body)


def _refusal(rule: Refusal) -> Trigger:
    body = f"IF {rule.when} THEN\n{_raise(rule.message)}\nEND IF;\nRETURN NEW;"
    return _trigger(rule.table, rule.name, "BEFORE INSERT OR UPDATE", "ROW", body)


def _raise(message: str) -> str:
    return f"RAISE EXCEPTION '{message}' USING ERRCODE = '23514';"


def _trigger(table: str, purpose: str, moment: str, each: str, body: str) -> Trigger:
    name = trigger_name(table, purpose)
    return Trigger(
        name,
        table,
        (
            FUNCTION.format(name=name, body=body),
            f'CREATE TRIGGER "{name}" {moment} ON "{table}" '
            f'FOR EACH {each} EXECUTE FUNCTION "{name}"()',
        ),
    )
