"""The layout of a condition report: from its snapshot to a page of HTML, and nothing else."""

from typing import Any

from django.utils.translation import gettext as _

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


def report_html(snapshot: Plain) -> str:
    """Return the report as HTML, for the printer. Reads the snapshot alone, no database."""
    return lay_out("documents/condition_report.html", snapshot, _arrange)


def _arrange(report: Plain) -> Plain:
    return {
        "cover_lines": _cover_lines(report),
        "plan": _plan(report["plan"]),
        "openings": [
            opening
            | {
                "pairs": two_a_row(opening["photographs"]),
                "fact_rows": _fact_rows(opening),
                "drawing": _drawn(opening["drawing"]),
            }
            for opening in report["openings"]
        ],
        "general_pairs": two_a_row(report["general_photographs"]),
    }


def _fact_rows(opening: Plain) -> list[list[Plain]]:
    """Beside a drawing there is room for one fact a row; without one, for two."""
    if opening["drawing"]:
        return [[fact] for fact in opening["facts"]]
    return fact_rows(opening["facts"])


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
        (_("For"), survey["client"]),
        (_("Building"), building_line(building)),
        (_("Built"), building["built"]),
        (_("Protection"), building["protection"] or _("none known to us")),
        (_("Consent from"), building["consent_body"]),
    )
    return facts_known(facts)
