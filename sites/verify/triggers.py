"""Checking that the database holds to every rule of the list, as the list has it."""

from collections.abc import Iterator

from django.utils.translation import gettext as _

from sites.models import Building
from sites.rules.install import RuleState, rule_states
from sites.verify.checks import Found


def triggers(building: Building | None = None) -> Iterator[tuple[str, RuleState]]:
    """Yield every trigger of the list or of the catalogue by name. None of one building."""
    if building is None:
        yield from sorted(rule_states().items())


def read_trigger(trigger: tuple[str, RuleState]) -> Found:
    """Return what is wrong with one trigger."""
    sentences = {
        RuleState.MISSING: _("it is missing: run `manage.py migrate`, which puts every rule back"),
        RuleState.CHANGED: _("it is not as it was put there: run `manage.py migrate`"),
        RuleState.UNKNOWN: _("it is in the database, and in no list"),
    }
    return Found([sentences[trigger[1]]] if trigger[1] in sentences else [])


def name_of(trigger: tuple[str, RuleState]) -> str:
    return trigger[0]
