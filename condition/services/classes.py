"""Classes of findings and of whole subjects: proposed, set by a person, and what a rule alters."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from condition.compute.classes.kept import as_kept
from condition.compute.classes.propose import Found, Proposal, propose, propose_subject
from condition.compute.classes.rules import Rule, rules_of_kind
from condition.compute.classes.situation import Situation
from condition.compute.recording.findings import class_problems
from condition.models import Finding, SubjectAssessment, Survey
from condition.services.class_rules import rules_of
from condition.services.recording.sending import in_words
from condition.services.situations import situations_of
from sites.models import AttachedItem, Opening, Panel, Studio, User
from sites.services.recording import NotRecordedError, Problem

__all__ = [
    "Altered",
    "accept_proposals",
    "altered_by",
    "keep_all_proposals",
    "keep_how_classed",
    "levels_of",
    "note_classes",
    "proposal_if",
    "proposals_for",
    "propose_for_subject",
    "refuse_classes",
    "rules_of",
    "set_classes",
    "set_subject",
    "why_refused",
]

Levels = tuple[int | None, int | None, int | None]
HOW_CLASSED: Final = ("classes_reason", "proposal", "classes_set_by", "classes_set_at")
CLASS_COLUMNS: Final = ("condition_class", "urgency_class", "recommendation_class")


@dataclass(frozen=True)
class Altered:
    """A finding whose proposal a change of the rules would alter.

    issued: its survey's report has been issued; that report keeps what it says.
    """

    finding: Finding
    before: Proposal
    after: Proposal
    issued: bool


def proposals_for(findings: Iterable[Finding]) -> dict[UUID, Proposal]:
    """Return what the studio's rules propose for each finding, as it is stored.

    The findings are of one studio. Reads a fixed number of queries.
    """
    rows = list(findings)
    situations = situations_of(rows)
    if not situations:
        return {}
    return _proposals(situations, rules_of(_studio_of(rows[0])))


def proposal_if(finding: Finding, *, diagnosed: bool) -> Proposal:
    """Return what would be proposed for a stored finding with its cause recorded, or without."""
    situation = replace(situations_of([finding])[finding.pk], diagnosed=diagnosed)
    return propose(situation, rules_of(_studio_of(finding)))


def set_classes(
    finding: Finding,
    levels: Levels,
    reason: str,
    user: User,
    proposal: Proposal | None = None,
) -> Finding:
    """Set a finding's classes and keep what was proposed then, who set them, and why otherwise.

    levels: condition, urgency, recommendation. proposal: what is proposed now, if it is known.
    Raises NotRecordedError for classes that cannot be, and for others than those proposed
    without a reason.
    """
    proposed = proposal or proposals_for([finding])[finding.pk]
    diagnosed = bool(finding.diagnosis.strip())
    refuse_classes(levels, proposed, reason, finding.hazard, diagnosed)
    note_classes(finding, levels, reason, user, proposed)
    return finding


def note_classes(
    finding: Finding, levels: Levels, reason: str, user: User, proposed: Proposal
) -> None:
    """Store classes as they were set, without asking for a reason: one can be given afterwards."""
    for column, level in zip(CLASS_COLUMNS, levels, strict=True):
        setattr(finding, column, level)
    is_otherwise = levels != proposed.levels
    finding.classes_reason = reason.strip() if is_otherwise else ""
    finding.proposal = as_kept(proposed)
    finding.classes_set_by, finding.classes_set_at = user, timezone.now()
    finding.save(update_fields=[*CLASS_COLUMNS, *HOW_CLASSED])


def keep_all_proposals(findings: Sequence[Finding], user: User) -> None:
    """Keep beside the classes of stored findings what the rules propose now, and who classed them.

    For findings brought in together; one without classes is left as it is. In few queries.
    """
    classed = [each for each in findings if any(level is not None for level in levels_of(each))]
    proposed = proposals_for(classed)
    for finding in classed:
        finding.proposal = as_kept(proposed[finding.pk])
        if levels_of(finding) == proposed[finding.pk].levels:
            finding.classes_reason = ""
        finding.classes_set_by, finding.classes_set_at = user, timezone.now()
    Finding.objects.bulk_update(classed, HOW_CLASSED, batch_size=200)


def keep_how_classed(finding: Finding, before: Levels, user: User) -> None:
    """After a finding was saved: keep who classed it and what was proposed, where it was classed.

    before: its classes before it was saved. Classes taken away leave nothing of that behind.
    """
    levels = levels_of(finding)
    if levels == before:
        return
    if any(level is not None for level in levels):
        proposed = proposals_for([finding])[finding.pk]
        note_classes(finding, levels, finding.classes_reason, user, proposed)
        return
    finding.classes_reason, finding.proposal = "", None
    finding.classes_set_by = finding.classes_set_at = None
    finding.save(update_fields=[*HOW_CLASSED])


@transaction.atomic
def accept_proposals(findings: Iterable[Finding], user: User) -> list[Finding]:
    """Set for each finding what is proposed for it, and return those that were set.

    Left alone: those with a class set already, and those for which not every class is proposed.
    """
    rows = [each for each in findings if not any(level is not None for level in levels_of(each))]
    proposals = proposals_for(rows)
    taken = []
    for finding in rows:
        proposed = proposals[finding.pk]
        if None not in proposed.levels:
            taken.append(set_classes(finding, proposed.levels, "", user, proposed))
    return taken


def propose_for_subject(findings: Sequence[Finding]) -> Proposal:
    """Return what is proposed for a subject from its findings' classes; unset ones say nothing."""
    return propose_subject(
        [
            Found(_("finding %d") % finding.number, *levels_of(finding))
            for finding in sorted(findings, key=lambda finding: finding.number)
        ]
    )


def set_subject(
    survey: Survey,
    subject: Opening | Panel | AttachedItem,
    levels: tuple[int, int, int],
    reason: str,
    user: User,
) -> SubjectAssessment:
    """Set the classes of a whole subject at a survey, in place of those set before.

    Raises NotRecordedError as `set_classes` does, by the findings of the survey on it.
    """
    findings = list(survey.findings.filter(subject_key=subject.pk).with_dangers())
    proposed = propose_for_subject(findings)
    hazard = any(finding.hazard for finding in findings)
    diagnosed = any(finding.diagnosis.strip() for finding in findings)
    refuse_classes(levels, proposed, reason, hazard, diagnosed)
    row = SubjectAssessment.objects.filter(survey=survey, subject_key=subject.pk).first()
    row = row or SubjectAssessment(survey=survey, **subject_columns(subject))
    row.condition_class, row.urgency_class, row.recommendation_class = levels
    row.reason = reason.strip() if levels != proposed.levels else ""
    row.proposal, row.set_by = as_kept(proposed), user
    row.save()
    return row


def subject_columns(
    subject: Opening | Panel | AttachedItem,
) -> dict[str, Opening | Panel | AttachedItem]:
    """Return the columns by which a row names its subject."""
    if isinstance(subject, Opening):
        return {"opening": subject}
    column = "panel" if isinstance(subject, Panel) else "attached_item"
    return {"opening": subject.opening, column: subject}


def altered_by(studio: Studio, rules_after: Sequence[Rule]) -> list[Altered]:
    """Return the studio's findings whose proposed classes would be others under other rules.

    Those in issued reports are among them and marked: their reports keep what they say.
    """
    rows = list(
        Finding.objects.filter(survey__building__studio=studio)
        .select_related("survey__building", "kind", "opening", "panel", "attached_item")
        .with_dangers()
        .order_by("survey__building__name", "-survey__day", "number")
    )
    issued = set(
        Survey.objects.filter(building__studio=studio, reports__isnull=False).values_list(
            "pk", flat=True
        )
    )
    situations = situations_of(rows)
    before = _proposals(situations, rules_of(studio))
    after = _proposals(situations, rules_after)
    return [
        Altered(row, before[row.pk], after[row.pk], row.survey_id in issued)
        for row in rows
        if before[row.pk].levels != after[row.pk].levels
    ]


def levels_of(finding: Finding) -> Levels:
    """Return the classes set for a finding: condition, urgency, recommendation."""
    return finding.condition_class, finding.urgency_class, finding.recommendation_class


def why_refused(levels: Levels, hazard: bool, diagnosed: bool) -> Problem | None:
    """Return why classes cannot be set, whoever judged them; None where they can."""
    return next(iter(in_words(class_problems(levels, hazard, diagnosed))), None)


def refuse_classes(
    levels: Levels, proposed: Proposal, reason: str, hazard: bool, diagnosed: bool
) -> None:
    """Raise NotRecordedError for classes that cannot be, or that want a reason and have none.

    hazard: it can hurt someone. diagnosed: its cause is recorded.
    """
    problems = in_words(class_problems(levels, hazard, diagnosed))
    if not problems and levels != proposed.levels and not reason.strip():
        text = _("Say in a few words why these classes and not those proposed.")
        problems = [Problem("classes_reason", text)]
    if problems:
        raise NotRecordedError(problems)


def _proposals(situations: Mapping[UUID, Situation], rules: Sequence[Rule]) -> dict[UUID, Proposal]:
    of_kind = {
        kind: rules_of_kind(kind, rules)
        for kind in {situation.kind for situation in situations.values()}
    }
    return {key: propose(each, of_kind[each.kind]) for key, each in situations.items()}


def _studio_of(finding: Finding) -> Studio:
    return Studio.objects.get(buildings__surveys=finding.survey_id)
