"""The one way a repair action is recorded and changed."""

from collections.abc import Iterator
from typing import Any, cast
from uuid import UUID

from condition.models import ActionKind, Finding
from restoration.compute.estimate_rules import ActionData, action_problems, place_problems
from restoration.models import Estimate, RepairAction
from restoration.services.estimates import next_action_number
from sites.compute.problems import Problem
from sites.compute.register_rules import ITEM_ELSEWHERE, PANEL_ELSEWHERE
from sites.models import AttachedItem, Opening, Panel, User
from sites.services.recording import Recording, not_there


class Actions(Recording[ActionData, RepairAction]):
    model, data_class, parent = RepairAction, ActionData, "estimate"

    def problems(self, data: ActionData, key: UUID) -> Iterator[Problem]:
        estimates = Estimate.objects.select_related("rate_book", "building")
        estimate = estimates.filter(pk=cast("UUID", data.estimate)).first()
        yield from not_there(estimate, "estimate")
        building = estimate.building if estimate else None
        kinds = ActionKind.objects.filter(studio=building.studio_id if building else None)
        kind = kinds.filter(pk=cast("UUID", data.kind)).first()
        yield from not_there(kind, "kind")
        currency = estimate.rate_book.currency if estimate else ""
        yield from action_problems(data, kind.unit if kind else "", currency)
        yield from self._place(data, building.pk if building else None)

    def _place(self, data: ActionData, building: UUID | None) -> Iterator[Problem]:
        """Where the work is, and that what it answers was found there."""
        here = Opening.objects.filter(pk=cast("UUID", data.opening), building=building)
        yield from not_there(here.exists(), "opening")
        panels = Panel.objects.filter(pk=cast("UUID", data.panel), opening=data.opening)
        if data.panel and not panels.exists():
            yield Problem("panel", PANEL_ELSEWHERE)
        items = AttachedItem.objects.filter(
            pk=cast("UUID", data.attached_item), opening=data.opening
        )
        if data.attached_item and not items.exists():
            yield Problem("attached_item", ITEM_ELSEWHERE)
        here_found = Finding.objects.filter(survey__building=building, pk__in=data.findings)
        findings = list(here_found.values_list("number", "opening"))
        yield from not_there(len(findings) == len(data.findings), "findings")
        yield from place_problems(findings, data.opening)

    def fill(self, record: RepairAction) -> None:
        if record.number is None:
            record.number = next_action_number(record.estimate)

    def link(self, record: RepairAction, data: ActionData) -> None:
        """Link the findings; those no longer named are deleted, which the history sees."""
        findings: Any = data.findings
        record.findings.set(findings)


ACTIONS = Actions()


def record_action(
    data: ActionData, key: UUID, user: User | None, was: ActionData | None = None
) -> RepairAction:
    """Make or change a repair action and return it; see `Recording.record`.

    A new one gets the next number of its estimate. Raises NotRecordedError.
    """
    return ACTIONS.record(data, key, user, was)
