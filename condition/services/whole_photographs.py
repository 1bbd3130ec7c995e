"""Reading photographs against what was received: damage noted, lost copies made again."""

from collections.abc import Iterator

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from condition.models import Photograph, Survey
from condition.models.choices import Alike, PhotographState
from condition.services.photographs import (
    has_copies,
    keep_as_damaged,
    make_copies,
    note_damage,
)
from sites.compute.photographs.renditions import RENDITION_SIZES_PX
from sites.models import Building
from sites.verify.checks import Check, Found
from sites.verify.stored import file_trouble

AT_ONCE = 100


def photographs_kept(building: Building | None = None) -> Iterator[Photograph]:
    """Yield every photograph, or those of one building, a hundred in memory at a time."""
    rows = Photograph.objects.filter(building=building) if building else Photograph.objects.all()
    return _in_pages(rows)


def make_whole(survey: Survey) -> None:
    """Read the photographs that a survey's report prints, just before it is printed for ever."""
    for photograph in _in_pages(survey.photographs.exclude(alike=Alike.LEFT_OUT)):
        read_photograph(photograph)


def read_photograph(photograph: Photograph) -> Found:
    """Read an original and its copies, note damage on the row, and make lost copies again.

    Copies are made from a whole original alone. Without one, a copy that is lost loses its row,
    so that no page asks for it, and the photograph is shown by the copies that are left.

    Raises OSError where storage cannot be read at present: that is no damage.
    """
    was_damaged = bool(photograph.damage)
    trouble = note_damage(photograph)
    lost = _lost_copies(photograph)
    if trouble:
        return Found([trouble, *_give_up(photograph, lost)])
    if lost and (photograph.state == PhotographState.READY or was_damaged):
        return _made_again(photograph, lost)
    return Found()


def name_of(photograph: Photograph) -> str:
    """Return what a photograph is called in a list of many buildings."""
    return _("photograph %(key)s, %(name)s (%(building)s)") % {
        "key": photograph.pk,
        "name": photograph,
        "building": photograph.building,
    }


PHOTOGRAPHS = Check("photographs with their copies", photographs_kept, read_photograph, name_of)


def _in_pages(rows: QuerySet[Photograph]) -> Iterator[Photograph]:
    """Rows in the order of their keys. No cursor stays open while the one given is changed."""
    ordered = rows.select_related("building").prefetch_related("renditions").order_by("pk")
    page = list(ordered[:AT_ONCE])
    while page:
        yield from page
        page = list(ordered.filter(pk__gt=page[-1].pk)[:AT_ONCE])


def _lost_copies(photograph: Photograph) -> list[int]:
    """The sizes of which no copy is there, or one that is not as it was made."""
    whole = {
        copy.size
        for copy in photograph.renditions.all()
        if not file_trouble(copy.file, copy.sha256, None)
    }
    return [size for size in RENDITION_SIZES_PX if size not in whole]


def _give_up(photograph: Photograph, lost: list[int]) -> Iterator[str]:
    """Take away the rows of copies that nothing can be made from; yield what is lost for good."""
    there = photograph.renditions.filter(size__in=lost)
    gone = sorted(there.values_list("size", flat=True))
    there.delete()
    if gone:
        yield _("copies are lost too, and cannot be made again: %s") % _sizes(gone)
    if not has_copies(photograph) and photograph.state != PhotographState.DAMAGED:
        keep_as_damaged(photograph, photograph.damage)


def _made_again(photograph: Photograph, lost: list[int]) -> Found:
    make_copies(photograph)
    if photograph.state == PhotographState.READY:
        return Found(mended=[_("lost or damaged copies were made again: %s") % _sizes(lost)])
    return Found([photograph.problem])


def _sizes(sizes: list[int]) -> str:
    return ", ".join(f"{size} px" for size in sizes)
