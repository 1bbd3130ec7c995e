"""Photographs made into copies for screens and documents; how they are received: `recording`."""

from collections.abc import Iterable
from io import BytesIO

from django.conf import settings
from django.db import transaction
from django.utils.translation import gettext as _

from condition.models import Photograph, Rendition
from condition.models.choices import PhotographState
from sites.compute.photographs.errors import PhotographDamaged, PhotographRefused
from sites.compute.photographs.limits import Limits
from sites.compute.photographs.look_hash import look_hash_of
from sites.compute.photographs.renditions import RENDITION_SIZES_PX, make_renditions
from sites.compute.photographs.renditions import Rendition as Copy
from sites.errors import JobFailedError
from sites.jobs import ask_for
from sites.models import User


def photograph_limits() -> Limits:
    """Return the largest photograph this installation takes."""
    return Limits(
        max_pixels=settings.PHOTOGRAPH_MAX_PIXELS, max_bytes=settings.PHOTOGRAPH_MAX_BYTES
    )


def ask_to_prepare(photograph: Photograph, user: User | None) -> None:
    """Ask the worker for a photograph's copies; asked twice, it is one job."""
    ask_for(
        photograph.building.studio,
        "prepare_photograph",
        f"prepare_photograph {photograph.pk}",
        user,
        photograph=str(photograph.pk),
    )


def prepare_photograph(photograph: Photograph) -> None:
    """Make the copies of a photograph from its original, or say that it is damaged.

    Does nothing where all is there. Raises JobFailedError when the original is gone.
    """
    if is_prepared(photograph):
        return
    try:
        with photograph.original.storage.open(photograph.original.name) as original:
            copies = make_renditions(original, limits=photograph_limits()).all
    except FileNotFoundError as problem:
        raise JobFailedError(
            _("The original of this photograph is not in storage. Bring it back from the backup.")
        ) from problem
    except PhotographDamaged as problem:
        keep_as_damaged(photograph, problem.reason)
    except PhotographRefused as problem:
        # Taken in under larger limits than today's: kept all the same.
        keep_as_damaged(photograph, problem.message)
    else:
        keep_copies(photograph, copies)


def is_prepared(photograph: Photograph) -> bool:
    """Whether a photograph is known to be damaged, or every copy is there as row and as file."""
    if photograph.state == PhotographState.DAMAGED:
        return True
    files = {rendition.size: rendition.file for rendition in photograph.renditions.all()}
    return photograph.state == PhotographState.READY and all(
        size in files and files[size].storage.exists(files[size].name)
        for size in RENDITION_SIZES_PX
    )


def keep_copies(photograph: Photograph, copies: Iterable[Copy]) -> None:
    """Store the copies of a photograph under its key, over any older ones, and call it ready.

    How it looks, for finding near copies, is kept from the smallest.
    """
    made = list(copies)
    smallest = min(made, key=lambda copy: copy.max_side_px)
    rows = [_stored_copy(photograph, copy) for copy in made]
    with transaction.atomic():
        photograph.renditions.all().delete()
        Rendition.objects.bulk_create(rows)
        photograph.state, photograph.problem = PhotographState.READY, ""
        photograph.look_hash = look_hash_of(smallest.jpeg)
        photograph.save(update_fields=["state", "problem", "look_hash"])


def keep_as_damaged(photograph: Photograph, reason: str) -> None:
    """Say why a photograph cannot be shown; its original stays as it came."""
    photograph.state, photograph.problem = PhotographState.DAMAGED, reason[:240]
    photograph.save(update_fields=["state", "problem"])


def _stored_copy(photograph: Photograph, copy: Copy) -> Rendition:
    row = Rendition(
        photograph=photograph, size=copy.max_side_px, width=copy.width_px, height=copy.height_px
    )
    storage = row.file.storage
    name = row.file.field.generate_filename(row, "copy.jpg")
    # A copy may be left from an attempt that stopped half-way; storage would not write over it.
    storage.delete(name)
    row.file = storage.save(name, BytesIO(copy.jpeg))
    return row
