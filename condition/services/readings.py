"""Findings as measurements: what each read, how far it may be off, what a chain of them says."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from condition.compute.readings import Series, Taken, series_of
from condition.compute.trend import Reading, Trend, trend_of
from condition.models import Finding
from condition.models.choices import AmountUnit
from sites.compute.figures import Figure, Figures

PERCENT = 100
LENGTHS = (AmountUnit.MM, AmountUnit.MM_OUT_OF_PLANE)
OFF_BY_UNIT = {
    AmountUnit.MM_OUT_OF_PLANE: "change.off_out_of_plane",
    AmountUnit.MM: "change.off_length",
    AmountUnit.PERCENT_OF_PIECES: "change.off_share",
    AmountUnit.PERCENT_OF_AREA: "change.off_share",
}
THRESHOLDS = {AmountUnit.MM_OUT_OF_PLANE: "bow.beyond_in_place"}


@dataclass(frozen=True)
class ChainTrend:
    """What the findings of one chain say together as measurements.

    series: what is comparable and what is not; off: the figure that stood in where a reading
    does not say how far it may be off, None where none was needed.
    """

    unit: AmountUnit
    series: Series
    trend: Trend
    threshold: Figure | None
    off: Figure | None


def taken_of(finding: Finding, figures: Figures) -> Taken | None:
    """Return a finding's amount as a measurement; None where it has none.

    finding: with its survey and kind. Where it does not say how far the amount may be off, the
    studio's figure for that unit stands in; a count is taken as exact.
    """
    if finding.amount is None:
        return None
    within = finding.within_mm if finding.unit in LENGTHS else None
    off = float(within) if within is not None else usually_off(finding, figures)
    return Taken(
        key=str(finding.pk),
        reading=Reading(finding.survey.day, float(finding.amount), off),
        kind=finding.kind.code,
        unit=finding.unit,
        span_mm=None if finding.span_mm is None else float(finding.span_mm),
        datum=finding.datum,
    )


def usually_off(finding: Finding, figures: Figures) -> float:
    """Return how far an amount may be off by the studio's figures, in the amount's unit."""
    key = OFF_BY_UNIT.get(AmountUnit(finding.unit))
    if key is None:
        return 0.0
    figure = figures.value(key)
    if finding.unit == AmountUnit.MM:
        figure = figure * (finding.amount or Decimal(0)) / PERCENT
    return float(figure)


def chain_trend(chain: Sequence[Finding], figures: Figures) -> ChainTrend | None:
    """Return the trend of a chain's measurements; None where fewer than two findings have one."""
    measured = [each for each in chain if each.amount is not None]
    taken = [each for finding in measured if (each := taken_of(finding, figures))]
    if len(taken) < 2:
        return None
    series = series_of(taken)
    # Of some kinds nothing can be compared: 3 of 4 fixings may be those that hold or those lost.
    if not series.taken:
        return None
    unit = AmountUnit(series.taken[-1].unit)
    key = THRESHOLDS.get(unit)
    threshold = None if key is None else figures[key]
    trend = trend_of(series.readings, None if threshold is None else float(threshold.value))
    return ChainTrend(unit, series, trend, threshold, _stood_in(measured, series, unit, figures))


def _stood_in(
    measured: Iterable[Finding], series: Series, unit: AmountUnit, figures: Figures
) -> Figure | None:
    kept = {each.key for each in series.taken}
    silent = any(each.within_mm is None for each in measured if str(each.pk) in kept)
    key = OFF_BY_UNIT.get(unit)
    return figures[key] if silent and key else None
