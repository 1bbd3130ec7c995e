"""The trend of what was measured again and again: a chart, a table beside it, and its working."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from django.utils.translation import gettext as _

from condition.compute.trend import DAYS_A_YEAR, LEAST_DATES, Meeting, Trend
from condition.compute.trend_chart import Chart, chart_of
from condition.documents.changes import apart
from condition.models import Finding
from condition.models.choices import AmountUnit
from condition.services.continuing import Chains, chains_at
from condition.services.readings import ChainTrend, chain_trend
from condition.views.names import day_words
from sites.compute.figures import Figures
from sites.compute.lengths import format_inches
from sites.compute.plain_numbers import plain_number
from sites.compute.working import Input, Working
from sites.hooks import Section
from sites.models import Panel
from sites.models.choices import Units
from sites.services.figures import figures_of
from sites.web import AppRequest

TREND: Final = 20
LENGTHS: Final = (AmountUnit.MM, AmountUnit.MM_OUT_OF_PLANE)
MM_PER_INCH: Final = 25.4
SOURCE: Final = (
    "P. K. Sen, Journal of the American Statistical Association 63 (1968), pp. 1379-1389"
)


@dataclass(frozen=True)
class ReadingRow:
    """One line of the table beside the chart; `left_out` says why it is not in the chart."""

    finding: Finding
    day: str
    value: str
    off: str
    left_out: str = ""


@dataclass(frozen=True)
class TrendPart:
    """A trend as a page shows it: what it says in sentences, drawn, as a table, and reckoned."""

    title: str
    newest: Finding
    sentences: tuple[str, ...]
    cautions: tuple[str, ...]
    rows: tuple[ReadingRow, ...]
    unit: str
    chart: Chart
    chart_alt: str
    threshold: str
    working: Working | None


def finding_trend(request: AppRequest, finding: Finding) -> Section | None:
    """The trend of the thing a finding is of; nothing where it was measured once."""
    if finding.amount is None and finding.continues_id is None:
        return None
    figures = figures_of(finding.survey.building.studio)
    chains = chains_at(finding)
    line = chains.line(chains.by_key.get(finding.pk, finding))
    part = _part(line, chains, figures, request.user.units, _("How it has changed"))
    return _section([part] if part else [])


def panel_trend(request: AppRequest, panel: Panel) -> Section | None:
    """The trends of a panel's bows; nothing where none was measured twice."""
    # All of the panel's findings: one that nobody measured may stand between two that were.
    rows = Finding.objects.filter(panel=panel).select_related("survey", "kind")
    found = list(rows.order_by("survey__day", "number"))
    chains = Chains.of(found)
    bows = [
        chain
        for newest in found
        if newest.pk not in chains.later
        and _measured_twice(chain := [newest, *chains.before(newest)])
    ]
    if not bows:
        return None
    figures = figures_of(panel.opening.building.studio)
    units = request.user.units
    parts = [_part(chain, chains, figures, units, _("Trend of the bow")) for chain in bows]
    return _section([part for part in parts if part])


def _measured_twice(chain: list[Finding]) -> bool:
    return sum(each.unit == AmountUnit.MM_OUT_OF_PLANE for each in chain) > 1


def _section(parts: list[TrendPart]) -> Section | None:
    return Section(TREND, "condition/trend_section.html", {"parts": parts}) if parts else None


def _part(
    chain: list[Finding], chains: Chains, figures: Figures, units: str, title: str
) -> TrendPart | None:
    told = chain_trend(chain, figures)
    if told is None:
        return None
    limit = None if told.threshold is None else told.threshold.value
    chart = chart_of(told.trend, None if limit is None else float(limit))
    sentences = _sentences(told, units)
    return TrendPart(
        title=title,
        newest=chain[0],
        sentences=tuple(sentences),
        cautions=(*_lines(chain, chains), *_cautions(told)),
        rows=tuple(_rows(chain, told, units)),
        unit=str(told.unit.label),
        chart=chart,
        chart_alt=_("Chart: %s") % " ".join(sentences),
        threshold="" if limit is None else _("Threshold %s") % _value(limit, told.unit, units),
        working=_working(told, units),
    )


def _rows(chain: list[Finding], told: ChainTrend, units: str) -> list[ReadingRow]:
    """Every measurement, oldest first, those that are not comparable with the reason."""
    reasons = {each.taken.key: each.reason for each in told.series.left_out}
    taken = {each.key: each for each in told.series.taken}
    rows = []
    for finding in sorted(chain, key=lambda each: (each.survey.day, each.number)):
        if finding.amount is None:
            continue
        key = str(finding.pk)
        reading = taken[key].reading if key in taken else None
        off = "" if reading is None or not reading.within else f"± {reading.within:.3g}"
        value = _value(finding.amount, AmountUnit(finding.unit), units)
        day = day_words(finding.survey.day)
        rows.append(ReadingRow(finding, day, value, off, reasons.get(key, "")))
    return rows


def _sentences(told: ChainTrend, units: str) -> list[str]:
    trend = told.trend
    if len(trend.readings) < 2:
        return [_("The newest measurement cannot be compared with any before it.")]
    said = [_change(trend, told.unit, units)]
    if trend.line is None:
        said.append(_("With two dates there is no slope: it takes three."))
        return said
    line = trend.line
    said.append(
        _("Slope %(slope)s a year; with %(sure)d %% confidence between %(low)s and %(high)s.")
        % {
            "slope": _rate(line.slope, told.unit, units),
            "sure": round(line.confidence * 100),
            "low": _rate(line.low, told.unit, units),
            "high": _rate(line.high, told.unit, units),
        }
    )
    if trend.meeting and told.threshold:
        said.append(_meeting(trend.meeting, _value(told.threshold.value, told.unit, units)))
    return said


def _change(trend: Trend, unit: AmountUnit, units: str) -> str:
    values = {
        "first": _value(_decimal(trend.first.value), unit, units),
        "last": _value(_decimal(trend.last.value), unit, units),
        "time": apart(trend.first.day, trend.last.day),
    }
    if trend.change == 0:
        return _("It read %(first)s, and %(last)s after %(time)s: no change.") % values
    if trend.clear:
        return _("From %(first)s to %(last)s in %(time)s: more than both may be off.") % values
    return (
        _("From %(first)s to %(last)s in %(time)s: no more than both readings may be off.") % values
    )


def _meeting(meeting: Meeting, limit: str) -> str:
    names = {"limit": limit, "horizon": day_words(meeting.horizon)}
    if meeting.already and meeting.earliest:
        names["day"] = day_words(meeting.earliest)
        return _("%(limit)s was met on %(day)s already.") % names
    if meeting.earliest is None:
        return (
            _("On this trend %(limit)s is not met by %(horizon)s; nothing is said of later.")
            % names
        )
    names["from"] = day_words(meeting.earliest)
    if meeting.latest is None:
        return (
            _(
                "On this trend %(limit)s may be met from %(from)s on, and perhaps not by "
                "%(horizon)s; nothing is said of later."
            )
            % names
        )
    names["until"] = day_words(meeting.latest)
    return _("On this trend %(limit)s is met between %(from)s and %(until)s.") % names


def _lines(chain: list[Finding], chains: Chains) -> list[str]:
    """Where the line is not that of one thing all along: it came together, or became several."""
    cautions = []
    for each in chains.merged(chain):
        cautions.append(
            _(
                "On %(day)s several came together in finding %(number)d. What was read before is "
                "of one of them alone: a jump there is no growth."
            )
            % {"day": day_words(each.survey.day), "number": each.number}
        )
    for each in chains.parted(chain):
        numbers = ", ".join(str(later.number) for later in chains.later[each.pk])
        cautions.append(
            _(
                "What was one finding on %(day)s was recorded as several afterwards: findings "
                "%(numbers)s. A reading after that is of one part alone."
            )
            % {"day": day_words(each.survey.day), "numbers": numbers}
        )
    return cautions


def _cautions(told: ChainTrend) -> list[str]:
    said = []
    if told.unit == AmountUnit.MM_OUT_OF_PLANE and not told.series.span_recorded:
        said.append(
            _(
                "No measurement records the span it was taken over. A longer straight edge reads "
                "a deeper bow: compare with care."
            )
        )
    line = told.trend.line
    if line and line.confidence < 0.95:
        said.append(
            _("So few dates cannot give 95 %% confidence: the range is that of all slopes.") % ()
        )
    if line:
        said.append(
            _(
                "Windows do not bow by the calendar. Measure again before acting on a date; a bow "
                "is judged with its span, folds, cracked glass and ties, by someone who knows lead."
            )
        )
    return said


def _working(told: ChainTrend, units: str) -> Working | None:
    line = told.trend.line
    if line is None:
        return None
    inputs = [
        Input(
            day_words(each.reading.day),
            _value(_decimal(each.reading.value), told.unit, units)
            + (f" ± {each.reading.within:.3g}" if each.reading.within else ""),
            "measured",
        )
        for each in told.series.taken
    ]
    if told.off:
        inputs.append(told.off.as_input())
    if told.threshold:
        inputs.append(told.threshold.as_input())
    return Working(
        formula=(
            "slope = middle one of (later − earlier) ÷ years between, over every two dates; "
            f"a year of {DAYS_A_YEAR} days; the line goes through the middle day and the middle "
            "reading; its range by the ranks of the slopes; a threshold raised and lowered by "
            "the most a reading may be off, and not looked for past twice the time observed"
        ),
        inputs=tuple(inputs),
        result=f"{_rate(line.slope, told.unit, units)} a year",
        source=SOURCE,
        caution="" if told.trend.dates > LEAST_DATES else _("Three dates are the least there is."),
    )


def _value(amount: Decimal, unit: AmountUnit, units: str) -> str:
    if unit in LENGTHS:
        metric = f"{plain_number(amount)} mm"
        return f"{format_inches(amount)} ({metric})" if units == Units.INCH else metric
    if unit == AmountUnit.COUNT:
        return plain_number(amount)
    return f"{plain_number(amount)} %"


def _rate(rate: float, unit: AmountUnit, units: str) -> str:
    figure = plain_number(_decimal(rate)).replace("-", "\N{MINUS SIGN}")
    if unit not in LENGTHS:
        return figure if unit == AmountUnit.COUNT else f"{figure} %"
    if units == Units.INCH:
        inches = plain_number(Decimal(f"{rate / MM_PER_INCH:.3f}")).replace("-", "\N{MINUS SIGN}")
        return f"{inches} in ({figure} mm)"
    return f"{figure} mm"


def _decimal(value: float) -> Decimal:
    """To a hundredth: finer than anything that is read here. No nought has a sign."""
    return Decimal(f"{round(value, 2) + 0.0:.2f}")
