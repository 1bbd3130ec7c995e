"""The plan of taking a folder in: its rows and photographs, or all that stands in the way."""

import datetime
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from restoration.compute.visit_folder.check_findings import FindingsCheck
from restoration.compute.visit_folder.check_plausible import check_plausible
from restoration.compute.visit_folder.check_register import check_register
from restoration.compute.visit_folder.folder import FolderFiles
from restoration.compute.visit_folder.known import Known, Vocabulary
from restoration.compute.visit_folder.photograph_places import PhotographPlaces, PlacedPhotograph
from restoration.compute.visit_folder.problems import Problem
from restoration.compute.visit_folder.recorded import known_in
from restoration.compute.visit_folder.rows import Rows, SurveyRow
from restoration.compute.visit_folder.subjects import Subjects

_ENDING_IN_FIGURES = re.compile(r".*?(\d{1,6})")


@dataclass(frozen=True)
class FolderPlan:
    """What would be taken in."""

    rows: Rows
    photographs: tuple[PlacedPhotograph, ...]

    @property
    def latest_survey(self) -> SurveyRow | None:
        """The survey the condition report is of: the latest by its date, the lower of two alike."""
        dated = [row for row in self.rows.surveys if row.date]
        return max(reversed(dated), key=lambda row: row.date or datetime.date.min, default=None)


def make_plan(
    files: FolderFiles,
    rows: Rows,
    unreadable: Iterable[Problem],
    known: Known,
    vocabulary: Vocabulary,
    today: datetime.date,
) -> tuple[FolderPlan, list[Problem]]:
    """Return the plan for a folder's files and rows, and the problems of taking them together.

    unreadable: the problems of reading the rows. What follows from a cell that could not be
        read is not named a second time.

    A plan with problems, of its own or of the reading, is not fit to be carried out.
    """
    subjects = Subjects(rows, known)
    recorded = known_in(rows, subjects, known, vocabulary)
    places = PhotographPlaces(files.photographs, rows, subjects, recorded)
    photographs = tuple(places.work_out())
    problems = [
        *check_register(rows, subjects),
        *FindingsCheck(rows, subjects, recorded, vocabulary, today).problems(),
        *places.problems,
        *check_plausible(rows),
    ]
    said = {_cell(problem) for problem in unreadable}
    return FolderPlan(rows, photographs), [each for each in problems if _cell(each) not in said]


def _cell(problem: Problem) -> tuple[str, str, int, str]:
    return problem.file, problem.sheet, problem.row, problem.column


def finding_numbers(keys: Sequence[str]) -> dict[str, int]:
    """Return the number of each finding of one survey, from the keys it has in the workbook.

    Where every key ends in figures and no two in the same, those are the numbers, so that the
    notes taken on site still fit: 2026-014 is 14. Else they are counted from 1, as they stand.
    """
    endings = [_ENDING_IN_FIGURES.fullmatch(key) for key in keys]
    numbers = [int(ending[1]) for ending in endings if ending]
    if len(set(numbers)) == len(keys) and 0 not in numbers:
        return dict(zip(keys, numbers, strict=True))
    return {key: number for number, key in enumerate(keys, start=1)}
