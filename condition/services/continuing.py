"""The same thing at one survey after another: its chain, whether it has grown, what to look for."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Self
from uuid import UUID

from condition.compute.comparing import InspectionFacts, covers
from condition.compute.readings import why_not_comparable
from condition.compute.trend import has_grown
from condition.documents.words import is_mended
from condition.models import Finding, Inspection, Survey
from condition.models.choices import Outcome, SeenFrom
from condition.services.readings import taken_of
from sites.compute.figures import Figures
from sites.services.figures import figures_of


@dataclass(frozen=True)
class Chains:
    """Findings by key, each with the one it continues and the one that continues it."""

    by_key: Mapping[UUID, Finding]
    later: Mapping[UUID, Finding]

    @classmethod
    def of(cls, findings: Iterable[Finding]) -> Self:
        by_key = {finding.pk: finding for finding in findings}
        later = {each.continues_id: each for each in by_key.values() if each.continues_id}
        return cls(by_key, later)

    def before(self, finding: Finding) -> list[Finding]:
        """Return what a finding continues, the nearest first."""
        found: list[Finding] = []
        seen = {finding.pk}
        key = finding.continues_id
        # A circle can only be made behind the forms' back; it must not hang a page.
        while key in self.by_key and key not in seen:
            seen.add(key)
            found.append(self.by_key[key])
            key = self.by_key[key].continues_id
        return found

    def after(self, finding: Finding) -> list[Finding]:
        """Return what continues a finding, the nearest first."""
        found: list[Finding] = []
        seen = {finding.pk}
        next_one = self.later.get(finding.pk)
        while next_one is not None and next_one.pk not in seen:
            seen.add(next_one.pk)
            found.append(next_one)
            next_one = self.later.get(next_one.pk)
        return found


def chain_of(finding: Finding) -> list[Finding]:
    """Return the same thing at each survey that saw it, newest first, the finding included."""
    chains = Chains.of(_at_openings({finding.opening_id}))
    here = chains.by_key.get(finding.pk, finding)
    return [*reversed(chains.after(here)), here, *chains.before(here)]


def grown_since(findings: Iterable[Finding], figures: Figures | None = None) -> dict[UUID, bool]:
    """Return for each finding whether it has grown by more than its measuring may be off.

    Each is set beside every comparable measurement of the same thing before it, back to where
    it was last mended: slow growth shows against the oldest. Where nothing is comparable it has
    not been seen to grow. Reads a fixed number of queries; figures: the studio's, if read already.
    """
    wanted = list(findings)
    if not wanted:
        return {}
    chains = Chains.of(_at_openings({finding.opening_id for finding in wanted}))
    if figures is None:
        figures = figures_of(wanted[0].opening.building.studio)
    return {
        finding.pk: _has_grown(chains.by_key.get(finding.pk, finding), chains, figures)
        for finding in wanted
    }


def _has_grown(finding: Finding, chains: Chains, figures: Figures) -> bool:
    now = taken_of(finding, figures)
    if now is None:
        return False
    for earlier in chains.before(finding):
        if is_mended(earlier):
            return False
        then = taken_of(earlier, figures)
        if then is None or why_not_comparable(then, now):
            continue
        if has_grown(then.reading, now.reading):
            return True
    return False


def _at_openings(openings: set[UUID]) -> Iterable[Finding]:
    return Finding.objects.filter(opening__in=openings).select_related("survey", "kind")


def inspection_facts(inspection: Inspection) -> InspectionFacts:
    """Return a look as comparing takes it."""
    return InspectionFacts(
        subject=inspection.subject_key,
        side=inspection.side,
        nothing_found=inspection.outcome == Outcome.NOTHING_FOUND,
        from_floor=inspection.seen_from == SeenFrom.FLOOR,
        reason=inspection.reason.strip(),
    )


def offered(survey: Survey) -> list[Finding]:
    """Return what earlier surveys of the building left standing and this one has not answered.

    Left out: what a later finding continues, what is mended, what a later look found gone (a
    danger never from the floor), and what a look of this survey answers either way. In the
    order of the openings, then newest survey first. Reads two queries.
    """
    rows = (
        Finding.objects.of_building(survey.building)
        .filter(survey__day__lte=survey.day, continued_by__isnull=True)
        .exclude(survey=survey)
        .select_related("survey", "kind", "opening", "panel", "attached_item")
        .order_by("opening__order", "opening__number", "-survey__day", "number")
    )
    inspections: dict[UUID, list[Inspection]] = defaultdict(list)
    of_building = Inspection.objects.filter(survey__building=survey.building)
    for inspection in of_building.select_related("survey"):
        inspections[inspection.opening_id].append(inspection)
    return [
        finding
        for finding in rows
        if not is_mended(finding)
        and not any(
            _answers(inspection, finding, survey) for inspection in inspections[finding.opening_id]
        )
    ]


def _answers(inspection: Inspection, finding: Finding, survey: Survey) -> bool:
    """Whether a look settles an earlier finding, so that this survey need not ask for it."""
    told = inspection_facts(inspection)
    if not covers(told, finding.subject_key, finding.opening_id, finding.side):
        return False
    cleared = told.nothing_found and not (finding.hazard and told.from_floor)
    if inspection.survey_id == survey.pk:
        return cleared or not told.nothing_found
    return cleared and finding.survey.day < inspection.survey.day <= survey.day
