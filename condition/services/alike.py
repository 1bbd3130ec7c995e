"""Photographs of a survey that look alike: put together, and decided which of them are printed."""

from collections.abc import Iterable, Sequence
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from condition.models import Photograph, Survey
from condition.models.choices import Alike
from sites.compute.figures import Figures
from sites.compute.photographs.look_hash import near_pairs
from sites.errors import SaddlebarError

FIGURE = "photographs.near_copy"


class NoneKeptError(SaddlebarError):
    """A decision that would print none of several photographs that look alike."""


def groups_alike(photographs: Iterable[Photograph], figures: Figures) -> list[list[Photograph]]:
    """Return the photographs that look alike, put together, where somebody must still decide.

    Two belong together that differ in no more bits than the studio's figure says, and so does
    what is like either. A group of which each member was decided on is left out.
    """
    rows = {each.pk: each for each in photographs}
    looks = {key: row.look_hash for key, row in rows.items()}
    group_of: dict[UUID, list[Photograph]] = {}
    for one, other in near_pairs(looks, int(figures.value(FIGURE))):
        mine = group_of.setdefault(one, [rows[one]])
        theirs = group_of.get(other, [rows[other]])
        if mine is not theirs:
            mine.extend(theirs)
            for each in theirs:
                group_of[each.pk] = mine
    order = list(rows)
    groups = {id(group): group for group in group_of.values()}.values()
    return [
        sorted(group, key=lambda each: order.index(each.pk))
        for group in groups
        if any(not each.alike for each in group)
    ]


@transaction.atomic
def decide(survey: Survey, group: Sequence[UUID], printed: Iterable[UUID]) -> int:
    """Keep of photographs that look alike which are printed; none is ever deleted.

    Returns how many are not printed. Raises NoneKeptError where not one would be.
    """
    kept = set(printed) & set(group)
    rows = list(survey.photographs.select_for_update(of=("self",)).filter(pk__in=group))
    if not any(row.pk in kept for row in rows):
        raise NoneKeptError(_("Keep at least one of them: tick the one that is printed."))
    for row in rows:
        row.alike = Alike.PRINTED if row.pk in kept else Alike.LEFT_OUT
        row.save(update_fields=["alike"])
    return sum(row.alike == Alike.LEFT_OUT for row in rows)


def print_again(photograph: Photograph) -> None:
    """Let a photograph that was left out be printed with the others."""
    photograph.alike = Alike.PRINTED
    photograph.save(update_fields=["alike"])
