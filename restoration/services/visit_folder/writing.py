"""Writing a checked folder: every row in one transaction, the photographs' originals before it."""

import logging
from collections import defaultdict
from datetime import date
from functools import cached_property
from typing import cast
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from condition.compute.recording.facts import Key, PhotographData
from condition.models import ActionKind, Finding, Photograph, PhotographFinding, Survey
from condition.services.recording.findings import record_findings
from condition.services.recording.inspections import record_inspections
from condition.services.recording.photographs import (
    file_where_free,
    photograph_row,
    store_original,
)
from restoration.compute.visit_folder.plan import finding_numbers
from restoration.compute.visit_folder.recorded import Keys, finding_data, inspection_data
from restoration.compute.visit_folder.rows import ActionRow
from restoration.models import ActionFinding, Estimate, RepairAction, SharedCost
from restoration.models.choices import Option
from restoration.services.estimates import start_estimate
from restoration.services.visit_folder.agreement import stated
from restoration.services.visit_folder.checking import CheckedFolder, FolderProblemsError
from restoration.services.visit_folder.pictures import CheckedPhotograph, Tell
from restoration.services.visit_folder.register_merge import RegisterMerge
from sites.documents.words import day_words, locale_of
from sites.errors import SaddlebarError
from sites.keys import uuid7
from sites.models import Building, User, VisitFolder
from sites.rules.actor import acting_as
from sites.services.recording import NotRecordedError
from sites.services.stored_files import StoredFiles, kept_only_on_success

logger = logging.getLogger(__name__)

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
        originals = _store_originals(checked, stored, tell)
        tell("writing the rows")
        try:
            with transaction.atomic(durable=True):
                folder = FolderWriter(checked, user).write(originals)
        except (IntegrityError, NotRecordedError) as error:
            raise FolderRefusedError(
                _("The database refused this folder (%(why)s). Nothing was changed; try again.")
                % {"why": error}
            ) from error
    logger.info("visit folder %s taken in: %s", folder.pk, folder.counts)
    return folder


def _store_originals(
    checked: CheckedFolder, stored: StoredFiles, tell: Tell
) -> dict[str, Photograph]:
    """Store the photographs that are not here yet; their rows, by digest, are not saved."""
    # Where a file is stored depends on the studio alone; the building may not be there yet.
    anywhere = Building(studio=checked.studio)
    wanted = [
        each for each in checked.photographs if each.received.sha256 not in checked.here_already
    ]
    rows: dict[str, Photograph] = {}
    for done, each in enumerate(wanted, start=1):
        name, caption = each.placed.file.name, each.placed.caption
        data = PhotographData(building=None, name=name, caption=caption)
        row = photograph_row(data, each.received)
        row.building = anywhere
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
        self._write_inspections()
        self._write_photographs(originals)
        estimate = self._write_estimate()
        return self._write_folder(estimate, len(originals))

    def _write_surveys(self) -> None:
        self.surveys = {
            row.survey: Survey(
                own_key=row.survey,
                building=self.register.building,
                day=cast("date", row.date),
                surveyors=row.surveyors,
                **stated(row, SURVEY_COLUMNS),
            )
            for row in self.rows.surveys
        }
        Survey.objects.bulk_create(self.surveys.values())

    @cached_property
    def keys(self) -> Keys:
        """The keys of what stands in the register and in this folder, by their names in it."""
        register, checked = self.register, self.checked
        kinds = {kind.code: kind.pk for kind in checked.studio.finding_kinds.all()}
        new: dict[str, Key] = {row.finding: uuid7() for row in self.rows.findings}
        return Keys(
            surveys={name: row.pk for name, row in self.surveys.items()},
            openings={number: row.pk for number, row in register.openings.items()},
            panels={place: row.pk for place, row in register.panels.items()},
            items={place: row.pk for place, row in register.items.items()},
            kind=lambda written: kinds.get(checked.vocabulary.finding_kind(written) or ""),
            findings={name: row.pk for name, row in checked.earlier_findings.items()} | new,
        )

    def _write_findings(self) -> None:
        by_survey: dict[str, list[str]] = defaultdict(list)
        for row in self.rows.findings:
            by_survey[row.survey].append(row.finding)
        numbers = {name: finding_numbers(names) for name, names in by_survey.items()}
        entries = {
            self._finding_key(row.finding): finding_data(
                row, self.keys, numbers[row.survey][row.finding]
            )
            for row in self.rows.findings
        }
        made = record_findings(entries, self.user) if entries else {}
        names = [row.finding for row in self.rows.findings]
        self.findings = {name: made[self._finding_key(name)] for name in names}

    def _finding_key(self, name: str) -> UUID:
        return cast("UUID", self.keys.findings[name])

    def _write_inspections(self) -> None:
        entries = {uuid7(): inspection_data(row, self.keys) for row in self.rows.inspections}
        if entries:
            record_inspections(entries, self.user)

    def _write_photographs(self, originals: dict[str, Photograph]) -> None:
        new = []
        for each in self.checked.photographs:
            there = self.checked.here_already.get(each.received.sha256)
            data = self._photograph_data(each)
            if there is not None:
                file_where_free(there, data)
                continue
            row = originals[each.received.sha256]
            row.building = self.register.building
            row.survey_id = cast("UUID | None", data.survey)
            row.opening_id = cast("UUID | None", data.opening)
            new.append((row, data))
        Photograph.objects.bulk_create(row for row, _data in new)
        PhotographFinding.objects.bulk_create(
            PhotographFinding(photograph=row, finding_id=cast("UUID", key))
            for row, data in new
            for key in data.findings
        )

    def _photograph_data(self, each: CheckedPhotograph) -> PhotographData:
        placed = each.placed
        return PhotographData(
            building=self.register.building.pk,
            survey=self.keys.surveys[placed.survey],
            opening=self.keys.openings[placed.opening],
            findings=tuple(self.keys.findings[name] for name in placed.findings),
            caption=placed.caption,
        )

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
                kind=cast("str", row.kind),
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
