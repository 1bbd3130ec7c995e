"""Answers to what an earlier survey left standing: still there, worse, gone, could not be seen."""

from typing import Final

from django.db import transaction
from django.utils.translation import gettext as _

from condition.models import Finding, Inspection, Survey
from condition.models.choices import (
    AmountUnit,
    ConditionClass,
    Outcome,
    RecommendationClass,
    SeenFrom,
    Side,
    UrgencyClass,
)
from condition.services.continuing import offered
from condition.services.findings import log_finding
from condition.services.inspections import contradicted_by
from sites.errors import SaddlebarError

# Where it is and what it is stays; what was seen of it is for this survey to say.
PLACE: Final = (
    "opening",
    "panel",
    "attached_item",
    "kind",
    "side",
    "position",
    "part",
    "span_typed",
    "span_mm",
    "datum",
)
AS_IT_WAS: Final = ("extent", "water", "hazard")
JUDGED: Final = (
    "condition_class",
    "urgency_class",
    "recommendation_class",
    "diagnosis",
    "classes_reason",
)
# A reading off a rule is of its day: only what was counted or judged by eye can be "as it was".
READ_ANEW: Final = (AmountUnit.MM, AmountUnit.MM_OUT_OF_PLANE)


class AnswerError(SaddlebarError):
    """An answer that contradicts what this survey says already, or that was given before."""


@transaction.atomic
def say_still_there(survey: Survey, earlier: Finding) -> Finding:
    """Log an earlier finding again as it was, and return the new one.

    Amounts read off a rule are not copied: they are to be measured again. Nor is how a danger
    was made safe. Raises AnswerError where that contradicts a look, or it is answered already.
    """
    new = _continuing(survey, earlier)
    for name in (*AS_IT_WAS, *JUDGED):
        setattr(new, name, getattr(earlier, name))
    if earlier.amount is not None and earlier.unit not in READ_ANEW:
        new.amount, new.unit, new.of_total = earlier.amount, earlier.unit, earlier.of_total
    new.note = _("As on %(day)s.") % {"day": _day(earlier)}
    return _log(new)


@transaction.atomic
def say_worse(survey: Survey, earlier: Finding) -> Finding:
    """Log an earlier finding again, its condition one class higher, and return the new one.

    How much worse, and the other classes, are left to be said. Raises as `say_still_there`.
    """
    new = _continuing(survey, earlier)
    for name in AS_IT_WAS:
        setattr(new, name, getattr(earlier, name))
    if earlier.condition_class is not None:
        new.condition_class = min(earlier.condition_class + 1, ConditionClass.MAJOR)
    new.note = _("Worse than on %(day)s.") % {"day": _day(earlier)}
    return _log(new)


@transaction.atomic
def say_gone(survey: Survey, earlier: Finding, seen_from: str) -> Inspection | Finding:
    """Say that an earlier finding was looked for and is not there; return how that is kept.

    A look at its subject, "nothing found". Where something else is, or may still be, found on
    the same subject, that would not be true: then a finding that continues it and says that
    nothing is wrong there any more. Raises AnswerError where it is answered already, and for a
    danger looked for from the floor.
    """
    earlier = _locked(survey, earlier)
    if earlier.hazard and seen_from == SeenFrom.FLOOR:
        raise AnswerError(
            _("From the floor nobody can tell that a danger is gone: say it could not be seen.")
        )
    inspection = _inspection(survey, earlier, Outcome.NOTHING_FOUND, seen_from)
    if not _others_on(survey, earlier, inspection):
        return _keep(inspection)
    new = _continuing(survey, earlier)
    new.extent, new.hazard = earlier.extent, False
    if earlier.amount is not None:
        new.amount, new.unit, new.of_total = 0, earlier.unit, earlier.of_total
    new.condition_class = ConditionClass.NO_SYMPTOMS
    new.urgency_class = UrgencyClass.LONG_TERM
    new.recommendation_class = RecommendationClass.NO_MEASURES
    new.note = _("Not there any more: looked for and not found.")
    return _log(new)


@transaction.atomic
def say_not_seen(survey: Survey, earlier: Finding, reason: str, seen_from: str) -> Inspection:
    """Say that an earlier finding's place could not be inspected, and why; return the look.

    One look answers for all that was on the same side of the same thing. Raises AnswerError
    where a look there says otherwise, or no reason is given.
    """
    if not reason.strip():
        raise AnswerError(_("Say why it could not be seen."))
    earlier = _locked(survey, earlier)
    inspection = _inspection(survey, earlier, Outcome.NOT_INSPECTED, seen_from)
    inspection.reason = reason.strip()
    return _keep(inspection)


def _locked(survey: Survey, earlier: Finding) -> Finding:
    """The earlier finding, once nobody else is answering at this survey."""
    Survey.objects.select_for_update().get(pk=survey.pk)
    if earlier.survey_id == survey.pk or earlier.survey.building_id != survey.building_id:
        raise AnswerError(_("That finding is not one of an earlier survey of this building."))
    if later := Finding.objects.filter(continues=earlier).select_related("survey").first():
        raise AnswerError(
            _("Answered already: finding %(number)s of %(day)s continues it.")
            % {"number": later.number, "day": _day(later)}
        )
    return earlier


def _continuing(survey: Survey, earlier: Finding) -> Finding:
    earlier = _locked(survey, earlier)
    new = Finding(survey=survey, continues=earlier)
    for name in PLACE:
        setattr(new, name, getattr(earlier, name))
    return new


def _log(new: Finding) -> Finding:
    inspections = new.survey.inspections.filter(
        opening=new.opening_id, outcome=Outcome.NOTHING_FOUND
    ).select_related("opening", "panel", "attached_item")
    for inspection in inspections:
        if contradicted_by(inspection, [new]):
            raise AnswerError(
                _("This survey says “nothing found” of %(place)s. Take that away first.")
                % {"place": inspection.subject_label}
            )
    return log_finding(new)


def _inspection(survey: Survey, earlier: Finding, outcome: Outcome, seen_from: str) -> Inspection:
    return Inspection(
        survey=survey,
        opening=earlier.opening,
        panel=earlier.panel,
        attached_item=earlier.attached_item,
        side=Side(earlier.side),
        outcome=outcome,
        seen_from=seen_from,
    )


def _keep(inspection: Inspection) -> Inspection:
    """Save a look unless it is there; raise where one there says something else."""
    there = Inspection.objects.filter(
        survey=inspection.survey,
        subject_key=inspection.subject.pk,
        side=inspection.side,
    ).first()
    if there is None:
        inspection.save(force_insert=True)
        return inspection
    if there.outcome != inspection.outcome:
        raise AnswerError(
            _("This survey says of %(place)s: %(said)s. Take that away first.")
            % {"place": there.subject_label, "said": str(there.get_outcome_display()).lower()}
        )
    return there


def _others_on(survey: Survey, earlier: Finding, inspection: Inspection) -> bool:
    """Whether something else is found on the same thing now, or stood there and is unanswered."""
    here = survey.findings.filter(opening=earlier.opening_id)
    standing = [
        other
        for other in offered(survey)
        if other.pk != earlier.pk and other.opening_id == earlier.opening_id
    ]
    return bool(contradicted_by(inspection, [*here, *standing]))


def _day(finding: Finding) -> str:
    day = finding.survey.day
    return f"{day.day} {day:%B %Y}"
