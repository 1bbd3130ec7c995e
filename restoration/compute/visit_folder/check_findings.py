"""What is wrong in the rows of surveys, findings, looks and actions taken together."""

import datetime
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from condition.compute.recording.facts import Context, Key, RecordedInspection, Refused, about
from condition.compute.recording.findings import completed, finding_problems
from condition.compute.recording.inspections import inspection_problems
from restoration.compute.estimate_rules import (
    ActionData,
    action_problems,
    money_problems,
    subject_problems,
)
from restoration.compute.visit_folder import layout
from restoration.compute.visit_folder.check_register import row_data, twice
from restoration.compute.visit_folder.known import Vocabulary, not_known
from restoration.compute.visit_folder.problems import Problem
from restoration.compute.visit_folder.recorded import (
    FINDING_COLUMNS,
    INSPECTION_COLUMNS,
    finding_data,
    inspection_data,
    names_as_keys,
)
from restoration.compute.visit_folder.rows import (
    ActionRow,
    FindingRow,
    Row,
    Rows,
    SubjectRow,
    SurveyRow,
)
from restoration.compute.visit_folder.subjects import Subjects
from sites.compute.problems import once_a_field

FIRST_YEAR = 1800


class FindingsCheck:
    """The checks of findings.xlsx; `today` is the day of taking in.

    known: what is known of the folder and the register, by name. What a finding and a look may
    say is asked of the rules of records; here is only what a sheet adds: names and cells.
    """

    def __init__(
        self,
        rows: Rows,
        subjects: Subjects,
        known: Context,
        vocabulary: Vocabulary,
        today: datetime.date,
    ) -> None:
        self.rows, self.subjects, self.known = rows, subjects, known
        self.vocabulary, self.today = vocabulary, today
        self.currency = (rows.building.currency if rows.building else None) or ""
        self.keys = names_as_keys(known, vocabulary)
        self.surveys = {row.survey for row in rows.surveys}
        self.findings = {row.finding: row for row in rows.findings}

    def problems(self) -> Iterator[Problem]:
        """Yield everything that is wrong, sheet by sheet."""
        rows = self.rows
        yield from twice(rows.surveys, "survey", lambda row: row.survey)
        for survey in rows.surveys:
            yield from self._check_survey(survey)
        yield from twice(rows.findings, "finding", lambda row: row.finding)
        for finding in rows.findings:
            yield from self._check_finding(finding)
        yield from self._check_inspections()
        for action in rows.actions:
            yield from self._check_action(action)
        yield from self._check_shared_costs()

    def _check_shared_costs(self) -> Iterator[Problem]:
        for row in self.rows.shared_costs:
            for problem in money_problems(row.amount, self.currency, "amount"):
                yield row.at.problem("amount", problem.message)
        if self.rows.shared_costs and not self.rows.actions:
            yield self.rows.shared_costs[0].at.problem(
                "",
                "There is no action that could share this cost.",
                "Propose the work on the sheet Actions, or leave this sheet out.",
            )

    def _check_survey(self, row: SurveyRow) -> Iterator[Problem]:
        if row.date is None:
            return
        # One day of grace: it is tomorrow already further east.
        if row.date > self.today + datetime.timedelta(days=1):
            yield row.at.problem("date", f"{row.date} is still to come.", "Give the day it was.")
        elif row.date.year < FIRST_YEAR:
            yield row.at.problem("date", f"{row.date} is before {FIRST_YEAR}.", "Check the year.")

    def _check_place(self, row: SubjectRow, survey: str) -> Iterator[Problem]:
        if survey and survey not in self.surveys:
            yield row.at.problem("survey", *not_known("Survey", survey, self.surveys))
        yield from self.subjects.check(row.at, row.opening, row.panel, row.item)
        yield from self.subjects.check_together(row.at, row.opening, row.panel, row.item)

    def _check_finding(self, row: FindingRow) -> Iterator[Problem]:
        named = [*self._check_place(row, row.survey), *self._check_names(row), *_percent_cell(row)]
        yield from named
        data = completed(finding_data(row, self.keys), self.known)
        refusals = finding_problems(data, self.known, row.finding)
        yield from _at_cells(row, refusals, FINDING_COLUMNS, named)

    def _check_names(self, row: FindingRow) -> Iterator[Problem]:
        if row.kind and self.vocabulary.finding_kind(row.kind) is None:
            kinds = self.vocabulary.finding_kinds
            yield row.at.problem("kind", *not_known("Kind of finding", row.kind, kinds))
        for name in row.continues or ():
            if name not in self.known.findings:
                keys = map(str, self.known.findings)
                yield row.at.problem("continues", *not_known("Finding", name, keys))

    def _check_inspections(self) -> Iterator[Problem]:
        """Each look beside those that stand before it, and the findings of its survey there."""
        before: dict[tuple[str, str], dict[Key, RecordedInspection]] = defaultdict(dict)
        for row in self.rows.inspections:
            named = list(self._check_place(row, row.survey))
            yield from named
            data, place = inspection_data(row, self.keys), (row.survey, row.opening)
            found = self.known.findings_at.get(place, ())
            here = replace(
                self.known,
                inspections=before[place],
                findings={each.label: each for each in found},
            )
            refusals = inspection_problems(data, here)
            yield from _at_cells(row, refusals, INSPECTION_COLUMNS, named)
            before[place][row.at] = RecordedInspection(outcome=data.outcome, **about(data))

    def _check_action(self, row: ActionRow) -> Iterator[Problem]:
        if row.kind and self.vocabulary.action_kind(row.kind) is None:
            kinds = sorted(self.vocabulary.action_kinds)
            yield row.at.problem("kind", *not_known("Kind of action", row.kind, kinds))
        unit = self.vocabulary.action_unit(row.kind) or ""
        # The option has been read by its own list.
        data = row_data(ActionData, row)
        for found in once_a_field(action_problems(data, unit, self.currency)):
            yield layout.ACTIONS.problem(row, found)
        yield from self._check_action_subject(row)

    def _check_action_subject(self, row: ActionRow) -> Iterator[Problem]:
        """All findings of one action are known and about the same thing."""
        subjects: dict[str, str] = {}
        for key in row.finding or ():
            if key in self.findings:
                subjects[key] = subject_label(self.findings[key])
            else:
                yield row.at.problem("finding", *not_known("Finding", key, self.findings))
        for problem in subject_problems(subjects):
            yield row.at.problem("finding", problem.message)


def _percent_cell(row: FindingRow) -> Iterator[Problem]:
    """A spreadsheet keeps what it shows as 35% as 0.35: such a cell is asked about."""
    if row.unit and row.unit.startswith("percent") and row.amount and 0 < row.amount < 1:
        what = f"{row.amount} % is very little."
        yield row.at.problem("amount", what, "A cell that shows 35% holds 0.35: type 35.")


def _at_cells(
    row: Row, refusals: Iterable[Refused], columns: Mapping[str, str], named: Iterable[Problem]
) -> Iterator[Problem]:
    """Put what the rules refuse at the row's cells, where nothing is wrong with them already."""
    wrong = {problem.column for problem in named}
    for refusal in refusals:
        column = columns.get(refusal.field, refusal.field)
        if column not in wrong:
            yield row.at.problem(column, str(refusal))


def subject_label(row: SubjectRow) -> str:
    """Return `nII 3b`: the opening, then the panel or item where there is one."""
    return " ".join(part for part in row.subject if part)
