"""Answers to what an earlier survey left standing: still there, worse, gone, could not be seen."""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from enum import StrEnum
from typing import Any, Final
from uuid import UUID

from django.db import transaction
from django.db.models import Q
from django.utils.translation import gettext as _

from condition.compute.comparing import clears_from_floor
from condition.compute.recording.facts import FindingData, InspectionData, RecordedFinding
from condition.compute.recording.subjects import contradicts
from condition.models import Finding, Inspection, Survey
from condition.models.choices import (
    AmountUnit,
    ConditionClass,
    NotMeasured,
    Outcome,
    RecommendationClass,
    SeenFrom,
    UrgencyClass,
)
from condition.services.continuing import offered, place_of
from condition.services.recording.findings import finding_data, record_finding
from condition.services.recording.inspections import record_inspection
from condition.services.recording.known import about
from sites.keys import uuid7
from sites.models import User
from sites.services.recording import NotRecordedError, Problem

# A reading off a rule is of its day: only what was counted or judged by eye can be "as it was".
READ_ANEW: Final = (AmountUnit.MM, AmountUnit.MM_OUT_OF_PLANE)


class Answer(StrEnum):
    """What can be said of an earlier finding by one press."""

    STILL = "still"
    WORSE = "worse"
    GONE = "gone"
    NOT_SEEN = "not-seen"


def asked_of(offered: Mapping[UUID, Finding], answer: str, key: UUID | None) -> Finding:
    """Return the finding that an answer was pressed for, of those that are asked for.

    Raises NotRecordedError for one that is not, or not any more, and for no answer.
    """
    if key is None or key not in offered or answer not in list(Answer):
        raise _refused(_("That finding is answered already, or is not asked for here."))
    return offered[key]


@transaction.atomic
def say_still_there(survey: Survey, earlier: Finding, user: User, seen_from: str = "") -> Finding:
    """Log an earlier finding again as it was, and return the new one.

    Amounts read off a rule are not copied: they are to be measured again; from the floor it is
    said that they were not reached. Nor is how a danger was made safe. Raises NotRecordedError
    where it is answered already, and as `record_finding`.
    """
    before = _continuing(survey, earlier, seen_from)
    anew: dict[str, Any] = {"amount": None, "unit": "", "of_total": None}
    kept = anew if before.unit in READ_ANEW else {}
    if not before.unit or kept:
        kept = kept | {"not_measured": _not_measured(earlier, seen_from)}
    note = _("As on %(day)s.") % {"day": _day(earlier)}
    return record_finding(replace(before, note=note, **kept), uuid7(), user)


@transaction.atomic
def say_worse(survey: Survey, earlier: Finding, user: User, seen_from: str = "") -> Finding:
    """Log an earlier finding again, its condition one class higher, and return the new one.

    How much worse, and the other classes, are left to be said. Raises as `say_still_there`.
    """
    level = earlier.condition_class
    worse = replace(
        _unmeasured(_continuing(survey, earlier, seen_from)),
        condition_class=None if level is None else min(level + 1, ConditionClass.MAJOR),
        not_measured=_not_measured(earlier, seen_from),
        note=_("Worse than on %(day)s.") % {"day": _day(earlier)},
    )
    return record_finding(worse, uuid7(), user)


@transaction.atomic
def say_gone(survey: Survey, earlier: Finding, seen_from: str, user: User) -> Inspection | Finding:
    """Say that an earlier finding was looked for and is not there; return how that is kept.

    A look at its subject, "nothing found". Where something else is, or may still be, found on
    the same subject, that would not be true: then a finding that continues it and says that
    nothing is wrong there any more. Raises NotRecordedError where it is answered already, and
    from the floor for a danger, and for what was not seen from there before.
    """
    gone = _continuing(survey, earlier, seen_from)
    if seen_from == SeenFrom.FLOOR and not clears_from_floor(place_of(earlier)):
        raise _refused(
            _("From the floor nobody can tell that a danger is gone: say it could not be seen.")
            if earlier.hazard
            else _(
                "From the floor nobody can tell that this is gone: it was not seen from there "
                "before, or that is not recorded. Say it could not be seen."
            )
        )
    look = _look(survey, earlier, Outcome.NOTHING_FOUND, seen_from)
    if not _others_on(survey, earlier, look):
        return _there_already(look) or record_inspection(look, uuid7(), user)
    counted = earlier.amount is not None
    gone = replace(
        _unmeasured(gone),
        amount=Decimal(0) if counted else None,
        unit=earlier.unit,
        of_total=earlier.of_total,
        water=False,
        answer=None,
        condition_class=ConditionClass.NO_SYMPTOMS.value,
        urgency_class=UrgencyClass.LONG_TERM.value,
        recommendation_class=RecommendationClass.NO_MEASURES.value,
        note=_("Not there any more: looked for and not found."),
    )
    return record_finding(gone, uuid7(), user)


@transaction.atomic
def say_not_seen(
    survey: Survey, earlier: Finding, reason: str, seen_from: str, user: User
) -> Inspection:
    """Say that an earlier finding's place could not be inspected, and why; return the look.

    One look answers for all that was on the same side of the same thing. Raises
    NotRecordedError where it is answered already, and as `record_inspection`.
    """
    _continuing(survey, earlier, seen_from)
    look = _look(survey, earlier, Outcome.NOT_INSPECTED, seen_from, reason.strip())
    if look.reason and (there := _there_already(look)):
        return there
    return record_inspection(look, uuid7(), user)


def _continuing(survey: Survey, earlier: Finding, seen_from: str) -> FindingData:
    """What the finding says, as this survey would continue it, once nobody else answers here.

    Where it is and what it is stays, and what was judged; its classes' reason too.
    """
    Survey.objects.select_for_update().get(pk=survey.pk)
    if earlier.survey.building_id != survey.building_id or earlier.survey.day >= survey.day:
        raise _refused(_("That finding is not one of an earlier survey of this building."))
    rows = Finding.objects.filter(Q(continues=earlier) | Q(also_from=earlier))
    if later := rows.select_related("survey").first():
        raise _refused(
            _("Answered already: finding %(number)s of %(day)s continues it.")
            % {"number": later.number, "day": _day(later)}
        )
    return replace(
        finding_data(earlier),
        survey=survey.pk,
        continues=earlier.pk,
        also_from=(),
        within=None,
        # What was answered of the danger stands: it goes on with the finding that continues it.
        answer=None,
        subject_change="",
        seen_from=seen_from,
    )


def _not_measured(earlier: Finding, seen_from: str) -> str:
    """From the floor nobody reads a depth off a rule."""
    is_depth = earlier.kind.units == [AmountUnit.MM_OUT_OF_PLANE]
    return NotMeasured.NOT_REACHED.value if is_depth and seen_from == SeenFrom.FLOOR else ""


def _unmeasured(data: FindingData) -> FindingData:
    """Without what was measured and judged that day."""
    return replace(
        data,
        amount=None,
        unit="",
        of_total=None,
        diagnosis="",
        classes_reason="",
        condition_class=None,
        urgency_class=None,
        recommendation_class=None,
    )


def _look(
    survey: Survey, earlier: Finding, outcome: Outcome, seen_from: str, reason: str = ""
) -> InspectionData:
    return InspectionData(
        survey=survey.pk,
        opening=earlier.opening_id,
        panel=earlier.panel_id,
        attached_item=earlier.attached_item_id,
        side=earlier.side,
        outcome=outcome.value,
        seen_from=seen_from,
        reason=reason,
    )


def _there_already(look: InspectionData) -> Inspection | None:
    """The look that says the same of the same side already, if there is one."""
    return Inspection.objects.filter(
        survey=look.survey,
        subject_key=look.part or look.opening,
        side=look.side,
        outcome=look.outcome,
    ).first()


def _others_on(survey: Survey, earlier: Finding, look: InspectionData) -> bool:
    """Whether something else is found on the same thing now, or stood there and is unanswered."""
    here = survey.findings.filter(opening=earlier.opening_id)
    standing = [
        other
        for other in offered(survey)
        if other.pk != earlier.pk and other.opening_id == earlier.opening_id
    ]
    seen = (RecordedFinding(label="", number="", **about(row)) for row in (*here, *standing))
    return any(contradicts(look, look.outcome, each) for each in seen)


def _refused(text: str) -> NotRecordedError:
    return NotRecordedError([Problem("", text)])


def _day(finding: Finding) -> str:
    day = finding.survey.day
    return f"{day.day} {day:%B %Y}"
