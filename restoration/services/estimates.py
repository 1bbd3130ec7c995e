"""Starting an estimate, and turning findings into its actions."""

import logging
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from uuid import UUID

from django.db import transaction
from django.db.models import Max, QuerySet
from django.utils.translation import gettext as _

from condition.models import ActionCaution, ActionKind, Finding, Survey
from condition.models.choices import UrgencyClass
from condition.services.steps import steps_of
from restoration.compute.estimate_rules import ActionData, action_problems
from restoration.compute.quantities import Seen, suggest, together
from restoration.models import ActionFinding, Estimate, RateBook, RepairAction
from restoration.models.choices import Option
from restoration.services.quantities import (
    SeenFindings,
    reaches_both_faces,
    takes_the_whole_panel,
)
from sites.compute.working import Working
from sites.documents.vocabulary import cautions_for
from sites.keys import uuid7
from sites.models import Building, Studio
from sites.services.figures import figures_of
from sites.services.recording import raise_for

logger = logging.getLogger(__name__)


@dataclass(frozen=True)
class Suggestion:
    """A kind of action that usually answers a finding, with a first quantity if there is one.

    already: an action of this kind on this subject stands in the estimate.
    working: where the quantity comes from, where there is one.
    """

    kind: ActionKind
    quantity: Decimal | None
    already: bool
    working: Working | None = None


@dataclass(frozen=True)
class ChosenAction:
    """One kind of action chosen for one finding."""

    finding: Finding
    kind: ActionKind
    quantity: Decimal | None
    option: str
    phase: int


@dataclass
class _Gathered:
    """Choices of one kind on one subject: they become one action."""

    kind: ActionKind
    chosen: list[ChosenAction] = field(default_factory=list)


def usual_rate_book(studio: Studio, currency: str, day: date) -> RateBook | None:
    """Return the newest book in force on `day`: one in the building's currency before others."""
    in_force = studio.rate_books.filter(valid_from__lte=day).order_by("-valid_from", "name")
    return in_force.filter(currency=currency).first() or in_force.first()


def start_estimate(
    *,
    building: Building,
    survey: Survey | None,
    rate_book: RateBook,
    title: str,
    key: UUID | None = None,
) -> Estimate:
    """Return a new estimate for the building, with the rate book's usual contingency.

    key: of the new row, where the caller has made one already.
    """
    estimate = Estimate.objects.create(
        id=key or uuid7(),
        building=building,
        survey=survey,
        rate_book=rate_book,
        title=title,
        contingency=rate_book.contingency,
        contingency_reason=_usual_reason(survey) if rate_book.contingency else "",
    )
    logger.info("estimate %s started from survey %s", estimate.pk, estimate.survey_id)
    return estimate


def _usual_reason(survey: Survey | None) -> str:
    """Why there is a contingency, until the estimator says it better. The client reads it."""
    if survey is None:
        return _("for what has not been looked at closely yet")
    return _("for what could not be seen when the windows were surveyed")


def next_action_number(estimate: Estimate) -> int:
    """Return the number the next action gets. Call it inside the transaction that saves it."""
    # Two may add at once: on PostgreSQL the row makes the second wait, on SQLite the
    # transaction itself does; the unique constraint stands behind both.
    Estimate.objects.select_for_update().get(pk=estimate.pk)
    last: int | None = estimate.actions.aggregate(last=Max("number"))["last"]
    return (last or 0) + 1


def suggestions_for(
    findings: Sequence[Finding], taken: set[tuple[UUID, UUID]]
) -> dict[UUID, list[Suggestion]]:
    """Return the steps the record supports for each finding by its key, mildest first.

    findings: of one studio, with opening, panel, attached item and their kinds' usual actions
    loaded.
    taken: pairs of kind and subject that have an action in the estimate already.
    """
    if not findings:
        return {}
    seen = SeenFindings()
    steps = steps_of(findings, figures_of(findings[0].kind.studio))
    return {
        finding.pk: [
            _suggestion(kind, seen_of_it, already=(kind.pk, finding.subject_key) in taken)
            for seen_of_it in [seen.seen_of(finding)]
            for kind in steps[finding.pk].supported
        ]
        for finding in findings
    }


def _suggestion(kind: ActionKind, seen: Seen, *, already: bool) -> Suggestion:
    suggested = suggest(
        kind.unit,
        seen,
        both_faces=reaches_both_faces(kind),
        whole_panel=takes_the_whole_panel(kind),
    )
    if suggested is None:
        return Suggestion(kind, None, already)
    return Suggestion(kind, suggested.quantity, already, suggested.working)


def taken_in(estimate: Estimate) -> set[tuple[UUID, UUID]]:
    """Return the pairs of kind and subject that the estimate's actions are about."""
    return set(estimate.actions.values_list("kind_id", "subject_key"))


def usual_option(finding: Finding) -> Option:
    """Return the option a finding's actions start in. A studio default: no source."""
    if finding.hazard or finding.urgency_class == UrgencyClass.IMMEDIATE:
        return Option.MUST
    if finding.urgency_class == UrgencyClass.LONG_TERM:
        return Option.IF_FUNDS_ALLOW
    return Option.ADVISED


@transaction.atomic
def add_actions(
    estimate: Estimate, chosen: Sequence[ChosenAction], first_key: UUID | None = None
) -> list[RepairAction]:
    """Return the actions made from what was chosen, numbered on from the estimate's last.

    first_key: the key of the first of them: given again, IntegrityError and nothing is added.

    The same kind chosen for several findings on one subject is one action for all of them:
    a panel is taken out once, however much is wrong with it. Its option is the most pressing
    and its phase the earliest of those chosen. Raises NotRecordedError where one cannot be.
    """
    number = next_action_number(estimate)
    groups = _one_a_subject(chosen)
    actions = [_action_of(estimate, group, number + place) for place, group in enumerate(groups)]
    if actions and first_key:
        actions[0].pk = first_key
    RepairAction.objects.bulk_create(actions)
    ActionFinding.objects.bulk_create(
        ActionFinding(action=action, finding_id=each.finding.pk)
        for action, group in zip(actions, groups, strict=True)
        for each in group.chosen
    )
    logger.info("estimate %s: %s actions added from findings", estimate.pk, len(actions))
    return actions


def _one_a_subject(chosen: Sequence[ChosenAction]) -> list[_Gathered]:
    groups: dict[tuple[UUID, UUID], _Gathered] = {}
    for each in chosen:
        subject = (each.kind.pk, each.finding.subject_key)
        groups.setdefault(subject, _Gathered(each.kind)).chosen.append(each)
    return list(groups.values())


def _action_of(estimate: Estimate, group: _Gathered, number: int) -> RepairAction:
    finding = group.chosen[0].finding
    action = RepairAction(
        estimate=estimate,
        kind=group.kind,
        number=number,
        opening=finding.opening,
        panel=finding.panel,
        attached_item=finding.attached_item,
        quantity=together(group.kind.unit, [each.quantity for each in group.chosen]),
        option=min((each.option for each in group.chosen), key=Option.values.index),
        phase=min(each.phase for each in group.chosen),
    )
    data = ActionData(quantity=action.quantity, option=action.option, phase=action.phase)
    raise_for(action_problems(data, group.kind.unit, ""))
    return action


def findings_to_price(estimate: Estimate) -> QuerySet[Finding]:
    """Return the findings an estimate may answer: its survey's, or those still standing."""
    findings = Finding.objects.of_building(estimate.building)
    if estimate.survey_id:
        findings = findings.filter(survey=estimate.survey_id)
    else:
        findings = findings.not_continued()
    # An opening is divided from its panels and bars, for the areas of what was found on it.
    return (
        findings.select_related("kind__studio", "opening", "panel", "attached_item", "survey")
        .with_dangers()
        .prefetch_related("opening__panels", "opening__bars", "kind__action_links__action_kind")
        .order_by("opening__order", "opening__number", "number")
    )


def usual_cautions(kinds: Iterable[ActionKind]) -> list[dict[str, str]]:
    """Return the cautions that kinds of work call for, each once, in the reference file's order."""
    return cautions_for(ActionCaution.objects.codes_of(kinds))
