"""Growth beyond what a reading may be off, and the days a threshold is met between."""

from datetime import date

import pytest

from condition.compute.readings import Taken, series_of, why_not_comparable
from condition.compute.trend import NoReadingsError, Reading, has_grown, trend_of

BOWS = [(2001, 10.0), (2006, 14.0), (2011, 20.0), (2016, 24.0), (2021, 30.0)]
BOW_LIMIT = 38.0


def readings(values, within=1.0):
    return [Reading(date(year, 6, 1), value, within) for year, value in values]


def reading(value, within=None, year=2015):
    return Reading(date(year, 6, 1), value, within)


@pytest.mark.published("JCGM 100:2008, 5.1.2: a difference of two is off by the root of squares")
@pytest.mark.parametrize(
    ("earlier", "later", "grown"),
    [
        (reading(14, 3), reading(19.0, 4), False),
        (reading(14, 3), reading(19.1, 4), True),
        (reading(14, 2), reading(12, 2), False),
        (reading(14), reading(16.8, 2), False),
        (reading(14), reading(16.9, 2), True),
        (reading(14), reading(14), False),
        (reading(14), reading(14.5), True),
    ],
)
def test_it_has_grown_by_more_than_both_readings_may_be_off(earlier, later, grown):
    assert has_grown(earlier, later) is grown


def test_below_three_dates_there_is_no_slope():
    trend = trend_of(readings(BOWS[:2]), BOW_LIMIT)
    assert (trend.dates, trend.line, trend.meeting) == (2, None, None)
    assert trend.change == 4
    assert trend.clear


def test_two_readings_on_one_day_are_one_date():
    trend = trend_of([*readings(BOWS[:2]), *readings([(2006, 15.0)])], BOW_LIMIT)
    assert (trend.dates, trend.line) == (2, None)


def test_the_slope_is_by_the_year():
    trend = trend_of(readings(BOWS))
    assert trend.line is not None
    assert trend.line.slope == pytest.approx(1.0, abs=0.01)
    assert trend.line.confidence == 0.95
    assert trend.height_on(date(2031, 6, 1)) == pytest.approx(40, abs=0.2)


def test_the_threshold_is_met_between_two_days():
    meeting = trend_of(readings(BOWS), BOW_LIMIT).meeting
    assert meeting is not None
    assert not meeting.already
    # By hand, from 20 mm in June 2011: (37 - 20) / 1.2 = 14.2 years, (39 - 20) / 0.8 = 23.75.
    assert (meeting.earliest.year, meeting.earliest.month) == (2025, 7)
    assert (meeting.latest.year, meeting.latest.month) == (2035, 3)


def test_a_day_past_twice_the_observed_time_is_never_given():
    slow = [(2001, 10.0), (2006, 10.5), (2011, 11.0), (2016, 11.5), (2021, 12.0)]
    trend = trend_of(readings(slow, within=0.1), BOW_LIMIT)
    assert trend.meeting.earliest is None
    assert trend.meeting.latest is None
    assert trend.meeting.horizon == trend.horizon
    assert trend.horizon.year == 2041


def test_the_latest_day_stays_open_where_the_least_slope_does_not_get_there():
    uneven = [(2001, 10.0), (2006, 22.0), (2011, 20.0), (2016, 30.0), (2021, 30.0)]
    meeting = trend_of(readings(uneven), BOW_LIMIT).meeting
    assert meeting.earliest is not None
    assert meeting.latest is None


def test_a_threshold_already_met_names_the_day_of_the_first_reading_that_did():
    meeting = trend_of(readings([*BOWS, (2024, 39.0), (2026, 40.0)]), BOW_LIMIT).meeting
    assert meeting.already
    assert meeting.earliest == date(2024, 6, 1)


def test_what_shrinks_meets_nothing():
    meeting = trend_of(readings([(2001, 30.0), (2006, 20.0), (2011, 10.0)]), BOW_LIMIT).meeting
    assert (meeting.earliest, meeting.latest) == (None, None)


def test_the_end_of_the_calendar_stops_nothing():
    far = [Reading(date(1900 + 2700 * n, 1, 1), 10.0 + n) for n in range(3)]
    meeting = trend_of(far, BOW_LIMIT).meeting
    assert meeting.horizon == date.max
    assert meeting.earliest is None


def test_nothing_measured_has_no_trend():
    with pytest.raises(NoReadingsError):
        trend_of([])


def taken(year=2015, unit="mm out of plane", span=760.0, datum="", kind="bowed-panel"):
    return Taken(str(year), reading(10, year=year), kind, unit, span, datum)


@pytest.mark.parametrize(
    ("other", "reason"),
    [
        (taken(), ""),
        (taken(span=762.0), ""),
        (taken(span=700.0), "over 700 mm"),
        (taken(span=None), "only one of them"),
        (taken(unit="mm"), "another unit"),
        (taken(kind="sagged-panel"), "another kind"),
        (taken(datum="the lead line"), "only one of them"),
    ],
)
def test_only_like_readings_are_set_beside_each_other(other, reason):
    assert (
        (reason in why_not_comparable(other, taken()))
        if reason
        else not why_not_comparable(other, taken())
    )


def test_a_datum_is_the_same_however_it_is_spaced_and_cased():
    assert not why_not_comparable(taken(datum="Edge  lead"), taken(datum="edge lead "))
    assert "not from" in why_not_comparable(taken(datum="edge lead"), taken(datum="bar"))


def test_a_series_keeps_what_is_like_its_newest_and_says_why_of_the_rest():
    series = series_of([taken(2026), taken(2004, span=700.0), taken(2015)])
    assert [each.key for each in series.taken] == ["2015", "2026"]
    assert [each.taken.key for each in series.left_out] == ["2004"]
    assert "700 mm, not over 760 mm" in series.left_out[0].reason
    assert series.span_recorded


def test_what_is_counted_either_way_makes_no_series():
    assert why_not_comparable(taken(kind="loose-item"), taken(kind="loose-item"))
