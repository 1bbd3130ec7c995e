"""Lengths, classes and numbers as the trade writes them."""

from decimal import Decimal

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from sites.compute.lengths import format_inches, format_mm

register = template.Library()


@register.simple_tag
def length(mm: Decimal | None, typed: str, units: str = "metric") -> str:
    """A length in the reader's units; what was typed shows where it is not the same."""
    if mm is None:
        return "–"
    return format_inches(mm) if units == "inch" else format_mm(mm)


@register.simple_tag
def quarry(level: int | None, word: str = "") -> SafeString:
    """A class: number and word in a quarry that fills from the foot."""
    if level is None:
        return format_html('<span class="quarry" data-level="none">–</span>')
    return format_html(
        '<span class="quarry" data-level="{}"><svg class="quarry-mark" viewBox="0 0 16 16" '
        'aria-hidden="true"><path class="quarry-fill" d="M8 0 16 8 8 16 0 8Z"/>'
        '<path class="quarry-edge" d="M8 .8 15.2 8 8 15.2.8 8Z"/></svg>'
        '<span class="quarry-number">{}</span> <span class="quarry-word">{}</span></span>',
        level,
        level,
        word,
    )
