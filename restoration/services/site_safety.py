"""What planned work is to mind on site, from its kinds and the openings it is at."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from urllib.parse import urlencode

from django.urls import reverse

from condition.compute.safety.facts import SheetCaution
from condition.models import ActionCaution, ActionKind
from condition.services.safety_sheets import cautions_for_work, facts_for_work
from sites.models import Building, Opening
from sites.models.building import UNDER_SIDES
from sites.models.choices import WhoIsUnder


@dataclass(frozen=True)
class SiteSafety:
    """The cautions of planned work, and where a sheet is made from the same facts."""

    cautions: tuple[SheetCaution, ...]
    sheet_url: str


def site_safety(
    building: Building, title: str, work: Iterable[tuple[ActionKind, Opening | None]]
) -> SiteSafety | None:
    """Return what the kinds of `work` at their openings are to mind; None for no work.

    The highest head of an opening counts; one whose height is not recorded makes it unknown.
    Nobody is below where every opening says so of both sides; not answered counts as people.
    """
    work = list(work)
    if not work:
        return None
    codes = sorted(ActionCaution.objects.codes_of(kind for kind, _opening in work))
    openings = [opening for _kind, opening in work if opening is not None]
    height = highest_head(openings) if len(openings) == len(work) else None
    below = _people_below(openings)
    facts = facts_for_work(building, codes, height_mm=height, people_below=below)
    asked = {"title": title[:160], "codes": ",".join(codes)}
    if height is not None:
        asked["height"] = str(height)
    add = reverse("condition:safety-sheet-add", args=[building.pk])
    return SiteSafety(cautions_for_work(building, facts), f"{add}?{urlencode(asked)}")


def _people_below(openings: Iterable[Opening]) -> bool | None:
    """Whether people pass under any of the openings; None where nobody answered for one."""
    answers = {opening.who_is_under(side) for opening in openings for side in UNDER_SIDES}
    if WhoIsUnder.PEOPLE in answers:
        return True
    return None if not answers or "" in answers else False


def highest_head(openings: Iterable[Opening]) -> Decimal | None:
    """Return the height in mm above the floor of the highest head; None where one is unknown."""
    heads = []
    for opening in openings:
        if opening.sill_height_mm is None or opening.height_mm is None:
            return None
        heads.append(opening.sill_height_mm + opening.height_mm)
    return max(heads, default=None)
