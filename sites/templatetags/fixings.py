"""Margins, kinds and small sizes of what holds an attached item."""

from decimal import Decimal
from typing import Final

from django import template
from django.utils.translation import gettext as _

from sites.compute.fixings.margins import two_figures
from sites.compute.lengths import format_inches, format_mm
from sites.models.choices import FixingKind, Units

register = template.Library()

# 1 lb = 0.45359237 kg exactly (NIST SP 811, appendix B; from memory).
KG_IN_LB: Final = 0.45359237


@register.filter
def margin(number: float | None) -> str:
    """A margin to two figures, rounded down; words where there is none."""
    return _("not calculable") if number is None else two_figures(number)


@register.filter
def fixing_kind(kind: str) -> str:
    return str(FixingKind(kind).label) if kind in FixingKind.values else kind


@register.filter
def bead_size(mm: float, units: str = Units.METRIC) -> str:
    """A size of a bead to the millimetre, or to the sixteenth of an inch."""
    exact = Decimal(str(round(mm, 3)))
    if units == Units.INCH:
        return format_inches(exact).removeprefix("about ")
    return format_mm(exact, places=0).removeprefix("about ")


@register.simple_tag
def light_mass(kg: float, units: str = Units.METRIC) -> str:
    """The mass of a small thing, to three figures: `0.287 kg`."""
    if units != Units.INCH:
        return f"{kg:.3g} kg"
    return _("%(kg)s kg (%(lb)s lb)") % {"kg": f"{kg:.3g}", "lb": f"{kg / KG_IN_LB:.3g}"}
