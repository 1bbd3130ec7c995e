"""The same thing at one survey after another: its chain, whether it has grown, what to look for."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Self
from uuid import UUID

from condition.compute.comparing import InspectionFacts, clears, covers
from condition.compute.differences import Seen
from condition.compute.readings import why_not_comparable
from condition.compute.trend import has_grown
from condition.documents.words import is_mended
from condition.models import Finding, FindingSource, Inspection, Survey
from condition.models.choices import Outcome, SeenFrom
from condition.services.readings import taken_of
from sites.compute.figures import Figures
from sites.services.figures import figures_of


@dataclass(frozen=True)
class Chains:
    """Findings by key, each with those that continue it, and what else came together in it.

    later: by the key of a finding, those that continue it; several where it became several.
    joined: by the key of a finding, the earlier ones it comes from besides its main line.
    """

    by_key: Mapping[UUID, Finding]
    later: Mapping[UUID, list[Finding]]
    joined: Mapping[UUID, list[UUID]]

    @classmethod
    def of(cls, findings: Iterable[Finding]) -> Self:
        """Return the chains of these findings. Reads one query, for what came together."""
        by_key = {finding.pk: finding for finding in findings}
        later: dict[UUID, list[Finding]] = defaultdict(list)
        for each in sorted(by_key.values(), key=lambda each: (each.survey.day, each.number)):
            if each.continues_id:
                later[each.continues_id].append(each)
        joined: dict[UUID, list[UUID]] = defaultdict(list)
        links = FindingSource.objects.filter(finding__in=by_key)
        for finding, earlier in links.values_list("finding", "earlier"):
            joined[finding].append(earlier)
        return cls(by_key, dict(later), dict(joined))

    def before(self, finding: Finding) -> list[Finding]:
        """Return the line that a finding continues, the nearest first."""
        found: list[Finding] = []
        key = finding.continues_id
        while key is not None and key in self.by_key:
            found.append(self.by_key[key])
            key = self.by_key[key].continues_id
        return found

    def after(self, finding: Finding) -> list[Finding]:
        """Return all that continues a finding, the nearest first."""
        found: list[Finding] = []
        waiting = list(self.later.get(finding.pk, ()))
        while waiting:
            found.append(waiting.pop(0))
            waiting += self.later.get(found[-1].pk, ())
        return found

    def line(self, finding: Finding) -> list[Finding]:
        """Return one line through a finding, the newest first, as a trend follows it.

        It goes on as long as one finding alone continues the one before.
        """
        line = [finding, *self.before(finding)]
        while len(following := self.later.get(line[0].pk, [])) == 1:
            line.insert(0, following[0])
        return line

    def joined_in(self, line: Iterable[Finding]) -> tuple[UUID, ...]:
        """Return the keys of all that came together with a line, and of their own lines before."""
        found: list[UUID] = []
        waiting = [key for each in line for key in self.joined.get(each.pk, ())]
        while waiting:
            key = waiting.pop(0)
            if key in self.by_key and key not in found:
                found.append(key)
                waiting += [each.pk for each in self.before(self.by_key[key])]
                waiting += self.joined.get(key, ())
        return tuple(found)

    def parted(self, line: Iterable[Finding]) -> list[Finding]:
        """Return those of a line that were continued by several, the newest first."""
        return [each for each in line if len(self.later.get(each.pk, ())) > 1]

    def merged(self, line: Iterable[Finding]) -> list[Finding]:
        """Return those of a line in which several earlier ones came together, newest first."""
        return [each for each in line if each.pk in self.joined]


def chains_at(finding: Finding) -> Chains:
    """Return the chains of all that was ever found at a finding's opening. Reads two queries."""
    return Chains.of(_at_openings({finding.opening_id}))


def chain_of(finding: Finding) -> list[Finding]:
    """Return the same thing at each survey that saw it, newest first, the finding included.

    Several of one survey where it had become several; and what came together in one of them.
    """
    chains = chains_at(finding)
    here = chains.by_key.get(finding.pk, finding)
    line = [*reversed(chains.after(here)), here, *chains.before(here)]
    joined = [
        chains.by_key[key]
        for each in line
        for key in chains.joined.get(each.pk, ())
        if key in chains.by_key
    ]
    told = dict.fromkeys([*line, *joined])
    return sorted(told, key=lambda each: each.survey.day, reverse=True)


def grown_since(findings: Iterable[Finding], figures: Figures | None = None) -> dict[UUID, bool]:
    """Return for each finding whether it has grown by more than its measuring may be off.

    Each is set beside every comparable measurement of the same thing before it, back to where
    it was last mended or came together from several: slow growth shows against the oldest, and
    what came together is larger without having grown. Where nothing is comparable it has not been
    seen to grow. Reads a fixed number of queries; figures: the studio's, if read already.
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
    came_together = finding.pk in chains.joined
    for earlier in chains.before(finding):
        if came_together or is_mended(earlier):
            return False
        came_together = earlier.pk in chains.joined
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

    Left out: what a later finding continues or comes from, what is mended, what a later look found
    gone from where it could be seen, and what a look of this survey answers either way. In
    the order of the openings, then newest survey first. Reads two queries.
    """
    rows = (
        Finding.objects.of_building(survey.building)
        .filter(survey__day__lt=survey.day)
        .not_continued()
        .select_related("survey", "kind", "opening", "panel", "attached_item")
        .with_dangers()
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
        and not _is_answered(finding, survey, inspections[finding.opening_id])
    ]


def place_of(finding: Finding) -> Seen:
    """Return where a finding is, and from where it was seen, as looks are held against it."""
    return Seen(
        key=finding.pk,
        subject=finding.subject_key,
        opening=finding.opening_id,
        kind="",
        side=finding.side,
        hazard=finding.hazard,
        seen_from=finding.seen_from,
    )


def _is_answered(finding: Finding, survey: Survey, inspections: Iterable[Inspection]) -> bool:
    """Whether looks settle an earlier finding, so that this survey need not ask for it."""
    place = place_of(finding)
    by_survey: dict[UUID, list[InspectionFacts]] = defaultdict(list)
    for each in inspections:
        if finding.survey.day < each.survey.day <= survey.day:
            by_survey[each.survey_id].append(inspection_facts(each))
    return any(clears(looks, place) for looks in by_survey.values()) or any(
        not each.nothing_found and covers(each, place.subject, place.opening, place.side)
        for each in by_survey[survey.pk]
    )
