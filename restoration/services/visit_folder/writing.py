"""Writing a checked folder: every row in one transaction, the photographs' originals before it."""

import logging
from collections import defaultdict
from typing import Any

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from condition.models import ActionKind, Finding, FindingKind, Inspection, Photograph, Survey
from condition.models.choices import SeenFrom, Side
from condition.services.classes import keep_all_proposals
from condition.services.photographs import file_where_free, new_photograph, store_original
from restoration.compute.visit_folder.plan import finding_numbers
from restoration.compute.visit_folder.rows import ActionRow, FindingRow, SubjectRow
from restoration.models import ActionFinding, Estimate, RepairAction, SharedCost
from restoration.models.choices import Option
from restoration.services.estimates import start_estimate
from restoration.services.visit_folder.agreement import as_columns, stated
from restoration.services.visit_folder.checking import CheckedFolder, FolderProblemsError
from restoration.services.visit_folder.pictures import CheckedPhotograph, Tell
from restoration.services.visit_folder.register_merge import RegisterMerge
from sites.documents.words import day_words, locale_of
from sites.errors import SaddlebarError
from sites.models import Building, User, VisitFolder
from sites.rules.actor import acting_as
from sites.services.stored_files import StoredFiles, kept_only_on_success

logger = logging.getLogger(__name__)

FINDING_COLUMNS = (
    "side", "extent", "amount", "unit", "position", "part", "water", "span", "within", "datum",
    "diagnosis", "note", "hazard", "made_safe",
    "condition_class", "urgency_class", "recommendation_class", "classes_reason",
)  # fmt: skip
SURVEY_COLUMNS = ("purpose", "client", "method", "access", "weather", "limits", "distribution")
TELL_EVERY = 10


class FolderRefusedError(SaddlebarError):
    """The database refused a folder that looked right: somebody was quicker, most likely."""


def write_folder(checked: CheckedFolder, user: User, tell: Tell) -> VisitFolder:
    """Write all of a folder, or nothing of it, and return its row.

    Originals are stored first and taken away again if the transaction does not commit.
    Raises FolderProblemsError when the register has changed since the check so that the two
    are now at odds, and FolderRefusedError when the database refuses a row.
    """
    with kept_only_on_success() as stored, acting_as(str(user.pk)):
        originals = _store_originals(checked, user, stored, tell)
        tell("writing the rows")
        try:
            with transaction.atomic(durable=True):
                folder = FolderWriter(checked, user).write(originals)
        except IntegrityError as error:
            raise FolderRefusedError(
                _("The database refused this folder (%(why)s). Nothing was changed; try again.")
                % {"why": error}
            ) from error
    logger.info("visit folder %s taken in: %s", folder.pk, folder.counts)
    return folder


def _store_originals(
    checked: CheckedFolder, user: User, stored: StoredFiles, tell: Tell
) -> dict[str, Photograph]:
    """Store the photographs that are not here yet; their rows, by digest, are not saved."""
    # Where a file is stored depends on the studio alone; the building may not be there yet.
    anywhere = Building(studio=checked.studio)
    wanted = [
        each for each in checked.photographs if each.received.sha256 not in checked.here_already
    ]
    rows: dict[str, Photograph] = {}
    for done, each in enumerate(wanted, start=1):
        row = new_photograph(
            each.received,
            building=anywhere,
            survey=None,
            opening=None,
            finding=None,
            name=each.placed.file.name,
            caption=each.placed.caption,
            user=user,
        )
        with each.placed.file.path.open("rb") as file:
            store_original(row, file, stored)
        rows[row.sha256] = row
        if done % TELL_EVERY == 0 or done == len(wanted):
            tell(f"stored {done} of {len(wanted)} photographs")
    return rows


class FolderWriter:
    """Writes the rows of one folder, inside a transaction."""

    def __init__(self, checked: CheckedFolder, user: User) -> None:
        self.checked, self.user, self.rows = checked, user, checked.plan.rows
        self.surveys: dict[str, Survey] = {}
        self.findings: dict[str, Finding] = {}

    def write(self, originals: dict[str, Photograph]) -> VisitFolder:
        """Write the rows in the order in which they refer to one another."""
        self.register = RegisterMerge(self.rows, self.checked.studio)
        if self.register.problems:
            raise FolderProblemsError(self.register.problems)
        self.register.write()
        self._write_surveys()
        self._write_findings()
        keep_all_proposals(list(self.findings.values()), self.user)
        self._write_inspections()
        self._write_photographs(originals)
        estimate = self._write_estimate()
        return self._write_folder(estimate, len(originals))

    def _write_surveys(self) -> None:
        self.surveys = {
            row.survey: Survey(
                own_key=row.survey,
                building=self.register.building,
                day=row.date,
                surveyors=row.surveyors,
                **stated(row, SURVEY_COLUMNS),
            )
            for row in self.rows.surveys
        }
        Survey.objects.bulk_create(self.surveys.values())

    def _write_findings(self) -> None:
        """Earlier surveys first: a finding continues one that is there by then."""
        kinds = {kind.code: kind for kind in self.checked.studio.finding_kinds.all()}
        by_survey: dict[str, list[FindingRow]] = defaultdict(list)
        for row in self.rows.findings:
            by_survey[row.survey].append(row)
        for survey in sorted(self.rows.surveys, key=lambda row: row.date or self.checked.today):
            rows = by_survey[survey.survey]
            numbers = finding_numbers([row.finding for row in rows])
            made = [self._finding(row, numbers[row.finding], kinds) for row in rows]
            Finding.objects.bulk_create(made)
            self.findings |= {row.finding: one for row, one in zip(rows, made, strict=True)}

    def _finding(self, row: FindingRow, number: int, kinds: dict[str, FindingKind]) -> Finding:
        earlier = self.findings.get(row.continues)
        return Finding(
            survey=self.surveys[row.survey],
            number=number,
            own_key=row.finding,
            kind=kinds[str(self.checked.vocabulary.finding_kind(row.kind))],
            of_total=row.of,
            continues=earlier or self.checked.earlier_findings.get(row.continues),
            **self._subject(row),
            # A side that is not said stays unsaid: "inside" would be made up.
            **({"side": Side.UNKNOWN} | as_columns(stated(row, FINDING_COLUMNS))),
        )

    def _subject(self, row: SubjectRow) -> dict[str, Any]:
        register = self.register
        opening, panel, item = row.subject
        return {
            "opening": register.openings[opening],
            "panel": register.panels[opening, panel] if panel else None,
            "attached_item": register.items[opening, item] if item else None,
        }

    def _write_inspections(self) -> None:
        Inspection.objects.bulk_create(
            Inspection(
                survey=self.surveys[row.survey],
                side=row.side or Side.UNKNOWN,
                outcome=row.outcome,
                seen_from=row.seen_from or SeenFrom.FLOOR,
                reason=row.reason,
                **self._subject(row),
            )
            for row in self.rows.inspections
        )

    def _write_photographs(self, originals: dict[str, Photograph]) -> None:
        new = []
        for each in self.checked.photographs:
            there = self.checked.here_already.get(each.received.sha256)
            if there is not None:
                file_where_free(there, self._placed(Photograph(caption=each.placed.caption), each))
            else:
                new.append(self._placed(originals[each.received.sha256], each))
        Photograph.objects.bulk_create(new)

    def _placed(self, row: Photograph, each: CheckedPhotograph) -> Photograph:
        placed = each.placed
        row.building = self.register.building
        row.survey = self.surveys[placed.survey]
        row.opening = self.register.openings[placed.opening]
        row.finding = self.findings[placed.finding] if placed.finding else None
        return row

    def _write_estimate(self) -> Estimate | None:
        latest = self.checked.plan.latest_survey
        if not self.rows.actions or self.checked.rate_book is None:
            return None
        day = latest.date if latest and latest.date else self.checked.today
        written = day_words(day, locale_of(self.register.building))
        estimate = start_estimate(
            building=self.register.building,
            survey=self.surveys[latest.survey] if latest else None,
            rate_book=self.checked.rate_book,
            title=_("Repairs after the survey of %(day)s") % {"day": written},
        )
        self._write_actions(estimate)
        self._write_shared_costs(estimate)
        return estimate

    def _write_shared_costs(self, estimate: Estimate) -> None:
        SharedCost.objects.bulk_create(
            SharedCost(
                estimate=estimate,
                kind=row.kind,
                **stated(row, ("description", "amount", "phase")),
            )
            for row in self.rows.shared_costs
        )

    def _write_actions(self, estimate: Estimate) -> None:
        kinds = {kind.code: kind for kind in self.checked.studio.action_kinds.all()}
        actions = RepairAction.objects.bulk_create(
            self._action(row, number, estimate, kinds)
            for number, row in enumerate(self.rows.actions, start=1)
        )
        ActionFinding.objects.bulk_create(
            ActionFinding(action=action, finding_id=self.findings[key].pk)
            for action, row in zip(actions, self.rows.actions, strict=True)
            for key in dict.fromkeys(row.finding or ())
        )

    def _action(
        self, row: ActionRow, number: int, estimate: Estimate, kinds: dict[str, ActionKind]
    ) -> RepairAction:
        about = self.findings[(row.finding or ("",))[0]]
        option = row.option or Option.ADVISED
        return RepairAction(
            estimate=estimate,
            number=number,
            kind=kinds[str(self.checked.vocabulary.action_kind(row.kind))],
            opening=about.opening,
            panel=about.panel,
            attached_item=about.attached_item,
            option=option,
            **stated(
                row, ("quantity", "phase", "scope", "difficulty", "lump_sum", "lump_sum_reason")
            ),
        )

    def _write_folder(self, estimate: Estimate | None, photographs: int) -> VisitFolder:
        latest = self.checked.plan.latest_survey
        return VisitFolder.objects.create(
            studio=self.checked.studio,
            building=self.register.building,
            digest=self.checked.digest,
            taken_in_by=self.user,
            counts=self.register.counts() | self.rows.findings_counts(photographs),
            keys={
                "surveys": {key: str(row.pk) for key, row in self.surveys.items()},
                "latest survey": str(self.surveys[latest.survey].pk) if latest else None,
                "estimate": str(estimate.pk) if estimate else None,
            },
        )
