"""Put the rules into the database, and say what is missing from it."""

from enum import StrEnum
from types import ModuleType
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.db import DEFAULT_DB_ALIAS, connections, transaction
from django.utils.module_loading import import_string

from sites.rules import postgresql, sqlite
from sites.rules.definitions import PREFIX, Rules, Trigger

ENGINES: dict[str, ModuleType] = {"sqlite": sqlite, "postgresql": postgresql}


def project_rules() -> Rules:
    rules: Rules = import_string(f"{settings.DATABASE_RULES}.RULES")
    return rules


def install_rules(using: str = DEFAULT_DB_ALIAS) -> None:
    """Drop every trigger of ours and make those of today's list again, in one transaction.

    Django rebuilds a SQLite table to alter it and so drops its triggers without a word:
    this runs after every migrate. Tables not there yet (a partial migrate) are left out.
    """
    connection = connections[using]
    engine = ENGINES[connection.vendor]
    with transaction.atomic(using=using), connection.cursor() as cursor:
        _drop_all(engine, cursor)
        there = set(connection.introspection.table_names(cursor))
        for trigger in _wanted(engine, there, cursor):
            for statement in trigger.create:
                cursor.execute(statement)


def remove_rules(using: str = DEFAULT_DB_ALIAS) -> None:
    """Take every trigger of ours away: for a restore, and for tests that flush."""
    connection = connections[using]
    with transaction.atomic(using=using), connection.cursor() as cursor:
        _drop_all(ENGINES[connection.vendor], cursor)


def missing_rules(using: str = DEFAULT_DB_ALIAS) -> list[str]:
    """Return the names of the triggers that ought to be in the database and are not."""
    connection = connections[using]
    engine = ENGINES[connection.vendor]
    with connection.cursor() as cursor:
        there = set(connection.introspection.table_names(cursor))
        if not project_rules().tables & there:
            return []
        wanted = _wanted(engine, there | project_rules().tables, cursor)
        have = engine.installed(cursor)
    return sorted(t.name for t in wanted if have.get(t.name) != t.table)


class RuleState(StrEnum):
    """How a trigger of the list stands in the database's catalogue."""

    AS_LISTED = "as listed"
    MISSING = "missing"
    CHANGED = "changed"
    UNKNOWN = "unknown"


def rule_states(using: str = DEFAULT_DB_ALIAS) -> dict[str, RuleState]:
    """Return how every trigger stands, by its name, those included that are in no list.

    One whose text, table or moment is not what the list makes, or that is switched off, counts as
    changed or missing: a rule that does nothing bears the same name.
    """
    connection = connections[using]
    engine = ENGINES[connection.vendor]
    with connection.cursor() as cursor:
        wanted = {t.name: t for t in _wanted(engine, project_rules().tables, cursor)}
        there = engine.definitions(cursor)
    states = {name: RuleState.UNKNOWN for name in there.keys() - wanted.keys()}
    for name, trigger in wanted.items():
        if name not in there:
            states[name] = RuleState.MISSING
        else:
            same = there[name] == engine.definition(trigger)
            states[name] = RuleState.AS_LISTED if same else RuleState.CHANGED
    return states


def install_after_migrate(using: str, **kwargs: Any) -> None:
    install_rules(using)
    call_command("createcachetable", database=using, verbosity=0)


def _wanted(engine: ModuleType, there: set[str], cursor: Any) -> list[Trigger]:
    rules = project_rules()
    present = Rules(
        tuple(rule for rule in rules.frozen if rule.table in there),
        tuple(rule for rule in rules.tracked if rule.table in there),
        tuple(rule for rule in rules.refusals if rule.table in there),
    )
    made: list[Trigger] = engine.triggers(present, cursor)
    return made


def _drop_all(engine: ModuleType, cursor: Any) -> None:
    for name, table in engine.installed(cursor).items():
        if name.startswith(PREFIX):
            for statement in engine.drop(name, table):
                cursor.execute(statement)
