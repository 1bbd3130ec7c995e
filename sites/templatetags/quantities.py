"""Quantities of a panel in the reader's units: metres or feet, kilograms and pounds."""

from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from django import template
from django.utils.translation import gettext as _

from sites.compute.lengths import format_inches, format_mm
from sites.models.choices import Units

register = template.Library()

MM_IN_M: Final = 1000
MM2_IN_M2: Final = 1_000_000
# 1 ft = 304.8 mm and 1 lb = 0.45359237 kg exactly (NIST SP 811, appendix B; from memory).
MM2_IN_FT2: Final = 304.8**2
KG_IN_LB: Final = 0.45359237


@register.simple_tag
def area(mm2: float, units: str = Units.METRIC) -> str:
    """An area: `0.512 m²`, or `5.51 ft²`."""
    if units == Units.INCH:
        return f"{mm2 / MM2_IN_FT2:.2f} ft²"
    return f"{mm2 / MM2_IN_M2:.3f} m²"


@register.simple_tag
def run_length(mm: float, units: str = Units.METRIC) -> str:
    """A length of came: `4.25 m`, or `13' 11"` to the nearest inch."""
    if units == Units.INCH:
        exact = Decimal(str(round(mm, 3)))
        return format_inches(exact, denominator=1, feet=True).removeprefix("about ")
    return f"{mm / MM_IN_M:.2f} m"


@register.simple_tag
def side(mm: float, units: str = Units.METRIC) -> str:
    """A side of a panel to the millimetre or the sixteenth of an inch."""
    exact = Decimal(str(round(mm, 3)))
    told = format_inches(exact) if units == Units.INCH else format_mm(exact, places=0)
    return told.removeprefix("about ")


@register.simple_tag
def mass(kg: float, units: str = Units.METRIC) -> str:
    """A mass to the tenth of a kilogram, with pounds for those who measure in inches."""
    if units != Units.INCH:
        return f"{kg:.1f} kg"
    return _("%(kg)s kg (%(lb)s lb)") % {"kg": f"{kg:.1f}", "lb": f"{kg / KG_IN_LB:.0f}"}


@register.filter
def four_places(number: float) -> str:
    return f"{number:.4f}"


@register.filter
def two_places(number: float) -> str:
    """A plain number to two places, rounded half-up."""
    return str(Decimal(str(number)).quantize(Decimal("0.01"), rounding=ROUND_HALF_UP))
