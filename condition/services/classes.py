"""Classes of findings and of whole subjects: proposed, set by a person, and what a rule alters."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final
from uuid import UUID

from django.db import transaction
from django.db.models import Prefetch, prefetch_related_objects
from django.utils import timezone
from django.utils.translation import gettext as _

from condition.compute.classes.kept import as_kept
from condition.compute.classes.propose import Found, Proposal, propose, propose_subject
from condition.compute.classes.rules import Rule, rules_of_kind
from condition.compute.classes.situation import Situation
from condition.compute.danger.facts import Falls
from condition.compute.danger.state import Standing
from condition.compute.recording.classes import (
    Grounds,
    Levels,
    below_danger,
    class_problems,
    judged_problems,
    reason_asked,
)
from condition.models import Danger, Finding, SubjectAssessment, Survey
from condition.services.class_rules import rules_of
from condition.services.recording.sending import in_words
from condition.services.situations import situations_of
from sites.models import AttachedItem, Opening, Panel, Studio, User
from sites.services.recording import NotRecordedError, Problem

__all__ = [
    "Altered",
    "accept_proposals",
    "altered_by",
    "belittles_danger",
    "findings_within",
    "grounds_of",
    "keep_all_proposals",
    "keep_how_classed",
    "levels_of",
    "note_classes",
    "parts_within",
    "proposal_if",
    "proposals_for",
    "propose_for_subject",
    "refuse_classes",
    "refuse_subject",
    "rules_of",
    "set_classes",
    "set_subject",
    "why_refused",
]

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
    refuse_classes(levels, proposed, reason, grounds_of(finding))
    note_classes(finding, levels, reason, user, proposed)
    return finding


def note_classes(
    finding: Finding, levels: Levels, reason: str, user: User, proposed: Proposal
) -> None:
    """Store classes as they were set, without asking for a reason: one can be given afterwards."""
    for column, level in zip(CLASS_COLUMNS, levels, strict=True):
        setattr(finding, column, level)
    finding.classes_reason = _reason_to_keep(levels, proposed, reason, grounds_of(finding))
    finding.proposal = as_kept(proposed)
    finding.classes_set_by, finding.classes_set_at = user, timezone.now()
    finding.save(update_fields=[*CLASS_COLUMNS, *HOW_CLASSED])


def keep_all_proposals(findings: Sequence[Finding], user: User) -> None:
    """Keep beside the classes of stored findings what the rules propose now, and who classed them.

    For findings brought in together; one without classes is left as it is. In few queries.
    """
    classed = [each for each in findings if any(level is not None for level in levels_of(each))]
    proposed = proposals_for(classed)
    _load_dangers(classed)
    for finding in classed:
        finding.proposal = as_kept(proposed[finding.pk])
        finding.classes_reason = _reason_to_keep(
            levels_of(finding),
            proposed[finding.pk],
            finding.classes_reason,
            grounds_of(finding),
        )
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

    Left alone: those with a class set already, those for which not every class is proposed, and
    those for whose classes a person has to say why.
    """
    rows = [each for each in findings if not any(level is not None for level in levels_of(each))]
    proposals = proposals_for(rows)
    _load_dangers(rows)
    taken = []
    for finding in rows:
        proposed = proposals[finding.pk]
        if None not in proposed.levels and not any(
            judged_problems(proposed.levels, grounds_of(finding), "")
        ):
            taken.append(set_classes(finding, proposed.levels, "", user, proposed))
    return taken


def propose_for_subject(
    findings: Sequence[Finding], parts: Iterable[SubjectAssessment] = ()
) -> Proposal:
    """Return what is proposed for a subject from its findings' classes; unset ones say nothing.

    parts: the classes set for panels and items of it as wholes, which count as findings do.
    """
    found = [
        Found(_("finding %d") % finding.number, *levels_of(finding))
        for finding in sorted(findings, key=lambda finding: finding.number)
    ]
    wholes = [Found(_("%s as a whole") % each.subject_label, *levels_of(each)) for each in parts]
    return propose_subject([*found, *wholes])


def findings_within(survey: Survey, subject: Opening | Panel | AttachedItem) -> list[Finding]:
    """Return what the survey found on a subject; for an opening, on all its parts too."""
    rows = survey.findings.select_related("kind", "opening", "panel", "attached_item")
    rows = rows.with_dangers()
    within = {"opening": subject} if isinstance(subject, Opening) else {"subject_key": subject.pk}
    return list(rows.filter(**within))


def parts_within(
    survey: Survey, subject: Opening | Panel | AttachedItem
) -> list[SubjectAssessment]:
    """Return the classes the survey set for the parts of an opening; a part has none."""
    if not isinstance(subject, Opening):
        return []
    rows = survey.assessments.select_related("opening", "panel", "attached_item")
    return list(rows.filter(opening=subject).exclude(subject_key=subject.pk))


def refuse_subject(
    survey: Survey,
    subject: Opening | Panel | AttachedItem,
    levels: tuple[int, int, int],
    reason: str,
) -> Proposal:
    """Return what is proposed for a whole subject, once these classes can be set for it.

    Raises NotRecordedError as `set_classes` does, by the findings of the survey on all of it, and
    for a class below that of a danger that is open there, whatever survey found it.
    """
    findings = findings_within(survey, subject)
    proposed = propose_for_subject(findings, parts_within(survey, subject))
    grounds = Grounds(
        hazard=any(is_answered_danger(finding) for finding in findings),
        people_below=True,
        diagnosed=any(finding.diagnosis.strip() for finding in findings),
    )
    if problems := in_words(below_danger(levels, _open_dangers(findings, subject))):
        raise NotRecordedError(problems)
    refuse_classes(levels, proposed, reason, grounds)
    return proposed


def _open_dangers(
    findings: Iterable[Finding], subject: Opening | Panel | AttachedItem
) -> list[tuple[str, Levels]]:
    """The dangers of the survey and those still open from earlier ones, with their classes."""
    within = {"opening": subject} if isinstance(subject, Opening) else {"subject_key": subject.pk}
    still_open = Finding.objects.of_open_dangers().filter(**within).with_dangers()
    rows = {finding.pk: finding for finding in (*still_open, *findings)}
    return [
        (_("finding %d") % row.number, levels_of(row))
        for row in rows.values()
        if is_answered_danger(row)
    ]


def set_subject(
    survey: Survey,
    subject: Opening | Panel | AttachedItem,
    levels: tuple[int, int, int],
    reason: str,
    user: User,
) -> SubjectAssessment:
    """Set the classes of a whole subject at a survey, in place of those set before.

    Raises NotRecordedError as `refuse_subject`.
    """
    proposed = refuse_subject(survey, subject, levels, reason)
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


def levels_of(judged: Finding | SubjectAssessment) -> Levels:
    """Return the classes set for a finding or a whole: condition, urgency, recommendation."""
    return judged.condition_class, judged.urgency_class, judged.recommendation_class


def grounds_of(finding: Finding) -> Grounds:
    """Return what a finding's classes are held against. Reads its danger."""
    return Grounds(is_answered_danger(finding), True, bool(finding.diagnosis.strip()))


def _load_dangers(findings: Sequence[Finding]) -> None:
    """Load what `grounds_of` reads of each finding."""
    prefetch_related_objects(findings, Prefetch("danger", Danger.objects.with_facts()))


def is_answered_danger(finding: Finding) -> bool:
    """Whether somebody answered that it can come down, over people: no class may say otherwise.

    What is not answered counts as danger on the lists, but nothing is refused because of it.
    """
    if finding.danger is None:
        return False
    state = finding.danger.state_on()
    return state.standing == Standing.DANGER and state.falls != Falls.NOT_ANSWERED


def why_refused(finding: Finding) -> Problem | None:
    """Return why the classes a finding has cannot be, whoever judged them; None where they can."""
    return next(iter(in_words(class_problems(levels_of(finding), grounds_of(finding)))), None)


def belittles_danger(finding: Finding) -> bool:
    """Whether a finding can hurt someone and its classes do not say so, nor why not."""
    grounds = replace(grounds_of(finding), diagnosed=True)
    wrong = judged_problems(levels_of(finding), grounds, finding.classes_reason)
    return finding.hazard and any(wrong)


def refuse_classes(levels: Levels, proposed: Proposal, reason: str, grounds: Grounds) -> None:
    """Raise NotRecordedError for classes that cannot be, or that want a reason and have none."""
    problems = in_words(judged_problems(levels, grounds, reason))
    if not problems and levels != proposed.levels and not reason.strip():
        text = _("Say in a few words why these classes and not those proposed.")
        problems = [Problem("classes_reason", text)]
    if problems:
        raise NotRecordedError(problems)


def _reason_to_keep(levels: Levels, proposed: Proposal, reason: str, grounds: Grounds) -> str:
    """The reason, where the classes are others than those proposed or want one all the same."""
    is_asked = levels != proposed.levels or any(reason_asked(levels, grounds, ""))
    return reason.strip() if is_asked else ""


def _proposals(situations: Mapping[UUID, Situation], rules: Sequence[Rule]) -> dict[UUID, Proposal]:
    of_kind = {
        kind: rules_of_kind(kind, rules)
        for kind in {situation.kind for situation in situations.values()}
    }
    return {key: propose(each, of_kind[each.kind]) for key, each in situations.items()}


def _studio_of(finding: Finding) -> Studio:
    return Studio.objects.get(buildings__surveys=finding.survey_id)
