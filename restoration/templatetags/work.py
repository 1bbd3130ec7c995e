"""Money, percentages and steps of the repair ladder as they are written on screen."""

from decimal import ROUND_HALF_UP, Decimal
from typing import Any, Final

from django import template
from django.forms import BoundField
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from condition.documents.words import extent_of
from condition.models import ActionKind, Finding
from condition.models.choices import Step
from restoration.compute.money import MoneyError, format_money, minor_digits
from restoration.documents.work import quantity_words
from restoration.models import RepairAction
from restoration.models.choices import Option, SharedKind
from restoration.services.pricing import UNIT_SIGNS
from sites.compute.plain_numbers import plain_number
from sites.models.choices import Units

register = template.Library()

UNKNOWN: Final = "–"
STEPS: Final = list(Step)


@register.simple_tag
def money(amount: Decimal | str | None, currency: str, locale: str = "en_GB") -> SafeString | str:
    """An amount in its currency, with every digit of the minor unit; a dash where not known."""
    if amount is None or amount == "":
        return UNKNOWN
    try:
        text = format_money(Decimal(amount), currency, locale)
    except MoneyError:
        text = f"{amount} {currency}"
    return format_html('<span class="figures nowrap">{}</span>', text)


@register.filter
def plain(number: Decimal | None) -> str:
    """A number without trailing zeros: 4.000 is 4."""
    return UNKNOWN if number is None or number == "" else plain_number(Decimal(number))


@register.filter
def extent(finding: Finding) -> str:
    """How far a finding reaches, with what was counted or measured."""
    return extent_of(finding, Units.METRIC)


@register.filter
def percent(number: Decimal | None) -> str:
    return UNKNOWN if number is None else f"{plain_number(Decimal(number))}\N{NO-BREAK SPACE}%"


@register.filter
def option_name(option: str) -> str:
    return str(Option(option).label) if option in Option.values else option


@register.filter
def shared_kind_name(kind: str) -> str:
    return str(SharedKind(kind).label) if kind in SharedKind.values else kind


@register.simple_tag
def ladder_step(kind: ActionKind) -> str:
    """Where a kind of action stands on the repair ladder: `Repair in place, step 3 of 6`."""
    step = Step(kind.step)
    place = STEPS.index(step) + 1
    words = _("step %(place)d of %(steps)d") % {"place": place, "steps": len(STEPS)}
    # Releading is a step and a kind of work under one name: it need not be said twice.
    label = str(step.label)
    return words if kind.name == label else f"{label}, {words}"


@register.filter
def hours(number: Decimal | None) -> str:
    """Hours to the hundredth; what is reckoned with keeps every place."""
    if number is None or number == "":
        return UNKNOWN
    return plain_number(Decimal(number).quantize(Decimal("0.01"), rounding=ROUND_HALF_UP))


@register.inclusion_tag("restoration/_ladder.html")
def ladder(step: str) -> dict[str, Any]:
    """The whole repair ladder, mildest step first, with the one that a kind of action is."""
    return {"steps": [{"name": each.label, "here": each.value == step} for each in STEPS]}


@register.filter
def tick_box(box: BoundField) -> SafeString:
    """A tick without its label, for rows that lay out their own."""
    return _drawn(box, "form-check-input")


@register.filter
def figure_box(box: BoundField) -> SafeString:
    return _drawn(box, "form-control")


@register.filter
def select_box(box: BoundField) -> SafeString:
    return _drawn(box, "form-select")


def _drawn(box: BoundField, css_class: str) -> SafeString:
    attributes: dict[str, str | bool]
    attributes = {"class": f"{css_class} is-invalid" if box.errors else css_class}
    if box.errors:
        attributes |= {"aria-invalid": "true", "aria-describedby": f"{box.auto_id}_error"}
    return box.as_widget(attrs=attributes)


@register.simple_tag
def bare_amount(amount: Decimal, currency: str) -> SafeString:
    """An amount whose currency stands beside it already: every digit of the minor unit, or more."""
    digits = max(minor_digits(currency), len(plain_number(amount).partition(".")[2]))
    return format_html('<span class="figures nowrap">{}</span>', f"{amount:,.{digits}f}")


@register.filter
def unit_sign(unit: str) -> str:
    """A unit as it is written: m² for the m2 that a keyboard gives."""
    return UNIT_SIGNS.get(unit, unit)


@register.filter
def quantity_of(action: RepairAction) -> str:
    """The quantity of an action with its unit: 1 panel, 6 joints."""
    return quantity_words(action.quantity, action.kind.unit)
