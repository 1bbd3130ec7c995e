"""The layout of an inscription proof: from its snapshot to a page of HTML, and nothing else."""

from decimal import Decimal
from typing import Any, Final

from django.utils.translation import gettext as _

from sites.compute.plain_numbers import plain_number
from sites.documents.laying_out import (
    building_line,
    fact_rows,
    facts_known,
    heading_facts,
    lay_out,
)

Plain = dict[str, Any]
# Room around the plate on paper, for the line of its edge.
AROUND_MM: Final = 2


def proof_html(snapshot: Plain) -> str:
    """Return the proof as HTML, for the printer. Reads the snapshot alone, no database."""
    return lay_out("documents/inscription_proof.html", snapshot, _arrange)


def _arrange(proof: Plain) -> Plain:
    facts = [
        *facts_known(heading_facts(proof["document"])),
        {"name": _("Building"), "value": building_line(proof["building"])},
        *proof["facts"],
    ]
    paper = proof["document"]["paper"].lower()
    turned = "landscape" if proof["plate"]["landscape"] else "portrait"
    return {
        "fact_rows": fact_rows(facts),
        "drawing": _drawing(proof["plate"]),
        "sheet": f"sheet-{paper}-{turned}",
        "true_size": proof["plate"]["scale"] == 1,
    }


def _drawing(plate: Plain) -> Plain:
    """The frame of the drawing: in its own units, which are mm of the plate, and on paper."""
    scale, width, height, margin = (
        Decimal(plate[name]) for name in ("scale", "width", "height", "margin")
    )
    around = AROUND_MM * scale
    wide, high = width + 2 * around, height + 2 * around
    return {
        "view_box": f"{-around} {-around} {wide} {high}",
        "width_mm": plain_number(wide / scale),
        "height_mm": plain_number(high / scale),
        "clear_width": max(width - 2 * margin, Decimal(0)),
        "clear_height": max(height - 2 * margin, Decimal(0)),
        "line": plain_number(Decimal("0.25") * scale),
        "thin": plain_number(Decimal("0.1") * scale),
        "dash": plain_number(Decimal(1) * scale),
    }
