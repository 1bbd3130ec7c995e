"""Numbers inside drawings: with a point whatever the language, and no more figures than matter."""

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from sites.templatetags.trade import QUARRY_EDGE, QUARRY_FILLS, SIGN_PATHS

register = template.Library()


@register.filter
def units(number: float) -> str:
    """A number of the drawing's units as SVG writes it."""
    return f"{number:.1f}".removesuffix(".0")


@register.filter
def letter_units(number: float) -> str:
    """A size of letters, to a hundredth: on a crowded plate a tenth would be too coarse."""
    return f"{number:.2f}"


@register.filter
def add_units(number: float, more: float) -> str:
    """The sum of two numbers of units, as SVG writes it."""
    return units(number + more)


@register.filter
def half(number: float) -> str:
    """Half a number of units: a radius."""
    return units(number / 2)


@register.simple_tag
def quarry_paths(level: int) -> SafeString:
    """The two paths of a quarry, to stand inside an <svg> of 14 × 18."""
    return format_html(
        '<path class="quarry-fill" data-level="{}" d="{}"/><path class="quarry-edge" d="{}"/>',
        level,
        QUARRY_FILLS[max(0, min(3, int(level)))],
        QUARRY_EDGE,
    )


@register.simple_tag
def sign_paths() -> SafeString:
    """The parts of the general warning sign, to stand inside an <svg> of 32 × 28."""
    return SIGN_PATHS
