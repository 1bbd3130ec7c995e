"""The chart of a trend: every mark where its reading is, whatever the readings."""

import re
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from condition.compute.comparing import State
from condition.compute.state_marks import SHAPES
from condition.compute.trend import Reading, trend_of
from condition.compute.trend_chart import FOOT, LEFT, RIGHT, TOP, chart_of
from tests.properties import examples


def chart(*values, threshold=None, within=1.0):
    readings = [Reading(date(year, 6, 1), value, within) for year, value in values]
    return chart_of(trend_of(readings, threshold), threshold)


def test_readings_stand_at_their_heights_with_what_they_may_be_off():
    drawn = chart((2001, 10.0), (2011, 20.0), (2021, 40.0))
    first, second, third = drawn.dots
    assert FOOT - third.y == pytest.approx(4 * (FOOT - first.y))
    assert third.x - second.x == pytest.approx(second.x - first.x, rel=0.01)
    assert second.low - second.y == pytest.approx(second.y - second.high)
    assert drawn.line
    assert drawn.beyond
    assert drawn.band


def test_two_dates_are_drawn_without_a_line():
    drawn = chart((2015, 14.0), (2026, 22.0), threshold=38.0)
    assert (drawn.line, drawn.beyond, drawn.band) == ("", "", "")
    assert drawn.threshold is not None
    assert TOP < drawn.threshold < min(dot.y for dot in drawn.dots)


@examples(40)
@given(
    st.lists(
        st.tuples(st.dates(), st.floats(0, 99_999_999, allow_nan=False)), min_size=1, max_size=7
    ),
    st.sampled_from([None, 38.0]),
)
def test_every_reading_and_tick_lies_within_the_frame(points, threshold):
    trend = trend_of([Reading(day, value, 1.0) for day, value in points], threshold)
    drawn = chart_of(trend, threshold)
    for dot in drawn.dots:
        assert LEFT - 1e-6 <= dot.x <= RIGHT + 1e-6
        assert TOP - 1e-6 <= dot.high <= dot.y <= dot.low <= FOOT + 1e-6
    assert all(LEFT <= tick.at <= RIGHT for tick in drawn.across)
    assert all(TOP - 1e-6 <= tick.at <= FOOT + 1e-6 for tick in drawn.up)
    assert 2 <= len(drawn.up) <= 6
    assert len(drawn.across) <= 8
    assert not re.search(r"nan|inf|e[+-]?\d", drawn.line + drawn.beyond + drawn.band)


def test_every_state_has_a_shape_of_its_own():
    assert len({SHAPES[state] for state in State}) == len(State)
