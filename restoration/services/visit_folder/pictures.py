"""The photographs of a folder, looked at and copied before anything is written."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from condition.compute.recording.facts import PhotographData
from condition.models import Photograph
from condition.services.photographs import photograph_limits
from condition.services.recording.photographs import Received, elsewhere, look_at
from restoration.compute.visit_folder.folder import FolderFile
from restoration.compute.visit_folder.photograph_places import PlacedPhotograph
from restoration.compute.visit_folder.problems import Place, Problem
from sites.compute.photographs.errors import PhotographDamaged, PhotographRefused
from sites.compute.photographs.renditions import Rendition as Copy
from sites.compute.photographs.renditions import make_renditions
from sites.models import Building

Tell = Callable[[str], None]
TELL_EVERY = 10


@dataclass(frozen=True)
class CheckedPhotograph:
    """A photograph that is whole: where it goes, and what is known of it."""

    placed: PlacedPhotograph
    received: Received


class CopyBench:
    """A folder for the copies made while checking, so that no photograph is decoded twice."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def keep(self, sha256: str, copies: Iterable[Copy]) -> None:
        for copy in copies:
            name = f"{sha256}_{copy.max_side_px}_{copy.width_px}_{copy.height_px}.jpg"
            (self._folder / name).write_bytes(copy.jpeg)

    def copies_of(self, sha256: str) -> list[Copy]:
        """Return the copies kept for a photograph's digest."""
        found = []
        for path in sorted(self._folder.glob(f"{sha256}_*.jpg")):
            size, width, height = map(int, path.stem.split("_")[1:])
            found.append(Copy(size, width, height, path.read_bytes()))
        return found


def look_at_all(
    files: Iterable[FolderFile], bench: CopyBench, tell: Tell
) -> tuple[dict[str, Received], list[Problem]]:
    """Return what is known of each photograph by the file's name, and those that are not whole."""
    looked_at: dict[str, Received] = {}
    problems = []
    wanted = list(files)
    for done, file in enumerate(wanted, start=1):
        try:
            looked_at[file.name] = _received(file, bench)
        except (PhotographRefused, PhotographDamaged) as error:
            reason = error.message if isinstance(error, PhotographRefused) else _damage(error)
            problems.append(Place(file.name).problem("", reason))
        except OSError as error:
            what = f"This file cannot be read: {error.strerror}."
            problems.append(Place(file.name).problem("", what, "Copy it from the camera again."))
        if done % TELL_EVERY == 0 or done == len(wanted):
            tell(f"looked at {done} of {len(wanted)} photographs")
    return looked_at, problems


def _received(file: FolderFile, bench: CopyBench) -> Received:
    with file.path.open("rb") as opened:
        received = look_at(opened)
        bench.keep(received.sha256, make_renditions(opened, limits=photograph_limits()).all)
    return received


def _damage(error: PhotographDamaged) -> str:
    return (
        f"This photograph is damaged: {error.reason}. Copy it from the camera again, or take it "
        "out of the folder."
    )


def pair_up(
    placed: Iterable[PlacedPhotograph], looked_at: dict[str, Received]
) -> tuple[list[CheckedPhotograph], list[Problem]]:
    """Return the photographs to take in, each content once, and those that are in two places."""
    first: dict[str, CheckedPhotograph] = {}
    problems = []
    for photograph in placed:
        received = looked_at.get(photograph.file.name)
        if received is None:
            continue  # not whole, which has been said
        same = first.setdefault(received.sha256, CheckedPhotograph(photograph, received))
        if same.placed.goes_to != photograph.goes_to:
            what = (
                f"This is the same photograph as {same.placed.file.name}, which goes to "
                f"{same.placed.goes_to}, not {photograph.goes_to}."
            )
            problems.append(_say(photograph, what, "Keep one of the two."))
    return list(first.values()), problems


def here_already(
    checked: Iterable[CheckedPhotograph], building: Building | None
) -> tuple[dict[str, Photograph], list[Problem]]:
    """Return the building's photographs that the folder brings again, by digest.

    One that is filed with an earlier survey or finding is not moved: that is a problem.
    """
    if building is None:
        return {}, []
    rows = building.photographs.select_related("survey", "opening").with_findings()
    by_digest = {row.sha256: row for row in rows}
    openings: dict[str, object] = dict(building.openings.values_list("number", "pk"))
    there, problems = {}, []
    for photograph in checked:
        row = by_digest.get(photograph.received.sha256)
        if row is None:
            continue
        there[row.sha256] = row
        placed = photograph.placed
        # Its survey, and an opening that is not registered yet, are other ones than any it has.
        opening = openings.get(placed.opening, placed.opening)
        data = PhotographData(building=building.pk, survey=placed.survey, opening=opening)
        for problem in elsewhere(row, data):
            problems.append(_say(placed, str(problem.message), "Take it out of this folder."))
    return there, problems


def _say(placed: PlacedPhotograph, what: str, possible: str) -> Problem:
    return placed.at.problem("file" if placed.at.sheet else "", what, possible)
