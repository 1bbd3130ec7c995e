"""Bringing a document's photographs from storage to local files for the printer."""

import shutil
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any
from uuid import UUID

from condition.models import Rendition
from condition.models.photograph import nearest_copy

PRINTED_SIZE = 800


def photograph_keys(snapshot: dict[str, Any]) -> Iterator[UUID]:
    """Return the key of every photograph that a report's snapshot prints."""
    for entry in (snapshot, *snapshot["openings"]):
        for photograph in entry.get("general_photographs", entry.get("photographs", [])):
            yield UUID(photograph["id"])


def fetch_images(snapshot: dict[str, Any], folder: Path) -> dict[str, Path]:
    """Return the copies of all photographs that a report prints; see `fetch_copies`."""
    return fetch_copies(photograph_keys(snapshot), folder)


def fetch_copies(photographs: Iterable[UUID], folder: Path) -> dict[str, Path]:
    """Return `photo:<key>/800` to a copy in `folder`, for every one of `photographs`.

    Where the copy of that size is lost it is the nearest there is; one without any is left out:
    the printer then names it.
    """
    copies: dict[UUID, list[Rendition]] = defaultdict(list)
    for rendition in Rendition.objects.filter(photograph__in=list(photographs)):
        copies[rendition.photograph_id].append(rendition)
    found: dict[str, Path] = {}
    for key, of_one in copies.items():
        nearest = nearest_copy(of_one, PRINTED_SIZE)
        target = folder / f"{key}.jpg"
        if nearest is not None and _copy(nearest, target):
            found[f"photo:{key}/{PRINTED_SIZE}"] = target
    return found


def _copy(rendition: Rendition, target: Path) -> bool:
    try:
        with rendition.file.open("rb") as source, target.open("wb") as copy:
            shutil.copyfileobj(source, copy)
    except FileNotFoundError:
        return False
    return True
