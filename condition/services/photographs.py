"""Photographs made into copies for screens and documents; how they are received: `recording`."""

import hashlib
import logging
from collections.abc import Iterable
from functools import partial
from io import BytesIO
from typing import BinaryIO, cast
from uuid import UUID

from django.conf import settings
from django.core.files import File
from django.db import transaction
from django.utils import timezone
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
from sites.verify.stored import file_trouble

logger = logging.getLogger(__name__)


def photograph_limits() -> Limits:
    """Return the largest photograph this installation takes."""
    return Limits(
        max_pixels=settings.PHOTOGRAPH_MAX_PIXELS, max_bytes=settings.PHOTOGRAPH_MAX_BYTES
    )


def put_back_original(there: Photograph, file: BinaryIO) -> None:
    """Store the bytes of a photograph again whose original was found damaged.

    `file` has the digest that the row names. Should the transaction fail, the row still names a
    file of those very bytes.
    """
    storage, name = there.original.storage, cast(str, there.original.name)
    storage.delete(name)
    file.seek(0)
    there.original = storage.save(name, File(file))
    there.save(update_fields=["original"])
    if not note_damage(there) and there.state == PhotographState.DAMAGED:
        again = f"again {timezone.now():%Y-%m-%d %H:%M:%S}"
        there.state, there.problem = PhotographState.RECEIVED, ""
        there.save(update_fields=["state", "problem"])
        transaction.on_commit(partial(ask_to_prepare, there, None, again))


def ask_to_prepare(photograph: Photograph, user: User | None, again: str = "") -> None:
    """Ask the worker for a photograph's copies; asked twice, it is one job.

    again: tells a later job apart, for copies that were made and lost.
    """
    ask_for(
        photograph.building.studio,
        "prepare_photograph",
        f"prepare_photograph {photograph.pk} {again}".strip(),
        user,
        photograph=str(photograph.pk),
    )


def prepare_photograph(photograph: Photograph) -> None:
    """Make the copies of a photograph from its original, or say that it is damaged.

    Does nothing where all is there. Raises JobFailedError when the original is not what was
    received.
    """
    if is_prepared(photograph):
        return
    # A new one was read back a moment ago; an older one may have gone bad in storage since.
    if photograph.state != PhotographState.RECEIVED:
        refuse_damaged(photograph)
    make_copies(photograph)


def make_copies(photograph: Photograph) -> None:
    """Make every copy of a photograph from its original, over those there are, or call it damaged.

    Raises JobFailedError when the original is not what was received.
    """
    try:
        name = cast(str, photograph.original.name)
        with photograph.original.storage.open(name) as original:
            read = cast(BinaryIO, original)
            copies = make_renditions(read, limits=photograph_limits()).all
    except FileNotFoundError:
        refuse_damaged(photograph)
    except PhotographDamaged as problem:
        refuse_damaged(photograph)
        keep_as_damaged(photograph, problem.reason)
    except PhotographRefused as problem:
        # Taken in under larger limits than today's: kept all the same.
        keep_as_damaged(photograph, problem.message)
    else:
        keep_copies(photograph, copies)


def note_damage(photograph: Photograph) -> str:
    """Read an original, keep on its row what is wrong with it, and return that; "" for nothing.

    Pages and reports name the damage from the row, without reading a file. It goes again once the
    original is whole. Raises OSError where storage cannot be read at present.
    """
    what = _("its original")
    trouble = file_trouble(photograph.original, photograph.sha256, photograph.bytes, what)[:240]
    if trouble != photograph.damage:
        found_at = photograph.damage_found_at or timezone.now()
        photograph.damage = trouble
        photograph.damage_found_at = found_at if trouble else None
        photograph.save(update_fields=["damage", "damage_found_at"])
        logger.warning("photograph %s: %s", photograph.pk, trouble or "whole again")
    return trouble


def refuse_damaged(photograph: Photograph) -> None:
    """Raise JobFailedError where an original is not what was received; one that no copy shows
    either is then called damaged."""
    if trouble := note_damage(photograph):
        if not has_copies(photograph):
            keep_as_damaged(photograph, trouble)
        raise JobFailedError(
            _(
                "This photograph is not whole in storage: %s. Whoever runs the server can bring it "
                "back from the backup: `manage.py restore BACKUPS --missing-files`."
            )
            % trouble
        )


def has_copies(photograph: Photograph) -> bool:
    """Whether any copy is there as a row, asked of the database and not of what was read before."""
    return Rendition.objects.filter(photograph=photograph).exists()


def ask_for_lost_copies(photograph_id: UUID) -> None:
    """Ask the worker for a photograph's copies again, one of which was not in storage.

    At most once an hour: where they cannot be made, asking more often would not help.
    """
    photograph = (
        Photograph.objects.select_related("building__studio")
        .filter(pk=photograph_id, state=PhotographState.READY, damage="")
        .first()
    )
    if photograph is not None:
        ask_to_prepare(photograph, None, f"again {timezone.now():%Y-%m-%d %H}")


def is_prepared(photograph: Photograph) -> bool:
    """Whether a photograph is known to be damaged, or every copy is there as row and as file."""
    if photograph.state == PhotographState.DAMAGED:
        return True
    files = {rendition.size: rendition.file for rendition in photograph.renditions.all()}
    return photograph.state == PhotographState.READY and all(
        size in files and files[size].storage.exists(cast(str, files[size].name))
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
        photograph=photograph,
        size=copy.max_side_px,
        sha256=hashlib.sha256(copy.jpeg).hexdigest(),
        width=copy.width_px,
        height=copy.height_px,
    )
    storage = row.file.storage
    name = row.file.field.generate_filename(row, "copy.jpg")
    # A copy may be left from an attempt that stopped half-way; storage would not write over it.
    storage.delete(name)
    row.file = storage.save(name, BytesIO(copy.jpeg))
    return row
