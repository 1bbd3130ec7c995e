"""Bringing a report's photographs from storage to local files for the printer."""

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from uuid import UUID

from condition.models import Rendition

PRINTED_SIZE = 800


def photograph_keys(snapshot: dict[str, Any]) -> Iterator[UUID]:
    """Return the key of every photograph that a report's snapshot prints."""
    for entry in (snapshot, *snapshot["openings"]):
        for photograph in entry.get("general_photographs", entry.get("photographs", [])):
            yield UUID(photograph["id"])


def fetch_images(snapshot: dict[str, Any], folder: Path) -> dict[str, Path]:
    """Return `photo:<key>/800` to a copy in `folder`, for every photograph of the snapshot.

    A photograph whose rendition is not there is left out: the printer then names it.
    """
    wanted = list(photograph_keys(snapshot))
    renditions = Rendition.objects.filter(photograph__in=wanted, size=PRINTED_SIZE)
    found: dict[str, Path] = {}
    for rendition in renditions:
        target = folder / f"{rendition.photograph_id}.jpg"
        if _copy(rendition, target):
            found[f"photo:{rendition.photograph_id}/{PRINTED_SIZE}"] = target
    return found


def _copy(rendition: Rendition, target: Path) -> bool:
    try:
        with rendition.file.open("rb") as source, target.open("wb") as copy:
            shutil.copyfileobj(source, copy)
    except FileNotFoundError:
        return False
    return True
