"""The layout of a condition report: from its snapshot to a page of HTML, and nothing else."""

from collections.abc import Sequence
from typing import Any

from django.utils.translation import gettext as _

from condition.documents.page_one import TAKEN
from condition.documents.terms import months_counted
from sites.compute.drawing.sheet import Disc, Mark, Sheet
from sites.compute.drawing.svg import paper_svg
from sites.compute.plan.sheet import PLAN_PEN
from sites.documents.laying_out import (
    building_line,
    fact_rows,
    facts_known,
    heading_facts,
    lay_out,
    two_a_row,
)

Plain = dict[str, Any]

# Heights of drawings on paper, in mm, beside which a photograph is kept low, or lower.
LOW_MM, MIDDLE_MM = 72.0, 92.0
# How many rows of dangers page one has; the rest follows on the next page.
MOST_ROWS = 3


def report_html(snapshot: Plain) -> str:
    """Return the report as HTML, for the printer. Reads the snapshot alone, no database."""
    return lay_out("documents/condition_report.html", snapshot, _arrange)


def _arrange(report: Plain) -> Plain:
    return {
        "cover_lines": _cover_lines(report),
        **_first_page(report),
        "terms_line": _terms_line(report["terms"]),
        "plan": _plan(report["plan"]),
        "openings": [
            _opening(_with_dangers(opening, report["dangers"])) for opening in report["openings"]
        ],
        "dangers_elsewhere": [each for each in report["dangers"] if not each["opening"]],
        "general_pairs": two_a_row(report["general_photographs"]),
    }


def danger_rows(report: Plain) -> list[Plain]:
    """Return the rows of page one that can hurt somebody where they are, each with its danger.

    `same`: it is at the same place as the row before it. `starts`: the first row of its group.
    `since_told`: this survey did not see it.
    """
    entries = {each["id"]: each for each in report["dangers"]}
    rows: list[Plain] = []
    for row in report["page_one"]["rows"]:
        if row["group"] == TAKEN:
            continue
        before = rows[-1] if rows else {"group": "", "place": 0}
        starts = row["group"] != before["group"]
        same = not starts and row["place"] == before["place"]
        entry = entries[row["danger"]]
        told = not entry["seen_again"]
        rows.append(entry | row | {"starts": starts, "same": same, "since_told": told})
    return rows


def _first_page(report: Plain) -> Plain:
    """The most pressing rows for page one; all others stand on the page after it."""
    rows = danger_rows(report)
    return {"pressing": rows[:MOST_ROWS], "other_rows": rows[MOST_ROWS:]}


def _with_dangers(opening: Plain, dangers: list[Plain]) -> Plain:
    """The opening with the danger of each finding, and the dangers no finding of it is of."""
    entries = {each["id"]: each for each in dangers}
    seen = {finding["danger"] for finding in opening["findings"]}
    return opening | {
        "findings": [
            finding | {"told_danger": entries.get(finding["danger"])}
            for finding in opening["findings"]
        ],
        "dangers": [
            each
            for each in dangers
            if each["opening"] == opening["number"] and each["id"] not in seen
        ],
    }


def _opening(opening: Plain) -> Plain:
    """An opening with its view of the whole beside the drawing, and the rest two a row."""
    whole = [each for each in opening["photographs"] if each["finding"] is None]
    overview = whole[0] if whole and opening["drawing"] else None
    rest = [each for each in opening["photographs"] if each is not overview]
    return opening | {
        "overview": overview,
        "overview_size": _as_high_as(opening["drawing"]),
        "pairs": _cells(rest, opening["items"]),
        "fact_rows": _fact_rows(opening, beside=bool(opening["drawing"]) and not overview),
        "findings": _plain_words_once(opening["findings"]),
        "told_changes": [each for each in opening["changed"] if each["count"]],
        "drawing": _drawn(opening["drawing"]),
    }


def _as_high_as(drawing: Plain | None) -> str:
    """How high the view of the whole may be beside a drawing: neither outgrows the other."""
    height = float(drawing["height"]) if drawing else 0.0
    return "low" if height < LOW_MM else "middle" if height < MIDDLE_MM else "high"


def _cells(photographs: list[Plain], items: list[Plain]) -> list[Sequence[Plain]]:
    """Photographs, then attached items, two a row; an item alone in its row has it all."""
    cells: list[Plain] = [{"photograph": each} for each in photographs]
    cells += [{"item": each} for each in items]
    rows = two_a_row(cells)
    if rows and len(rows[-1]) == 1 and "item" in rows[-1][0]:
        rows[-1] = [rows[-1][0] | {"alone": True}]
    return rows


def _plain_words_once(findings: list[Plain]) -> list[Plain]:
    """What a kind means in plain words stands under the first finding of it in an opening."""
    told: set[str] = set()
    laid_out = []
    for finding in findings:
        known = finding["kind_code"] in told
        laid_out.append(finding | {"told_plain": bool(finding["plain"]) and not known})
        if finding["plain"]:
            told.add(finding["kind_code"])
    return laid_out


def _fact_rows(opening: Plain, *, beside: bool) -> list[list[Plain]]:
    """Beside a drawing there is room for one fact a row; across the page, for two."""
    if beside:
        return [[fact] for fact in opening["facts"]]
    return fact_rows(opening["facts"])


def _terms_line(terms: Plain) -> str:
    """Who may rely on the report and until when, and whose the times are, in a line."""
    if not terms["agreed"]:
        return _("The times are our usual ones: nothing else was agreed.")
    words = {
        "who": terms["relied_on_by"] or _("the client alone"),
        "until": terms["until_words"],
        "months": months_counted(terms["immediate_months"]),
    }
    return (
        _(
            "The times are as agreed; what is urgent wants doing within %(months)s. This report "
            "may be relied on until %(until)s by %(who)s."
        )
        % words
    )


def _plan(drawing: Plain | None) -> Plain | None:
    """The plan as SVG, with the pen of plans."""
    if drawing is None:
        return None
    svg = paper_svg(_sheet(drawing), drawing["alt"], PLAN_PEN)
    return drawing | {"svg": svg}


def _drawn(drawing: Plain | None) -> Plain | None:
    """The drawing as SVG: its marks and pins as the snapshot keeps them, with the pen of paper."""
    if drawing is None:
        return None
    return drawing | {"svg": paper_svg(_sheet(drawing), drawing["alt"])}


def _sheet(drawing: Plain) -> Sheet:
    """The marks and pins of a drawing as the snapshot keeps them."""
    return Sheet(
        left=drawing["left"],
        top=drawing["top"],
        width=drawing["width"],
        height=drawing["height"],
        marks=[Mark(**mark) for mark in drawing["marks"]],
        pins=[
            Disc(
                text=str(pin["finding"]),
                strong=pin["hazard"],
                x=pin["x"],
                y=pin["y"],
                radius=pin["radius"],
                leader=pin["leader"],
            )
            for pin in drawing["pins"]
        ],
    )


def _cover_lines(report: Plain) -> list[Plain]:
    document, survey, building = report["document"], report["survey"], report["building"]
    facts = (
        *heading_facts(document),
        (_("Day of the visit"), survey["day_words"]),
        (_("Surveyed by"), survey["surveyors"]),
        (_("As recorded by"), _last_moment(report["page_one"])),
        (_("For"), survey["client"]),
        (_("Building"), building_line(building)),
        (_("Built"), building["built"]),
        (_("Protection"), building["protection"] or _("none known to us")),
        (_("Consent from"), building["consent_body"]),
    )
    return facts_known(facts)


def _last_moment(page_one: Plain) -> str:
    words = _("%(moment)s, at the building; what was recorded later is not in it")
    return words % {"moment": page_one["moment_words"]}
