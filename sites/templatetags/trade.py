"""Lengths, dates, classes, hazards and states as the trade writes them."""

from decimal import Decimal
from typing import Final

from django import template
from django.utils.functional import Promise
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sites.compute.dates import OldDateError, describe
from sites.compute.drawing.signs import (
    QUARRY_EDGE,
    QUARRY_FILLS,
    SIGN_DOT,
    SIGN_GROUND,
    SIGN_STROKE,
)
from sites.compute.lengths import format_inches, format_mm

register = template.Library()

UNKNOWN: Final = "–"
ORIGIN_NAMES: Final[dict[str, str | Promise]] = {
    "measured": gettext_lazy("measured"),
    "entered": gettext_lazy("entered"),
    "estimated": gettext_lazy("estimated"),
    "default": gettext_lazy("usual value"),
    "computed": gettext_lazy("computed"),
}

SIGN_PATHS: Final = format_html(
    '<path class="sign-ground" stroke-width="2.6" d="{}"/><path class="sign-mark" d="{}"/>'
    '<circle class="sign-mark" cx="{}" cy="{}" r="{}"/>',
    SIGN_GROUND,
    SIGN_STROKE,
    *SIGN_DOT,
)


@register.simple_tag
def length(mm: Decimal | None, typed: str, units: str = "metric") -> str:
    """A length in the reader's units, with what was typed where that was in others."""
    if mm is None:
        return UNKNOWN
    shown = format_inches(mm) if units == "inch" else format_mm(mm, places=1)
    said = typed.strip()
    bare = said.replace(",", ".").replace(".", "", 1).isdigit()
    return shown if not said or bare or said == shown else f"{shown} ({said})"


@register.simple_tag
def size(width_mm: Decimal | None, height_mm: Decimal | None, units: str = "metric") -> str:
    """Width by height in the reader's units: `560 × 610 mm`, `22" × 24"`.

    To the millimetre or the sixteenth of an inch, which is as near as a panel is taped.
    """
    if width_mm is None and height_mm is None:
        return UNKNOWN
    sides = (width_mm, height_mm)
    if units == "inch":
        return " × ".join(UNKNOWN if mm is None else _nearly(format_inches(mm)) for mm in sides)
    shown = [UNKNOWN if mm is None else _nearly(format_mm(mm, places=0)) for mm in sides]
    return " × ".join(side.removesuffix(" mm") for side in shown) + " mm"


def _nearly(length: str) -> str:
    return length.removeprefix("about ")


@register.simple_tag
def old_date(edtf: str, typed: str = "") -> str:
    """An old date in plain English, from the EDTF kept beside what was typed."""
    if not edtf:
        return typed or UNKNOWN
    try:
        return describe(edtf)
    except OldDateError:
        return typed or edtf


@register.simple_tag
def quarry(level: int | None, word: str = "", what: str = "") -> SafeString:
    """A class: number and word beside a quarry that fills from the foot.

    what: which class it is, read out before the number where nothing else on the page says so.
    """
    spoken = format_html('<span class="visually-hidden">{}: </span>', what) if what else ""
    if level is None:
        return format_html(
            '<span class="quarry" data-level="none">{}{}</span>', spoken, word or _("Not classed")
        )
    return format_html(
        '<span class="quarry" data-level="{}">{}<span>{}<span class="quarry-number">{}</span>'
        ' <span class="quarry-word">{}</span></span></span>',
        level,
        quarry_mark(level),
        spoken,
        level,
        word,
    )


@register.simple_tag
def quarry_mark(level: int) -> SafeString:
    """The quarry alone, to stand beside a word that says the class."""
    return format_html(
        '<svg class="quarry-mark" viewBox="0 0 14 18" aria-hidden="true" focusable="false">'
        '<path class="quarry-fill" data-level="{}" d="{}"/>'
        '<path class="quarry-edge" d="{}"/></svg>',
        level,
        QUARRY_FILLS[max(0, min(3, int(level)))],
        QUARRY_EDGE,
    )


@register.simple_tag
def warning_sign() -> SafeString:
    """The general warning sign (ISO 7010, W001): a triangle with an exclamation mark."""
    return format_html(
        '<svg class="sign" viewBox="0 0 32 28" aria-hidden="true" focusable="false">{}</svg>',
        SIGN_PATHS,
    )


@register.simple_tag
def hazard(word: str = "") -> SafeString:
    """The warning sign and the word Danger: for what can hurt someone, and for nothing else."""
    return format_html(
        '<span class="hazard">{}<span>{}</span></span>', warning_sign(), word or _("Danger")
    )


@register.simple_tag
def status(word: str, tone: str = "plain") -> SafeString:
    """A state as a word with a small mark. tone: plain, under-way, done, past or attention."""
    return format_html('<span class="status" data-tone="{}">{}</span>', tone, word)


@register.filter
def origin_name(origin: str) -> str:
    """Where a figure came from, in words."""
    return str(ORIGIN_NAMES.get(origin, origin))
