"""The layout of a make-safe notice: from its snapshot to a page of HTML, and nothing else."""

from typing import Any, Final

from django.utils.translation import gettext as _

from sites.documents.laying_out import building_line, facts_known, heading_facts, lay_out

Plain = dict[str, Any]
# From letters to be read across a room to letters that let the longest notice stand on one page.
SETTINGS: Final = ("wide", "middle", "close")
# Letters of text that each setting but the last has room for, as tried out with wide capitals.
ROOM: Final = (520, 760)


def settings_to_try(snapshot: Plain) -> tuple[str, ...]:
    """Return the settings worth printing, the largest first: one by one until it is one page."""
    content = snapshot["content"]
    letters = sum(len(content[name]) for name in ("hazard", "area", "done", "told"))
    beyond = sum(letters > room for room in ROOM)
    return SETTINGS[beyond:]


def notice_html(snapshot: Plain, setting: str = SETTINGS[0]) -> str:
    """Return the notice as HTML, for the printer. Reads the snapshot alone, no database.

    setting: one of SETTINGS, how large the letters are.
    """
    return lay_out(
        "documents/make_safe.html", snapshot, lambda notice: _arrange(notice) | {"setting": setting}
    )


def _arrange(notice: Plain) -> Plain:
    danger, made_safe = notice["danger"], notice["made_safe"]
    found = _("%(kind)s, %(where)s (finding %(number)d, survey of %(day)s)") % {
        "kind": danger["kind"],
        "where": danger["where"],
        "number": danger["finding_number"],
        "day": danger["survey_day_words"],
    }
    foot = facts_known(
        [*heading_facts(notice["document"]), (_("Building"), building_line(notice["building"]))]
    )
    return {
        "told": facts_known(
            [
                (_("What was found"), danger["hazard"]),
                (_("Where"), found),
                (_("What was done"), made_safe["done"]),
                (_("Who was told"), made_safe["told"]),
                (_("Closed since"), made_safe["closed_words"]),
            ]
        ),
        "foot": foot,
        "contact": [
            part for part in (notice["studio"]["phone"], notice["studio"]["email"]) if part
        ],
    }
