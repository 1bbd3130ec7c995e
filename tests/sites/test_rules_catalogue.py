"""The triggers in the database against the list, as `manage.py verify_documents` reads them."""

import pytest
from django.db import connection

from condition.models import (
    ConditionReport,
)
from restoration.models import Quote
from restoration.rules import RULES
from sites.rules.definitions import trigger_name
from sites.rules.install import (
    RuleState,
    install_rules,
    missing_rules,
    rule_states,
)
from tests.factories import (
    ConditionReportFactory,
    QuoteFactory,
)

FROZEN = [(ConditionReport, ConditionReportFactory), (Quote, QuoteFactory)]


@pytest.mark.django_db
def test_every_rule_stands_in_the_catalogue_as_the_list_has_it():
    states = rule_states()
    assert set(states.values()) == {RuleState.AS_LISTED}
    assert {rule.table for rule in RULES.tracked} <= {
        table for table in RULES.tables if any(table in name for name in states)
    }


@pytest.mark.django_db
def test_a_rule_that_does_nothing_under_its_own_name_is_found():
    name = trigger_name("restoration_quote", "no_update" if is_sqlite() else "no_change")
    with connection.cursor() as cursor:
        if is_sqlite():
            cursor.execute(f'DROP TRIGGER "{name}"')
            cursor.execute(
                f'CREATE TRIGGER "{name}" BEFORE UPDATE ON restoration_quote BEGIN SELECT 1; END'
            )
        else:
            cursor.execute(
                f'CREATE OR REPLACE FUNCTION "{name}"() RETURNS trigger LANGUAGE plpgsql AS '
                "$$ BEGIN RETURN NEW; END $$"
            )
    changed = {name for name, state in rule_states().items() if state != RuleState.AS_LISTED}
    assert changed == {name}
    assert rule_states()[name] == RuleState.CHANGED
    assert missing_rules() == []
    install_rules()
    assert set(rule_states().values()) == {RuleState.AS_LISTED}


@pytest.mark.django_db
def test_a_trigger_that_is_in_no_list_is_named():
    with connection.cursor() as cursor:
        if is_sqlite():
            cursor.execute(
                "CREATE TRIGGER smuggled AFTER INSERT ON sites_building BEGIN SELECT 1; END"
            )
        else:
            cursor.execute(
                "CREATE TRIGGER smuggled AFTER INSERT ON sites_building FOR EACH ROW "
                "EXECUTE FUNCTION suppress_redundant_updates_trigger()"
            )
    assert rule_states()["smuggled"] == RuleState.UNKNOWN


def is_sqlite() -> bool:
    return connection.vendor == "sqlite"
