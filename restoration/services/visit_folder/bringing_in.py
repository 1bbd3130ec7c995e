"""Bringing a folder in from end to end: read, check, write, and make the photographs' copies."""

import tempfile
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from django.utils import timezone

from condition.models import Photograph
from condition.services.photographs import is_prepared, keep_copies, prepare_photograph
from restoration.services.visit_folder.checking import (
    CheckedFolder,
    check_folder,
    open_folder,
)
from restoration.services.visit_folder.pictures import CopyBench, Tell
from restoration.services.visit_folder.register_merge import RegisterMerge
from restoration.services.visit_folder.writing import write_folder
from sites.models import Studio, User, VisitFolder

TELL_EVERY = 10


@dataclass(frozen=True)
class BroughtIn:
    """What became of a folder.

    folder: its row; None where it was only checked. is_new: its rows were written just now.
    counts: how many rows of each kind it brings. left_alone: files that are no part of it.
    """

    folder: VisitFolder | None
    is_new: bool
    counts: dict[str, int]
    left_alone: tuple[str, ...]


def bring_in(
    root: Path, studio: Studio, user: User, tell: Tell, *, check_only: bool = False
) -> BroughtIn:
    """Take the folder at `root` in, whole or not at all, and return what became of it.

    A folder whose names and bytes were taken in before changes nothing; copies of its
    photographs that are lacking are made. With `check_only` nothing is written at all.

    Raises FolderProblemsError with every problem there is, FolderRefusedError when the
    database refuses it, and NotStoredError when storage does not keep a photograph.
    """
    tell("reading the folder")
    files, digest = open_folder(root)
    folder = VisitFolder.objects.filter(studio=studio, digest=digest).first()
    if folder is not None:
        if not check_only:
            make_copies(folder, None, tell)
        return BroughtIn(folder, False, folder.counts, files.left_alone)
    with tempfile.TemporaryDirectory(prefix="copies-") as bench_folder:
        bench = CopyBench(Path(bench_folder))
        today = timezone.now().date()
        checked = check_folder(files, digest, studio, bench, today, tell)
        if check_only:
            return BroughtIn(None, True, counts_of(checked), files.left_alone)
        folder = write_folder(checked, user, tell)
        make_copies(folder, bench, tell)
    return BroughtIn(folder, True, folder.counts, files.left_alone)


def counts_of(checked: CheckedFolder) -> dict[str, int]:
    """Return how many rows of each kind a checked folder would bring."""
    rows = checked.plan.rows
    photographs = len(checked.photographs) - len(checked.here_already)
    return RegisterMerge(rows, checked.studio).counts() | rows.findings_counts(photographs)


def make_copies(folder: VisitFolder, bench: CopyBench | None, tell: Tell) -> None:
    """Make the copies that the folder's photographs lack; done again after a crash, it goes on."""
    lacking = [row for row in _photographs_of(folder) if not is_prepared(row)]
    for done, photograph in enumerate(lacking, start=1):
        copies = bench.copies_of(photograph.sha256) if bench else []
        if copies:
            keep_copies(photograph, copies)
        else:
            prepare_photograph(photograph)
        if done % TELL_EVERY == 0 or done == len(lacking):
            tell(f"prepared {done} of {len(lacking)} photographs")


def _photographs_of(folder: VisitFolder) -> Iterable[Photograph]:
    surveys = folder.keys.get("surveys", {}).values()
    return (
        Photograph.objects.filter(survey__in=surveys)
        .select_related("building")
        .prefetch_related("renditions")
    )
