"""Surveys of a building compared: which with which, and what became of each thing between."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.utils.translation import gettext as _

from condition.compute.comparing import Between, Pair, State, compare, counts_of
from condition.compute.differences import Seen
from condition.documents.words import STATE_WORDS, is_mended, subject_of
from condition.models import Finding, Inspection, Survey
from condition.models.choices import Outcome
from condition.services.continuing import Chains, inspection_facts
from condition.services.readings import taken_of
from sites.compute.figures import Figures
from sites.errors import SaddlebarError
from sites.models import Building, Opening
from sites.services.figures import figures_of

# By the key of a finding: in a few words how it was repaired after the first day and until the
# second. A room above registers what it knows of repairs; later entries count.
RepairsBetween = Callable[[Building, date, date], Mapping[UUID, str]]
repairs_between: list[RepairsBetween] = []


class NoSuchSurveyError(SaddlebarError):
    """A survey to compare with that is not one of those offered."""


@dataclass(frozen=True)
class EarlierSurvey:
    """A survey to compare a later one with.

    shared: how many of the openings that the later one looked at, `of`, it looked at too.
    """

    survey: Survey
    shared: int
    of: int
    suggested: bool = False


@dataclass(frozen=True)
class Row:
    """What became of one thing; one of the two findings may be missing, never both.

    compared_with: the survey whose finding the later one is set beside, or where there is none
    the last that looked at the opening; None where none did.
    """

    state: State
    reason: str
    earlier: Finding | None
    later: Finding | None
    assumed: bool
    regrouped: str
    compared_with: Survey | None

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
    """Two surveys side by side: each of their findings stands in exactly one row.

    before: by the key of an opening, the survey it is compared with: the earlier one, or where
    that did not look at it the last before the later one that did.
    """

    earlier: Survey
    later: Survey
    rows: tuple[Row, ...]
    counts: Mapping[State, int]
    before: Mapping[UUID, Survey]

    @property
    def total(self) -> int:
        return len(self.rows)

    @property
    def earlier_count(self) -> int:
        return sum(row.earlier is not None for row in self.rows)

    @property
    def later_count(self) -> int:
        return sum(row.later is not None for row in self.rows)

    @property
    def has_others(self) -> bool:
        """Whether something is compared with a survey of another day than the earlier one."""
        with_ = (row.compared_with for row in self.rows)
        return any(each is not None and each.day != self.earlier.day for each in with_)

    @property
    def regrouped(self) -> tuple[str, ...]:
        """What came together or became several, a sentence each with its opening."""
        found = (f"{row.opening.number}: {row.regrouped}" for row in self.rows if row.regrouped)
        return tuple(dict.fromkeys(found))


def earlier_surveys(survey: Survey) -> list[EarlierSurvey]:
    """Return the earlier surveys that looked at something, newest first, one of them suggested.

    Suggested is the last that looked at more than half of what this one looked at, else the one
    that looked at most of it: a call-out to one window is no survey to hold all others against.
    (Common practice, no source.) Reads three queries.
    """
    building = survey.building
    found = Finding.objects.of_building(building).order_by().values_list("survey", "opening")
    looks = Inspection.objects.filter(
        survey__building=building, outcome=Outcome.NOTHING_FOUND
    ).order_by()
    looked = _looked_at((*found.distinct(), *looks.values_list("survey", "opening")))
    here = looked.get(survey.pk, set())
    before = [
        (each, len(here & looked[each.pk]))
        for each in building.surveys.filter(day__lt=survey.day)
        if looked.get(each.pk)
    ]
    most = [shared for _each, shared in before if 2 * shared > len(here)]
    best = most[0] if most else max((shared for _each, shared in before), default=0)
    place = next((place for place, (_each, shared) in enumerate(before) if shared == best), None)
    return [
        EarlierSurvey(each, shared, len(here), suggested=number == place)
        for number, (each, shared) in enumerate(before)
    ]


def chosen_of(offered: Sequence[EarlierSurvey], key: UUID | None) -> Survey | None:
    """Return the survey of that key, or for None the suggested one; None where none is offered.

    Raises NoSuchSurveyError for another key.
    """
    for each in offered:
        if each.suggested if key is None else each.survey.pk == key:
            return each.survey
    if key is None:
        return None
    raise NoSuchSurveyError(_("Choose one of the earlier surveys to compare with."))


def compare_surveys(one: Survey, other: Survey, figures: Figures | None = None) -> Comparison:
    """Return what became of everything between two surveys of a building, by opening.

    The earlier of the two comes first whichever way they are given. An opening it did not look
    at is compared with the last survey before the later one that did; a thing first found after
    that, with its first record; a thing seen again that it did not see, with the last record.
    Reads a fixed number of queries; figures: the studio's, if read already. Raises ValueError for
    two buildings.
    """
    if one.building_id != other.building_id:
        raise ValueError("surveys of two buildings cannot be compared")
    earlier, later = sorted((one, other), key=_when)
    building = earlier.building
    if figures is None:
        figures = figures_of(building.studio)
    findings, inspections = _findings(building), _inspections(building)
    before = _before(earlier, later, findings, inspections)
    history = _History(findings, later, before, figures)
    now = [each for each in findings if each.survey_id == later.pk]
    pairs = compare(
        [history.seen(each) for each in history.earlier],
        [history.seen(each) for each in now],
        Between(
            inspections=[inspection_facts(e) for e in inspections if e.survey_id == later.pk],
            latest={key: history.seen(each) for key, each in history.latest.items()},
            repaired=_repairs(building, earlier.day, later.day),
            first_look={each.opening_id for each in now} - before.keys(),
        ),
    )
    rows = sorted((_row(pair, history.chains, before) for pair in pairs), key=_place)
    return Comparison(earlier, later, tuple(rows), counts_of(pairs), before)


class _History:
    """The findings of a building as one comparison takes them.

    earlier: of each thing, its first record from the survey its opening is compared with on;
    where it became several and one of these has no later record, that one too; and what the later
    survey saw again though none from that one on had seen it. latest: by the key
    of such a finding, the newest record of the same thing before the later survey.
    """

    def __init__(
        self,
        findings: Sequence[Finding],
        later: Survey,
        before: Mapping[UUID, Survey],
        figures: Figures,
    ) -> None:
        self.chains = Chains.of(findings)
        self.figures = figures
        pool = {
            each.pk: each
            for each in findings
            if each.opening_id in before
            and _when(before[each.opening_id]) <= _when(each.survey) < _when(later)
        }
        now = [each for each in findings if each.survey_id == later.pk]
        sources = {each.pk: self._sources(each) for each in (*pool.values(), *now)}
        first = [each for each in pool.values() if not sources[each.pk] & pool.keys()]
        carried = {key for each in now for key in sources[each.pk]}
        self.latest = {
            root.pk: newest for root in first if (newest := self._newest(root, pool, now))
        }
        followed = {key for each in sources.values() for key in each}
        shown = {each.pk for root, each in self.latest.items() if root not in carried}
        loose = [
            each
            for each in pool.values()
            if sources[each.pk] & pool.keys() and each.pk not in followed | shown
        ]
        self.earlier = [*first, *loose, *self._known_before(now, pool)]

    def _known_before(
        self, now: Iterable[Finding], pool: Mapping[UUID, Finding]
    ) -> dict[Finding, None]:
        """What findings continue that the survey compared with, and those after it, did not see."""
        lines = ([each.pk for each in self.chains.before(finding)] for finding in now)
        return {
            self.chains.by_key[line[0]]: None for line in lines if line and not pool.keys() & line
        }

    def _sources(self, finding: Finding) -> set[UUID]:
        line = [finding, *self.chains.before(finding)]
        return {*(each.pk for each in line[1:]), *self.chains.joined_in(line)}

    def _newest(
        self, root: Finding, pool: Mapping[UUID, Finding], now: Iterable[Finding]
    ) -> Finding | None:
        """The newest record of a thing in the pool: on its line to the later survey, if it has."""
        for each in now:
            line = [earlier for earlier in self.chains.before(each) if earlier.pk in pool]
            if root in line:
                return line[0]
        return next((each for each in reversed(self.chains.after(root)) if each.pk in pool), None)

    def seen(self, finding: Finding) -> Seen:
        before = self.chains.before(finding)
        return Seen(
            key=finding.pk,
            subject=finding.subject_key,
            opening=finding.opening_id,
            kind=finding.kind.code,
            number=finding.number,
            called=finding.kind.name,
            place=subject_of(finding),
            side=finding.side,
            extent=finding.extent,
            taken=taken_of(finding, self.figures),
            of_total=finding.of_total,
            condition=finding.condition_class,
            water=finding.water,
            hazard=finding.was_dangerous,
            seen_from=finding.seen_from,
            mended=is_mended(finding),
            ancestors=tuple(each.pk for each in before),
            moved=tuple(each.subject_change for each in (finding, *before)),
            joined=self.chains.joined_in([finding, *before]),
        )


def _when(survey: Survey) -> tuple[date, UUID]:
    return survey.day, survey.pk


def _findings(building: Building) -> list[Finding]:
    rows = Finding.objects.of_building(building).select_related(
        "survey", "kind", "opening", "panel", "attached_item"
    )
    return list(rows.with_dangers().order_by("survey__day", "number"))


def _inspections(building: Building) -> list[Inspection]:
    return list(Inspection.objects.filter(survey__building=building).select_related("survey"))


def _looked_at(pairs: Iterable[tuple[UUID, UUID]]) -> dict[UUID, set[UUID]]:
    """By the key of a survey, those of the openings it looked at. pairs: of the two keys."""
    looked: dict[UUID, set[UUID]] = defaultdict(set)
    for survey, opening in pairs:
        looked[survey].add(opening)
    return looked


def _before(
    earlier: Survey, later: Survey, findings: Sequence[Finding], inspections: Sequence[Inspection]
) -> dict[UUID, Survey]:
    """By opening the survey it is compared with; none that no survey before looked at."""
    looks = [each for each in inspections if each.outcome == Outcome.NOTHING_FOUND]
    seen: list[Finding | Inspection] = [*findings, *looks]
    looked = _looked_at((each.survey_id, each.opening_id) for each in seen)
    surveys = {each.survey_id: each.survey for each in seen}
    past = [each for each in surveys.values() if _when(each) < _when(later)]
    found: dict[UUID, Survey] = {}
    for survey in sorted(past, key=_when):
        found |= dict.fromkeys(looked[survey.pk], survey)
    return found | dict.fromkeys(looked[earlier.pk], earlier)


def _repairs(building: Building, start: date, end: date) -> dict[UUID, str]:
    known: dict[UUID, str] = {}
    for told in repairs_between:
        known.update(told(building, start, end))
    return known


def _row(pair: Pair, chains: Chains, before: Mapping[UUID, Survey]) -> Row:
    earlier = chains.by_key[pair.earlier.key] if pair.earlier else None
    later = chains.by_key[pair.later.key] if pair.later else None
    past = chains.by_key[pair.beside.key] if pair.beside else earlier
    opening = later.opening_id if later else None
    survey = past.survey if past else before.get(opening) if opening else None
    return Row(pair.state, pair.reason, earlier, later, pair.assumed, pair.regrouped, survey)


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
