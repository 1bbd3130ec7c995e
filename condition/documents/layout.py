"""The layout of a condition report: from its snapshot to a page of HTML, and nothing else."""

from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from sites.documents.laying_out import (
    building_line,
    fact_rows,
    facts_known,
    heading_facts,
    lay_out,
    two_a_row,
)

Plain = dict[str, Any]
# The largest opening is 560 units high: 56 mm.
MM_PER_UNIT = Decimal("0.1")
MARGIN_UNITS = 12


def report_html(snapshot: Plain) -> str:
    """Return the report as HTML, for the printer. Reads the snapshot alone, no database."""
    return lay_out("documents/condition_report.html", snapshot, _arrange)


def _arrange(report: Plain) -> Plain:
    return {
        "cover_lines": _cover_lines(report),
        "openings": [
            opening
            | {
                "pairs": two_a_row(opening["photographs"]),
                "fact_rows": _fact_rows(opening),
                "drawing": _sized(opening["drawing"]),
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


def _sized(drawing: Plain | None) -> Plain | None:
    """The drawing with its size on paper: all are printed at the same size of a unit."""
    if drawing is None:
        return None
    width, height = Decimal(drawing["width"]), Decimal(drawing["height"])
    return drawing | {
        "view_width": width + 2 * MARGIN_UNITS,
        "view_height": height + 2 * MARGIN_UNITS,
        "width_mm": (width + 2 * MARGIN_UNITS) * MM_PER_UNIT,
        "height_mm": (height + 2 * MARGIN_UNITS) * MM_PER_UNIT,
    }


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
