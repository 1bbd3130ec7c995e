"""A trend drawn: readings with what they may be off, the line, its band, and the threshold."""

from dataclasses import dataclass
from datetime import date
from math import ceil, floor, log10
from typing import Final

from condition.compute.trend import DAYS_A_YEAR, Reading, Trend, horizon_of, years

WIDTH, HEIGHT = 360.0, 232.0
LEFT, RIGHT, TOP, FOOT = 42.0, 348.0, 14.0, 200.0
CAP: Final = 4.0
YEARS_A_TICK: Final = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000)
MOST_TICKS: Final = 6
ROOM_ABOVE: Final = 1.08


@dataclass(frozen=True)
class Dot:
    """A reading: its place, and from where to where it may be."""

    x: float
    y: float
    high: float
    low: float

    @property
    def left(self) -> float:
        return self.x - CAP

    @property
    def right(self) -> float:
        return self.x + CAP


@dataclass(frozen=True)
class Tick:
    """A place on an axis and what stands there."""

    at: float
    text: str


@dataclass(frozen=True)
class Chart:
    """The marks of a chart in a box of `width` × `height` units, y downwards.

    line: over the time observed; beyond: the same line up to the horizon; band: between the
    least and the greatest slope. All are paths, empty where there is no line. They may reach out
    of the frame, which cuts them off.
    """

    width: float
    height: float
    left: float
    right: float
    top: float
    foot: float
    dots: tuple[Dot, ...]
    across: tuple[Tick, ...]
    up: tuple[Tick, ...]
    line: str = ""
    beyond: str = ""
    band: str = ""
    threshold: float | None = None

    @property
    def view_box(self) -> str:
        return f"0 0 {self.width:g} {self.height:g}"

    @property
    def plot_width(self) -> float:
        return self.right - self.left

    @property
    def plot_height(self) -> float:
        return self.foot - self.top

    @property
    def frame(self) -> str:
        return f"{self.left:g} {self.top:g} {self.plot_width:g} {self.plot_height:g}"


@dataclass(frozen=True)
class _Axes:
    start: date
    span: float
    highest: float

    def x(self, day: date) -> float:
        return LEFT + (RIGHT - LEFT) * years(self.start, day) / self.span

    def y(self, value: float) -> float:
        return FOOT - (FOOT - TOP) * value / self.highest


def chart_of(trend: Trend, threshold: float | None = None) -> Chart:
    """Return the trend drawn from nought up, over its time and as far as its line is followed."""
    axes = _axes(trend, threshold)
    line = _path(axes, trend, trend.first.day, trend.last.day)
    return Chart(
        width=WIDTH,
        height=HEIGHT,
        left=LEFT,
        right=RIGHT,
        top=TOP,
        foot=FOOT,
        dots=tuple(_dot(axes, reading) for reading in trend.readings),
        across=_year_ticks(axes),
        up=_value_ticks(axes),
        line=line,
        beyond=_path(axes, trend, trend.last.day, trend.horizon),
        band=_band(axes, trend),
        threshold=None if threshold is None else axes.y(threshold),
    )


def _axes(trend: Trend, threshold: float | None) -> _Axes:
    first, last = trend.first.day, trend.last.day
    end = last if trend.line is None else horizon_of(first, last)
    tops = [reading.value + (reading.within or 0.0) for reading in trend.readings]
    if threshold is not None:
        tops.append(threshold)
    end_height = trend.height_on(end)
    if end_height is not None:
        # A line that leaps far above all that was read would flatten the readings.
        tops.append(min(end_height, 2 * max(tops)))
    # Room on both sides, so that the first and the last reading stand free.
    margin = max(years(first, end), 0.5) * 0.06
    start = date.fromordinal(max(1, first.toordinal() - round(margin * DAYS_A_YEAR)))
    return _Axes(start, years(start, end) + margin, max(max(tops), 1e-9) * ROOM_ABOVE)


def _dot(axes: _Axes, reading: Reading) -> Dot:
    off = reading.within or 0.0
    high, low = axes.y(reading.value + off), axes.y(max(0.0, reading.value - off))
    return Dot(axes.x(reading.day), axes.y(reading.value), high, low)


def _path(axes: _Axes, trend: Trend, start: date, end: date) -> str:
    if trend.line is None:
        return ""
    first = trend.first.day
    points = [(day, trend.line.at(years(first, day))) for day in (start, end)]
    return f"M{_at(axes, points[0])}L{_at(axes, points[1])}"


def _band(axes: _Axes, trend: Trend) -> str:
    """Between the least and the greatest slope, both through the medians: a bow tie."""
    line = trend.line
    if line is None:
        return ""
    first, horizon = trend.first.day, trend.horizon
    end = years(first, horizon)
    low = [(first, line.at(0.0, line.low)), (horizon, line.at(end, line.low))]
    high = [(first, line.at(0.0, line.high)), (horizon, line.at(end, line.high))]
    middle = f"{axes.x(first) + _along(axes, line.middle_x):.1f} {axes.y(line.middle_y):.1f}"
    one, other = low
    third, fourth = high
    return (
        f"M{middle}L{_at(axes, one)}L{_at(axes, third)}Z"
        f"M{middle}L{_at(axes, other)}L{_at(axes, fourth)}Z"
    )


def _along(axes: _Axes, after: float) -> float:
    return (RIGHT - LEFT) * after / axes.span


def _at(axes: _Axes, point: tuple[date, float]) -> str:
    return f"{axes.x(point[0]):.1f} {axes.y(point[1]):.1f}"


def _year_ticks(axes: _Axes) -> tuple[Tick, ...]:
    """The first of January of round years, at most a handful."""
    last = axes.start.year + ceil(axes.span)
    step = next(
        (n for n in YEARS_A_TICK if (last - axes.start.year) / n <= MOST_TICKS), YEARS_A_TICK[-1]
    )
    found = []
    for year in range(ceil(axes.start.year / step) * step, min(last, date.max.year) + 1, step):
        x = axes.x(date(max(year, 1), 1, 1))
        if LEFT <= x <= RIGHT:
            found.append(Tick(x, str(year)))
    return tuple(found)


def _value_ticks(axes: _Axes) -> tuple[Tick, ...]:
    step = _round_step(axes.highest / 4)
    count = floor(axes.highest / step + 1e-9)
    return tuple(Tick(axes.y(n * step), f"{n * step:g}") for n in range(count + 1))


def _round_step(least: float) -> float:
    """The next 1, 2 or 5 with noughts."""
    power = 10.0 ** floor(log10(least))
    return next(power * n for n in (1, 2, 5, 10) if power * n >= least * (1 - 1e-9))
