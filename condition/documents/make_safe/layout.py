"""The layout of a make-safe notice: from its snapshot to a page of HTML, and nothing else."""

from collections.abc import Sequence
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
    told = snapshot["made_safe"]
    words = (snapshot["danger"]["hazard"], told["area"], told["done"], told["told"])
    letters = sum(len(each) for each in words)
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
    foot = facts_known(
        [*heading_facts(notice["document"]), (_("Building"), building_line(notice["building"]))]
    )
    done = _("%(done)s (%(day)s)") % {"done": made_safe["done"], "day": made_safe["done_words"]}
    return {
        "areas": [each["name"].strip().rstrip(".") for each in made_safe["areas"]],
        "told": facts_known(
            [
                (_("What was found"), danger["hazard"]),
                (_("Where"), _where(danger)),
                (_("What was done"), done),
                (_("Who was told"), made_safe["told"]),
                (_("Closed since"), closed_since(made_safe["areas"])),
            ]
        ),
        "foot": foot,
        "contact": [
            part for part in (notice["studio"]["phone"], notice["studio"]["email"]) if part
        ],
    }


def _where(danger: Plain) -> str:
    """Where it is in everyday words, then by its number, and how it became known."""
    what = {"kind": danger["kind"], "where": danger["where"]}
    if danger["finding_number"]:
        seen = {"number": danger["finding_number"], "day": danger["survey_day_words"]}
        found = _("%(kind)s, %(where)s (finding %(number)d, survey of %(day)s)") % (what | seen)
    else:
        known = {"day": danger["since_words"]}
        found = _("%(kind)s, %(where)s (reported on %(day)s)") % (what | known)
    return f"{danger['place']}. {found}" if danger["place"] else found


def closed_since(areas: Sequence[Plain]) -> str:
    """Return since when the areas are closed; each by name where it was not all at once."""
    moments = list(dict.fromkeys(each["closed_words"] for each in areas))
    if len(moments) == 1:
        return str(moments[0])
    return "; ".join(
        f"{each['name'].strip().rstrip('.')}: {each['closed_words']}" for each in areas
    )
