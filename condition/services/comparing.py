"""Two surveys of a building compared: read from the records, told by what became of each thing."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from condition.compute.comparing import Pair, Seen, State, compare, counts_of
from condition.documents.words import STATE_WORDS, is_mended, subject_of
from condition.models import Finding, Inspection, Survey
from condition.services.continuing import Chains, inspection_facts
from condition.services.readings import taken_of
from sites.compute.figures import Figures
from sites.models import Building, Opening
from sites.services.figures import figures_of

# By the key of a finding: in a few words how it was repaired after the first day and until the
# second. A room above registers what it knows of repairs; later entries count.
RepairsBetween = Callable[[Building, date, date], Mapping[UUID, str]]
repairs_between: list[RepairsBetween] = []


@dataclass(frozen=True)
class Row:
    """What became of one thing; one of the two findings may be missing, never both."""

    state: State
    reason: str
    earlier: Finding | None
    later: Finding | None
    assumed: bool

    @property
    def finding(self) -> Finding:
        """The newest record of the thing."""
        found = self.later or self.earlier
        assert found is not None  # a pair has one of the two
        return found

    @property
    def subject(self) -> str:
        return subject_of(self.finding)

    @property
    def kind(self) -> str:
        return self.finding.kind.name

    @property
    def opening(self) -> Opening:
        return self.finding.opening

    @property
    def state_words(self) -> str:
        return str(STATE_WORDS[self.state])


@dataclass(frozen=True)
class Comparison:
    """Two surveys side by side: each of their findings stands in exactly one row."""

    earlier: Survey
    later: Survey
    rows: tuple[Row, ...]
    counts: Mapping[State, int]

    @property
    def total(self) -> int:
        return len(self.rows)

    @property
    def earlier_count(self) -> int:
        return sum(row.earlier is not None for row in self.rows)

    @property
    def later_count(self) -> int:
        return sum(row.later is not None for row in self.rows)


def compare_surveys(one: Survey, other: Survey, figures: Figures | None = None) -> Comparison:
    """Return what became of everything between two surveys of a building, by opening.

    The earlier of the two comes first whichever way they are given. Reads a fixed number of
    queries; figures: the studio's, if read already. Raises ValueError for two buildings.
    """
    if one.building_id != other.building_id:
        raise ValueError("surveys of two buildings cannot be compared")
    earlier, later = sorted((one, other), key=lambda survey: (survey.day, survey.pk))
    building = earlier.building
    if figures is None:
        figures = figures_of(building.studio)
    findings = _findings(building)
    chains = Chains.of(findings)
    inspections = Inspection.objects.filter(survey=later)
    pairs = compare(
        [_seen(each, chains, figures) for each in findings if each.survey_id == earlier.pk],
        [_seen(each, chains, figures) for each in findings if each.survey_id == later.pk],
        [inspection_facts(inspection) for inspection in inspections],
        _repairs(building, earlier.day, later.day),
    )
    rows = sorted((_row(pair, chains) for pair in pairs), key=_place)
    return Comparison(earlier, later, tuple(rows), counts_of(pairs))


def _findings(building: Building) -> list[Finding]:
    rows = Finding.objects.of_building(building).select_related(
        "survey", "kind", "opening", "panel", "attached_item"
    )
    return list(rows.order_by("survey__day", "number"))


def _repairs(building: Building, start: date, end: date) -> dict[UUID, str]:
    known: dict[UUID, str] = {}
    for told in repairs_between:
        known.update(told(building, start, end))
    return known


def _seen(finding: Finding, chains: Chains, figures: Figures) -> Seen:
    return Seen(
        key=finding.pk,
        subject=finding.subject_key,
        opening=finding.opening_id,
        kind=finding.kind.code,
        side=finding.side,
        extent=finding.extent,
        taken=taken_of(finding, figures),
        condition=finding.condition_class,
        hazard=finding.hazard,
        mended=is_mended(finding),
        ancestors=tuple(each.pk for each in chains.before(finding)),
        joined=chains.joined_in([finding, *chains.before(finding)]),
    )


def _row(pair: Pair, chains: Chains) -> Row:
    earlier = chains.by_key[pair.earlier.key] if pair.earlier else None
    later = chains.by_key[pair.later.key] if pair.later else None
    return Row(pair.state, pair.reason, earlier, later, pair.assumed)


def _place(row: Row) -> tuple[str, str, int, int]:
    states = list(State)
    opening = row.opening
    return opening.order, opening.number, states.index(row.state), row.finding.number


def by_opening(rows: Iterable[Row]) -> dict[UUID, list[Row]]:
    """Return the rows under the key of their opening, in their order."""
    found: dict[UUID, list[Row]] = {}
    for row in rows:
        found.setdefault(row.opening.pk, []).append(row)
    return found
