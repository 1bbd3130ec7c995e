"""How findings and looks are put into words on paper."""

from decimal import Decimal
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from condition.compute.comparing import State
from condition.documents.snapshot import ClassMark
from condition.models import Danger, Finding, Inspection, Photograph, SubjectAssessment
from condition.models.choices import (
    AmountUnit,
    ConditionClass,
    Extent,
    Outcome,
    RecommendationClass,
    Side,
)
from sites.compute.lengths import format_inches, format_mm
from sites.compute.plain_numbers import plain_number
from sites.documents.words import day_words
from sites.models.choices import Units

DASH = "\N{EN DASH}"
LENGTHS = {AmountUnit.MM, AmountUnit.MM_OUT_OF_PLANE}
# What became of a thing between two surveys.
STATE_WORDS = {
    State.NEW: gettext_lazy("New"),
    State.WORSE: gettext_lazy("Worse"),
    State.SAME: gettext_lazy("The same"),
    State.BETTER: gettext_lazy("Better"),
    State.GONE: gettext_lazy("Gone"),
    State.REPAIRED: gettext_lazy("Repaired"),
    State.NOT_COMPARABLE: gettext_lazy("Cannot be compared"),
    State.NOT_LOOKED_AT: gettext_lazy("Not looked at"),
}


def subject_of(row: Finding | Inspection | Danger) -> str:
    """Return `nII 3b`, or `nV, dedication plaque P1` where the subject is an attached item; of a
    danger also what it is in words."""
    item = row.attached_item
    if item and row.opening:
        return f"{row.opening.number}, {str(item.get_kind_display()).lower()} {item.number}"
    return row.label if isinstance(row, Danger) else row.subject_label


def place_of(finding: Finding) -> str:
    """Return where on the subject a finding is: its side, then its position."""
    side = "" if finding.side == Side.UNKNOWN else str(finding.get_side_display())
    return "; ".join(part for part in (side, finding.position.strip()) if part)


def extent_of(finding: Finding, units: str) -> str:
    """Return how far a finding reaches: `Grouped; 4 of 22 joints failed`, `38 mm (1 1/2") out of
    plane`. Reads its kind."""
    spread = str(Extent(finding.extent).label)
    if finding.amount is None:
        why = str(finding.get_not_measured_display()).lower()
        return f"{spread}; {why}" if why else spread
    return f"{spread}; {_amount(finding, finding.amount, units)}"


def _amount(finding: Finding, amount: Decimal, units: str) -> str:
    unit = AmountUnit(finding.unit)
    if unit == AmountUnit.COUNT:
        return counted_words(finding)
    if unit in LENGTHS:
        end = _(" out of plane") if unit == AmountUnit.MM_OUT_OF_PLANE else ""
        return f"{_both_units(amount, units)}{end}"
    return f"{plain_number(amount)} {unit.label}"


def counted_words(finding: Finding) -> str:
    """Return what was counted, with what it counts: `1 tie broken`, `3 of 9 ties broken`.

    A kind that does not say what it counts gives the number alone. Reads the kind.
    """
    number, total = plain_number(finding.amount or Decimal(0)), finding.of_total
    words = _("%(n)s of %(total)s") % {"n": number, "total": total} if total else number
    if not finding.kind.counted:
        return words
    one, several = finding.kind.counted
    return f"{words} {one if (total or finding.amount) == 1 else several}"


def _both_units(amount: Decimal, units: str) -> str:
    metric, inch = format_mm(amount), format_inches(amount)
    return f"{inch} ({metric})" if units == Units.INCH else f"{metric} ({inch})"


def mark(judged: Finding | SubjectAssessment, name: str) -> ClassMark | None:
    """Return a class of what was judged, `name` being condition_class, urgency_class, and so on."""
    level = getattr(judged, name)
    if level is None:
        return None
    return ClassMark(level, str(getattr(judged, f"get_{name}_display")()))


def inspection_words(inspection: Inspection) -> str:
    """Return a look in one sentence, the part of the opening first where it is of a part."""
    part = inspection.attached_item or inspection.panel
    start = f"{part.number}: " if part else ""
    side = "" if inspection.side == Side.UNKNOWN else f"{inspection.get_side_display()}, ".lower()
    if inspection.outcome == Outcome.NOT_INSPECTED:
        return _("%(start)s%(side)snot inspected: %(reason)s") % {
            "start": start,
            "side": side,
            "reason": inspection.reason.strip().rstrip("."),
        }
    seen = str(inspection.get_seen_from_display()).lower()
    return _("%(start)s%(side)s%(seen)s: nothing found") % {
        "start": start,
        "side": side,
        "seen": seen,
    }


def own_caption(photograph: Photograph, zone: ZoneInfo, locale: str) -> str:
    """Return a photograph's caption, and after it that its original is not whole any more."""
    caption = photograph.caption.strip()
    if photograph.damage_found_at is None:
        return caption
    day = day_words(photograph.damage_found_at.astimezone(zone).date(), locale)
    damage = _("the original was found damaged or lost on %s; this copy was made before") % day
    return f"{caption} {DASH} {damage}" if caption else damage[:1].upper() + damage[1:]


def first_clause(plain: str) -> str:
    """Return a sentence in plain words up to its first semicolon, as a sentence of its own."""
    return plain.split(";")[0].strip().rstrip(".") + "."


def is_mended(finding: Finding) -> bool:
    """Whether the finding records that earlier damage is mended or gone: nothing wrong, nothing
    to do. What its kind means in plain words would then contradict it."""
    return (
        not finding.hazard
        and finding.condition_class == ConditionClass.NO_SYMPTOMS
        and finding.recommendation_class == RecommendationClass.NO_MEASURES
    )


def findings_counted(count: int) -> str:
    return ngettext("%d finding", "%d findings", count) % count
