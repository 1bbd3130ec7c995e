"""The layout of a repair quote: from its snapshot to a page of HTML, and nothing else."""

from typing import Any

from django.utils.translation import gettext as _

from sites.documents.laying_out import building_line, facts_known, heading_facts, lay_out

Plain = dict[str, Any]


def quote_html(snapshot: Plain) -> str:
    """Return the quote as HTML, for the printer. Reads the snapshot alone, no database."""
    return lay_out("documents/repair_quote.html", snapshot, _arrange)


def _arrange(quote: Plain) -> Plain:
    return {"cover_lines": _cover_lines(quote)}


def _cover_lines(quote: Plain) -> list[Plain]:
    document, building = quote["document"], quote["building"]
    facts = (
        *heading_facts(document),
        (_("Stands until"), quote["stands_until_words"]),
        (_("For"), quote["client"]),
        (_("Work"), quote["title"]),
        (_("Building"), building_line(building)),
        (_("Based on"), quote["based_on"]),
        (_("Total"), quote["total"]["words"]),
    )
    return facts_known(facts)
