"""Checking a visit folder against itself, the studio's vocabulary and what is registered."""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings

from condition.models import Finding, Photograph
from condition.services.recording.known import finding_label, known_kind
from restoration.compute.visit_folder.folder import FolderFiles, digest_folder, list_folder
from restoration.compute.visit_folder.known import Known, KnownFinding, Vocabulary
from restoration.compute.visit_folder.plan import FolderPlan, make_plan
from restoration.compute.visit_folder.problems import Problem, alike
from restoration.compute.visit_folder.reading import read_rows
from restoration.compute.visit_folder.rows import BuildingRow, Rows
from restoration.models import RateBook
from restoration.services.estimates import usual_rate_book
from restoration.services.visit_folder.pictures import (
    CheckedPhotograph,
    CopyBench,
    Tell,
    here_already,
    look_at_all,
    pair_up,
)
from restoration.services.visit_folder.register_merge import RegisterMerge, known_openings
from restoration.services.visit_folder.workbook_reading import read_workbooks
from sites.errors import SaddlebarError
from sites.models import Building, Studio


class FolderProblemsError(SaddlebarError):
    """A folder that cannot be taken in; `problems` names everything that is wrong in it."""

    def __init__(self, problems: list[Problem]) -> None:
        super().__init__("\n".join(map(str, problems)))
        self.problems = problems


@dataclass(frozen=True)
class CheckedFolder:
    """A folder in which nothing is wrong, ready to be written."""

    studio: Studio
    digest: str
    plan: FolderPlan
    photographs: tuple[CheckedPhotograph, ...]
    here_already: Mapping[str, Photograph]
    earlier_findings: Mapping[str, Finding]
    vocabulary: Vocabulary
    rate_book: RateBook | None
    today: datetime.date


def open_folder(root: Path) -> tuple[FolderFiles, str]:
    """Return the files of a folder and its digest. Raises FolderProblemsError."""
    files = list_folder(root)
    if not files.workbooks:
        raise FolderProblemsError(sorted(files.problems))
    return files, digest_folder(files)


def check_folder(
    files: FolderFiles,
    digest: str,
    studio: Studio,
    bench: CopyBench,
    today: datetime.date,
    tell: Tell,
) -> CheckedFolder:
    """Return the folder as checked; nothing is written but copies of photographs to `bench`.

    Raises FolderProblemsError with every problem there is. What is at odds with the register
    is only looked for once the register's own rows are in order.
    """
    rows, wrong = read_rows(read_workbooks(files.workbooks, settings.WORKBOOK_MEMORY_MIB))
    problems = [*files.problems, *wrong]
    building = _registered(rows.building, studio)
    earlier = _earlier_findings(building)
    known = Known(known_openings(building), _known_findings(earlier))
    tell("checking the rows")
    vocabulary = vocabulary_of(studio)
    plan, wrong = make_plan(files, rows, wrong, known, vocabulary, today)
    problems += wrong
    looked_at, wrong = look_at_all(files.photographs.values(), bench, tell)
    problems += wrong
    photographs, wrong = pair_up(plan.photographs, looked_at)
    there, more = here_already(photographs, building)
    problems += [*wrong, *more, *_recorded_surveys(rows, building)]
    problems += _nearly_registered(rows.building, building, studio)
    book, wrong = _rate_book(rows, studio, today)
    problems += wrong
    problems += _at_odds(files, rows, studio, problems)
    if problems:
        raise FolderProblemsError(sorted(set(problems)))
    return CheckedFolder(
        studio, digest, plan, tuple(photographs), there, earlier, vocabulary, book, today
    )


def vocabulary_of(studio: Studio) -> Vocabulary:
    """Return the studio's kinds of finding with their units, and its kinds of action."""
    actions = studio.action_kinds.values_list("code", "unit")
    return Vocabulary(
        finding_kinds={row.code: known_kind(row, row.code) for row in studio.finding_kinds.all()},
        action_kinds=dict(actions),
    )


def _registered(row: BuildingRow | None, studio: Studio) -> Building | None:
    if row is None:
        return None
    return studio.buildings.filter(name=row.name, place=row.place).first()


def _nearly_registered(
    row: BuildingRow | None, building: Building | None, studio: Studio
) -> list[Problem]:
    """A building written in other capitals or spaces is the same one, not a second."""
    if row is None or building is not None:
        return []
    wanted = alike(row.name), alike(row.place)
    return [
        row.at.problem(
            "name",
            f'"{each.name}" in "{each.place}" is registered already.',
            "Write name and place just so if it is the same building.",
        )
        for each in studio.buildings.all()
        if (alike(each.name), alike(each.place)) == wanted
    ]


def _earlier_findings(building: Building | None) -> dict[str, Finding]:
    """Return the building's findings by their surveyors' own keys; of two alike the newer."""
    if building is None:
        return {}
    rows = Finding.objects.of_building(building).exclude(own_key="").order_by("received_at", "id")
    rows = rows.select_related("opening", "panel", "attached_item", "survey")
    rows = rows.prefetch_related("continuations__survey", "joined_into__survey")
    return {row.own_key: row for row in rows}


def _known_findings(earlier: Mapping[str, Finding]) -> dict[str, KnownFinding]:
    return {
        key: KnownFinding(
            row.opening.number,
            row.survey.day,
            tuple(
                (later.survey.day, finding_label(later.number, later.survey))
                for later in (*row.continuations.all(), *row.joined_into.all())
            ),
            panel=row.panel.number if row.panel else "",
            item=row.attached_item.number if row.attached_item else "",
        )
        for key, row in earlier.items()
    }


def _recorded_surveys(rows: Rows, building: Building | None) -> list[Problem]:
    """A survey that is recorded is not recorded again under a second key."""
    if building is None:
        return []
    there = {(row.day, row.surveyors.casefold()) for row in building.surveys.all()}
    return [
        row.at.problem(
            "date",
            f"A survey of {row.date} by {row.surveyors} is recorded already.",
            "Take it and its rows out of this folder: a recorded survey is completed on its own "
            "page, and an action that lacks its quantity on its estimate.",
        )
        for row in rows.surveys
        if (row.date, row.surveyors.casefold()) in there
    ]


def _rate_book(
    rows: Rows, studio: Studio, today: datetime.date
) -> tuple[RateBook | None, list[Problem]]:
    """Return the book that the actions are priced from: the newest in the building's currency."""
    building = rows.building
    if not rows.actions or building is None or building.currency is None:
        return None, []
    book = usual_rate_book(studio, building.currency, today)
    if book is not None and book.currency == building.currency:
        return book, []
    what = f"The studio has no rate book in {building.currency} that is in force."
    possible = "Make one, or leave the sheet Actions out."
    return None, [building.at.problem("currency", what, possible)]


def _at_odds(
    files: FolderFiles, rows: Rows, studio: Studio, problems: list[Problem]
) -> list[Problem]:
    """Return where the folder and the register are at odds."""
    register = files.workbooks.get("register")
    if rows.building is None or register is None:
        return []
    if any(problem.file == register.name for problem in problems):
        return []
    return RegisterMerge(rows, studio).problems
