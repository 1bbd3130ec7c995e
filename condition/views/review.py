"""A survey read through before its report: what it says of each opening, and what is open."""

from collections import defaultdict
from dataclasses import dataclass, field
from uuid import UUID

from condition.documents.words import extent_of, inspection_words, place_of, subject_of
from condition.models import Finding, Inspection, Photograph, Survey
from condition.models.choices import PhotographState
from condition.services.inspections import contradicted_by
from condition.views.names import box_name
from condition.views.pictures import Picture, picture_of
from sites.models import Opening

FACTS_PRINTED = ("method", "limits")


@dataclass(frozen=True)
class FindingRow:
    """A finding as a list shows it."""

    finding: Finding
    subject: str
    place: str
    extent: str
    pictures: list[Picture]


@dataclass(frozen=True)
class InspectionRow:
    """A look in words; `contradicted` numbers the findings it cannot be true beside."""

    inspection: Inspection
    words: str
    contradicted: list[int]


@dataclass
class OpeningReview:
    """All that a survey says of one opening."""

    opening: Opening
    findings: list[FindingRow] = field(default_factory=list)
    inspections: list[InspectionRow] = field(default_factory=list)
    pictures: list[Picture] = field(default_factory=list)

    @property
    def is_settled(self) -> bool:
        """A photograph alone says neither that something was found nor that nothing was."""
        return bool(self.findings or self.inspections)


@dataclass
class Review:
    """The whole survey, read in a fixed number of queries."""

    openings: list[OpeningReview]
    unsorted: list[Picture]
    damaged: list[Picture]
    originals_lost: list[Picture]
    photographs: list[Photograph]
    facts_missing: list[str]

    @property
    def photograph_count(self) -> int:
        return len(self.photographs)

    @property
    def waiting_count(self) -> int:
        """Photographs that are still being prepared."""
        return sum(each.state == PhotographState.RECEIVED for each in self.photographs)

    @property
    def findings(self) -> list[Finding]:
        return [row.finding for each in self.openings for row in each.findings]

    @property
    def inspections(self) -> list[InspectionRow]:
        return [row for each in self.openings for row in each.inspections]

    @property
    def told(self) -> list[OpeningReview]:
        """The openings with something to show: a look alone is in the list of looks."""
        return [each for each in self.openings if each.findings or each.pictures]

    @property
    def settled_count(self) -> int:
        return len(self.openings) - len(self.silent)

    @property
    def silent(self) -> list[Opening]:
        return [each.opening for each in self.openings if not each.is_settled]

    @property
    def hazards(self) -> list[Finding]:
        """Those that can hurt someone, what is not made safe yet first."""
        dangerous = [finding for finding in self.findings if finding.hazard]
        return sorted(dangerous, key=lambda finding: bool(finding.made_safe.strip()))

    @property
    def not_made_safe(self) -> list[Finding]:
        return [finding for finding in self.hazards if not finding.made_safe.strip()]

    @property
    def not_classed(self) -> list[Finding]:
        return [
            finding
            for finding in self.findings
            if finding.condition_class is None or finding.urgency_class is None
        ]

    @property
    def without_photograph(self) -> list[Finding]:
        return [row.finding for each in self.openings for row in each.findings if not row.pictures]

    @property
    def contradicted(self) -> list[InspectionRow]:
        return [row for each in self.openings for row in each.inspections if row.contradicted]

    @property
    def says_something(self) -> bool:
        """Whether there is anything to report: a finding, or a look."""
        return bool(self.findings or self.inspections)

    @property
    def is_complete(self) -> bool:
        still_open = (
            self.silent,
            self.not_made_safe,
            self.not_classed,
            self.contradicted,
            self.unsorted,
            self.facts_missing,
        )
        return not any(still_open)


def review_of(survey: Survey, units: str) -> Review:
    """Return the survey read through. `units`: the reader's, for lengths."""
    openings = {opening.pk: OpeningReview(opening) for opening in survey.building.openings.all()}
    studio_id = survey.building.studio_id
    review = Review(list(openings.values()), [], [], [], [], [])
    by_finding: dict[UUID, list[Picture]] = defaultdict(list)
    for photograph in _photographs(survey):
        picture = picture_of(photograph, studio_id)
        _note_photograph(review, photograph, picture)
        shown = photograph.findings.all()
        for finding in shown:
            by_finding[finding.pk].append(picture)
        if photograph.opening_id and not shown:
            openings[photograph.opening_id].pictures.append(picture)
    for finding in _findings(survey):
        row = finding_row(finding, by_finding[finding.pk], units)
        openings[finding.opening_id].findings.append(row)
    for inspection in survey.inspections.select_related("opening", "panel", "attached_item"):
        told = openings[inspection.opening_id]
        found = contradicted_by(inspection, [row.finding for row in told.findings])
        told.inspections.append(InspectionRow(inspection, inspection_words(inspection), found))
    review.facts_missing = [
        box_name(survey, name) for name in FACTS_PRINTED if not getattr(survey, name).strip()
    ]
    return review


def _note_photograph(review: Review, photograph: Photograph, picture: Picture) -> None:
    """Put a photograph where something is to be done about it: damaged, lost, not sorted in."""
    review.photographs.append(photograph)
    if photograph.state == PhotographState.DAMAGED:
        review.damaged.append(picture)
    elif photograph.damage:
        review.originals_lost.append(picture)
    if photograph.opening_id is None and not photograph.findings.all():
        review.unsorted.append(picture)


def finding_row(finding: Finding, pictures: list[Picture], units: str) -> FindingRow:
    return FindingRow(
        finding=finding,
        subject=subject_of(finding),
        place=place_of(finding),
        extent=extent_of(finding, units),
        pictures=pictures,
    )


def _findings(survey: Survey) -> list[Finding]:
    rows = survey.findings.select_related("kind", "opening", "panel", "attached_item")
    rows = rows.with_dangers()
    return list(rows.order_by("number"))


def _photographs(survey: Survey) -> list[Photograph]:
    rows = survey.photographs.select_related("opening")
    return list(rows.with_renditions().with_findings())
