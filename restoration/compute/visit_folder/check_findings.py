"""What is wrong in the rows of surveys, findings, looks and actions taken together."""

import datetime
from collections.abc import Iterator

from restoration.compute.estimate_rules import (
    ActionData,
    action_problems,
    money_problems,
    subject_problems,
)
from restoration.compute.visit_folder import layout
from restoration.compute.visit_folder.check_register import row_data, twice
from restoration.compute.visit_folder.known import Known, Vocabulary, not_known
from restoration.compute.visit_folder.problems import Problem
from restoration.compute.visit_folder.rows import (
    ActionRow,
    FindingRow,
    InspectionRow,
    Rows,
    SubjectRow,
    SurveyRow,
)
from restoration.compute.visit_folder.subjects import Subjects
from sites.compute.problems import once_a_field

FIRST_YEAR = 1800


class FindingsCheck:
    """The checks of findings.xlsx; `today` is the day of taking in."""

    def __init__(
        self,
        rows: Rows,
        subjects: Subjects,
        known: Known,
        vocabulary: Vocabulary,
        today: datetime.date,
    ) -> None:
        self.rows, self.subjects, self.known = rows, subjects, known
        self.vocabulary, self.today = vocabulary, today
        self.currency = (rows.building.currency if rows.building else None) or ""
        self.surveys = {row.survey: row for row in rows.surveys}
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
        yield from self._check_continued_once()
        yield from twice(rows.inspections, "opening", _key_of_inspection)
        for inspection in rows.inspections:
            yield from self._check_inspection(inspection)
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
        yield from self._check_place(row, row.survey)
        kind = self.vocabulary.finding_kind(row.kind)
        if row.kind and kind is None:
            kinds = self.vocabulary.finding_kinds
            yield row.at.problem("kind", *not_known("Kind of finding", row.kind, kinds))
        yield from _check_amount(row)
        if kind and row.unit:
            yield from self._check_unit(row, kind)
        yield from self._check_danger(row, kind)
        if row.continues:
            yield from self._check_continues(row)

    def _check_danger(self, row: FindingRow, kind: str | None) -> Iterator[Problem]:
        if kind in self.vocabulary.dangers and row.hazard is None:
            # Silence is no answer here: a report must not be able to pass over it.
            yield row.at.problem(
                "hazard",
                f'The kind "{kind}" can fall on people.',
                "Say yes or no.",
            )
        if row.hazard and row.urgency_class == 0:
            yield row.at.problem(
                "urgency class",
                "It can hurt someone, so it cannot wait for the long term.",
                "Give a higher one, or say that it cannot hurt anyone.",
            )
        if row.recommendation_class == 3 and not row.diagnosis:
            yield row.at.problem(
                "diagnosis",
                "A major intervention rests on a diagnosis, and none is given.",
                "Say what causes it, or recommend 2: repair or investigate.",
            )

    def _check_unit(self, row: FindingRow, kind: str) -> Iterator[Problem]:
        units = self.vocabulary.finding_kinds[kind]
        if units and row.unit not in units:
            shown = " or ".join(sorted(units))
            yield row.at.problem("unit", f"{kind} is not given in {row.unit}.", f"Use {shown}.")

    def _check_continues(self, row: FindingRow) -> Iterator[Problem]:
        earlier = self.findings.get(row.continues)
        before = self.known.findings.get(row.continues)
        if row.continues == row.finding:
            yield row.at.problem(
                "continues", "A finding cannot continue itself.", "Name the earlier one."
            )
        elif earlier is not None:
            survey = self.surveys.get(earlier.survey)
            day = survey.date if survey else None
            yield from self._check_earlier(row, earlier.opening, day)
        elif before is not None:
            yield from self._check_earlier(row, before.opening, before.day)
            if before.is_continued:
                what = f"{row.continues} is continued by another finding already."
                yield row.at.problem("continues", what, "Continue that one.")
        else:
            keys = [*self.findings, *self.known.findings]
            yield row.at.problem("continues", *not_known("Finding", row.continues, keys))

    def _check_earlier(
        self, row: FindingRow, opening: str, day: datetime.date | None
    ) -> Iterator[Problem]:
        if opening and row.opening and opening != row.opening:
            what = f"{row.continues} is in {opening}, not {row.opening}."
            yield row.at.problem("continues", what, "A finding continues one of its own opening.")
        survey = self.surveys.get(row.survey)
        if day and survey and survey.date and day >= survey.date:
            what = f"{row.continues} was not seen before {survey.date}."
            yield row.at.problem("continues", what, "Name a finding of an earlier survey.")

    def _check_continued_once(self) -> Iterator[Problem]:
        return twice(self.rows.findings, "continues", lambda row: row.continues)

    def _check_inspection(self, row: InspectionRow) -> Iterator[Problem]:
        yield from self._check_place(row, row.survey)
        if row.outcome == "not inspected" and not row.reason:
            yield row.at.problem(
                "reason", "It is not said why this was not inspected.", "Give the reason."
            )

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


def _check_amount(row: FindingRow) -> Iterator[Problem]:
    """An amount and its unit go together, and stay within what can be."""
    if row.amount is None and row.unit:
        yield row.at.problem("amount", "A unit stands without its amount.", "Give the amount.")
    if row.amount is None:
        return
    if not row.unit:
        yield row.at.problem(
            "unit", f"The amount {row.amount} has no unit.", "Say what it counts or measures."
        )
    elif row.unit.startswith("percent") and row.amount > 100:
        yield row.at.problem(
            "amount", f"{row.amount} % is over 100 %.", "Give a share of 0 to 100."
        )
    elif row.unit.startswith("percent") and 0 < row.amount < 1:
        yield row.at.problem(
            "amount",
            f"{row.amount} % is very little.",
            "A cell that shows 35% holds 0.35: type 35.",
        )
    elif row.unit == "count" and row.amount != row.amount.to_integral_value():
        yield row.at.problem("amount", f"{row.amount} is no count.", "Give a whole number.")
    yield from _check_total(row)


def _check_total(row: FindingRow) -> Iterator[Problem]:
    if row.of is None or row.amount is None:
        return
    if row.unit and row.unit != "count":
        yield row.at.problem("of", "A total goes with a count only.", "Leave it empty.")
    elif row.amount > row.of:
        yield row.at.problem(
            "amount", f"{row.amount} cannot be out of {row.of}.", "Check both figures."
        )


def _key_of_inspection(row: InspectionRow) -> tuple[str, ...]:
    """A subject is looked at once from each side in a survey."""
    part = row.item or row.panel or row.opening
    return row.survey, row.opening, part, row.side or "side not said"


def subject_label(row: SubjectRow) -> str:
    """Return `nII 3b`: the opening, then the panel or item where there is one."""
    return " ".join(part for part in row.subject if part)
