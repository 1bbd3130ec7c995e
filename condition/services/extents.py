"""What was measured on a drawing or a photograph, used as a finding's extent with its working."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from django.db import transaction
from django.utils.translation import gettext as _

from condition.compute.stroke_words import area_words, length_words
from condition.compute.strokes import AREA, LINE, POINT
from condition.models import Finding, Photograph
from condition.models.choices import AmountUnit
from condition.services.marks import Figured, OpeningParts
from condition.services.rectifying import Measured
from sites.compute.lengths import format_mm
from sites.compute.plain_numbers import plain_number
from sites.compute.working import Input, Working, WorkingError
from sites.errors import SaddlebarError
from sites.services.numbers import today_at

LENGTH, SHARE, COUNT = "length", "share", "count"
UNITS: Final = {
    LENGTH: AmountUnit.MM,
    SHARE: AmountUnit.PERCENT_OF_AREA,
    COUNT: AmountUnit.COUNT,
}
HOMOGRAPHY_SOURCE: Final = (
    "Homography by the normalised direct linear transform: R. Hartley, IEEE PAMI 19 (1997), "
    "580–593; from memory"
)
ELEVATION_CAUTION: Final = (
    "As good as the sketch: it was drawn by eye on the elevation and not measured on the window."
)
PLANE_CAUTION: Final = (
    "Holds in the plane of the known points alone. Glass that bulges, bars and plaques stand "
    "before or behind it; a wide lens bends lines near the edges. Measure on the window what "
    "money or safety hangs on."
)
COUNT_CAUTION: Final = "Counted where the marks stand; what the picture does not show is not in it."


class ExtentError(SaddlebarError):
    """What cannot be used as an extent, and why."""


@dataclass(frozen=True)
class Offered:
    """An extent that can be used: what it is, how much in the finding's unit, and its working."""

    what: str
    amount: Decimal
    unit: AmountUnit
    words: str
    working: Working


def offers_on_photograph(
    finding: Finding, figured: Sequence[Figured], photograph: Photograph, sheet: Measured | None
) -> list[Offered]:
    """Return what the finding's marks on one photograph can be used for."""
    basis = _photograph_inputs(photograph, sheet, finding)
    caution = PLANE_CAUTION
    if sheet and sheet.judged.warnings:
        caution = " ".join((*sheet.judged.warnings, PLANE_CAUTION))
    whole = _panel_of(sheet, finding) if sheet else None
    return _offers(figured, basis, caution, whole, HOMOGRAPHY_SOURCE if sheet else "")


def offers_on_elevation(
    finding: Finding, figured: Sequence[Figured], parts: OpeningParts
) -> list[Offered]:
    """Return what the finding's marks on the elevation can be used for."""
    basis = [
        Input(
            "Elevation",
            _("opening %s") % finding.opening.number,
            "entered",
            "its measurements in the register",
        ),
        Input("Drawn and reckoned", f"{today_at(finding.survey.building):%Y-%m-%d}", "entered"),
    ]
    whole = None
    if finding.panel and (area := parts.area_of(finding.panel.number)):
        whole = (finding.panel.number, area, "its outline in the register")
    return _offers(figured, basis, ELEVATION_CAUTION, whole, "")


@transaction.atomic
def use_as_extent(finding: Finding, offered: Offered, where: str) -> None:
    """Make what was measured the finding's amount, and keep how it was reached.

    where: the photograph's key, or "elevation". Raises ExtentError for what no record can hold.
    """
    if offered.amount >= Decimal(10) ** 8:
        raise ExtentError(_("That is too large for a finding: look whether the sizes are right."))
    row = Finding.objects.select_for_update(of=("self",)).get(pk=finding.pk)
    keeps_total = offered.unit == AmountUnit.COUNT and (row.of_total or 0) >= offered.amount
    row.amount, row.unit = offered.amount, offered.unit
    row.of_total = row.of_total if keeps_total else None
    row.amount_working = {
        **offered.working.as_dict(),
        "amount": plain_number(offered.amount),
        "unit": str(offered.unit),
        "where": where,
    }
    row.save(update_fields=["amount", "unit", "of_total", "amount_working"])


def working_of(finding: Finding) -> Working | None:
    """Return how the finding's amount was reached; None where it was typed, or changed since."""
    kept: dict[str, Any] | None = finding.amount_working
    if not isinstance(kept, dict) or finding.amount is None:
        return None
    told = (kept.get("amount"), kept.get("unit"))
    if told != (plain_number(finding.amount), str(finding.unit)):
        return None
    try:
        return Working.from_dict(kept)
    except WorkingError:
        return None


def _offers(
    figured: Sequence[Figured],
    basis: Sequence[Input],
    caution: str,
    whole: tuple[str, float, str] | None,
    source: str,
) -> list[Offered]:
    offers = []
    lines = [each for each in figured if each.mark.stroke == LINE and each.mm is not None]
    areas = [each for each in figured if each.mark.stroke == AREA and each.mm2 is not None]
    points = [each for each in figured if each.mark.stroke == POINT]
    if lines:
        offers.append(_length(lines, basis, caution, source))
    if areas and whole:
        offers.append(_share(areas, basis, caution, whole, source))
    if points:
        amount, words = Decimal(len(points)), plain_number(Decimal(len(points)))
        working = Working(
            "The points marked, counted.", (*basis,), _("%s in number") % words, "", COUNT_CAUTION
        )
        offers.append(Offered(COUNT, amount, AmountUnit.COUNT, words, working))
    return offers


def _length(lines: Sequence[Figured], basis: Sequence[Input], caution: str, source: str) -> Offered:
    total = sum(each.mm or 0.0 for each in lines)
    amount = Decimal(f"{total:.0f}") if total >= 10 else Decimal(f"{total:.1f}")
    inputs = [
        Input(f"Line {n}", length_words(each.mm or 0.0), "computed", _corners(each))
        for n, each in enumerate(lines, start=1)
    ]
    working = Working(
        "The lengths of the lines drawn, from corner to corner, added up.",
        (*basis, *inputs),
        format_mm(amount),
        source,
        caution,
    )
    return Offered(LENGTH, amount, AmountUnit.MM, length_words(total), working)


def _share(
    areas: Sequence[Figured],
    basis: Sequence[Input],
    caution: str,
    whole: tuple[str, float, str],
    source: str,
) -> Offered:
    number, panel_mm2, told = whole
    here = [(each, _in_panel(each, number)) for each in areas]
    share = min(100.0, sum(mm2 for _each, mm2 in here) / panel_mm2 * 100)
    amount = Decimal(f"{share:.1f}")
    inputs = [
        Input(f"Area {n}", area_words(mm2), "computed", _corners(each))
        for n, (each, mm2) in enumerate(here, start=1)
    ]
    working = Working(
        f"The areas drawn in panel {number}, added up and divided by the panel's own. Where two "
        "areas overlap, what they share counts twice.",
        (*basis, *inputs, Input(f"Panel {number}", area_words(panel_mm2), "computed", told)),
        f"{plain_number(amount)} % of area",
        source,
        caution,
    )
    words = f"{plain_number(amount)} %"
    return Offered(SHARE, amount, AmountUnit.PERCENT_OF_AREA, words, working)


def _in_panel(each: Figured, number: str) -> float:
    return sum(share.amount for share in each.shares if share.number == number)


def _corners(each: Figured) -> str:
    return f"drawn through {len(each.mark.points)} points"


def _panel_of(sheet: Measured, finding: Finding) -> tuple[str, float, str] | None:
    """The panel a photograph shows, with its area; None where the finding is of another."""
    panel = sheet.scale.panel
    if panel is None or not panel.width_mm or not panel.height_mm:
        return None
    if finding.panel_id and finding.panel_id != panel.pk:
        return None
    area = float(panel.width_mm * panel.height_mm)
    return panel.number, area, "its recorded width by its height"


def _photograph_inputs(
    photograph: Photograph, sheet: Measured | None, finding: Finding
) -> list[Input]:
    taken = photograph.taken_local[:10] or "on a day the camera did not note"
    if sheet and sheet.scale.from_outside:
        taken += ", from outside"
    name = photograph.caption or photograph.name or str(photograph.pk)
    basis = [
        Input("Photograph", name, "measured", f"taken {taken}"),
        Input("Drawn and reckoned", f"{today_at(finding.survey.building):%Y-%m-%d}", "entered"),
    ]
    if sheet is None:
        return basis
    judged, fit = sheet.judged, sheet.judged.fit
    known = _("%d points") % len(sheet.known)
    if sheet.scale.panel:
        known = _("%(count)d points of panel %(number)s") % {
            "count": len(sheet.known),
            "number": sheet.scale.panel.number,
        }
    left = f"{fit.mm:.1f} mm, {fit.px:.1f} px"
    if not fit.spare:
        left = _("four points leave nothing over to check by")
    ratio = f"{judged.scale_ratio:.2f}"
    return [
        *basis,
        Input("Known points", known, "entered", sheet.scale.known_from),
        Input("Left over at them", left, "computed"),
        Input("Slant", f"{judged.angle_degrees:.0f}°", "computed", f"near side {ratio} × far side"),
        Input("One pixel of the photograph", f"{judged.mm_per_px:.2f} mm", "computed"),
    ]
