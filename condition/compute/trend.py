"""One thing measured again and again: whether it has grown, how fast, when it meets a limit."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from math import hypot
from typing import Final

from condition.compute.theil_sen import Line, theil_sen

LEAST_DATES: Final = 3
# A year of the calendar, leap years and all.
DAYS_A_YEAR: Final = 365.2425
SPANS_LOOKED_AT: Final = 2


@dataclass(frozen=True)
class Reading:
    """One measurement on one day; `within` is how far it may be off either way, where known."""

    day: date
    value: float
    within: float | None = None


@dataclass(frozen=True)
class Meeting:
    """When a trend meets a threshold: between two days, or why no day can be given.

    already: a reading has met it; `earliest` is then the day of the first that did.
    latest: None where it may still be unmet on `horizon`, past which nothing is said.
    earliest: None where not even the steepest slope meets it by then.
    """

    threshold: float
    horizon: date
    earliest: date | None = None
    latest: date | None = None
    already: bool = False


@dataclass(frozen=True)
class Trend:
    """The readings by day, and what they say together.

    line: slope a year, its x in years since the first reading; None below three dates.
    change: the last reading less the first; clear: whether that is more than both may be off.
    meeting: of the threshold asked about, where there is a line.
    """

    readings: tuple[Reading, ...]
    dates: int
    change: float
    clear: bool
    line: Line | None = None
    meeting: Meeting | None = None

    @property
    def first(self) -> Reading:
        return self.readings[0]

    @property
    def last(self) -> Reading:
        return self.readings[-1]

    @property
    def horizon(self) -> date:
        """The last day anything is said of: the first day and twice the time observed."""
        return horizon_of(self.first.day, self.last.day)

    def height_on(self, day: date, slope: float | None = None) -> float | None:
        """Return the line's height on a day, None where there is no line."""
        return None if self.line is None else self.line.at(years(self.first.day, day), slope)


class NoReadingsError(ValueError):
    """Nothing was measured."""


def has_grown(earlier: Reading, later: Reading) -> bool:
    """Whether the later reading is above the earlier one by more than the two may be off.

    Both uncertainties together are the root of the sum of their squares: the readings are taken
    independently. One that is not known is taken as the other's; neither known, any growth counts.

    Source: JCGM 100:2008, 5.1.2, for a difference of two uncorrelated quantities.
    """
    return later.value - earlier.value > off_together(earlier, later)


def off_together(one: Reading, other: Reading) -> float:
    """Return how far the difference of two readings may be off, in their unit."""
    known = [each.within for each in (one, other) if each.within is not None]
    if not known:
        return 0.0
    return hypot(known[0], known[-1])


def trend_of(readings: Iterable[Reading], threshold: float | None = None) -> Trend:
    """Return what comparable readings of one thing say together, in their unit a year.

    threshold: a value whose day is looked for, never past the first day and twice the time
        observed. Raises NoReadingsError where there is no reading.
    """
    ordered = tuple(sorted(readings, key=lambda reading: (reading.day, reading.value)))
    if not ordered:
        raise NoReadingsError("a trend needs a reading")
    first, last = ordered[0], ordered[-1]
    dates = len({reading.day for reading in ordered})
    change = last.value - first.value
    clear = abs(change) > off_together(first, last)
    if dates < LEAST_DATES:
        return Trend(ordered, dates, change, clear)
    line = theil_sen(
        [years(first.day, reading.day) for reading in ordered],
        [reading.value for reading in ordered],
    )
    meeting = None if threshold is None else _meeting(ordered, line, threshold)
    return Trend(ordered, dates, change, clear, line, meeting)


def years(start: date, day: date) -> float:
    """Return the time from one day to another in years of the calendar."""
    return (day - start).days / DAYS_A_YEAR


def horizon_of(first: date, last: date) -> date:
    """Return the last day that is looked at: the first and twice the time observed."""
    span = last - first
    days_left = (date.max - first).days
    return first + timedelta(days=min(SPANS_LOOKED_AT * span.days, days_left))


def _meeting(readings: tuple[Reading, ...], line: Line, threshold: float) -> Meeting:
    first, last = readings[0].day, readings[-1].day
    horizon = horizon_of(first, last)
    met = [reading.day for reading in readings if reading.value >= threshold]
    if met:
        return Meeting(threshold, horizon, met[0], met[0], already=True)
    # What a reading may be off lifts or lowers the whole line.
    off = max((reading.within or 0.0 for reading in readings), default=0.0)
    earliest = _day_met(line, line.high, threshold - off, first)
    latest = _day_met(line, line.low, threshold + off, first)
    # The last reading had not met it: no day before that can be the one.
    soonest = None if earliest is None else max(earliest, last)
    if soonest is None or soonest > horizon:
        return Meeting(threshold, horizon)
    if latest is not None:
        latest = max(latest, soonest)
    return Meeting(threshold, horizon, soonest, latest if latest and latest <= horizon else None)


def _day_met(line: Line, slope: float, threshold: float, first: date) -> date | None:
    """The day a line of that slope meets the threshold; None if it never does, or is far off."""
    if slope <= 0:
        return first if line.at(0, slope) >= threshold else None
    after = (line.middle_x + (threshold - line.middle_y) / slope) * DAYS_A_YEAR
    if after > (date.max - first).days:
        return None
    return first + timedelta(days=max(0, round(after)))
