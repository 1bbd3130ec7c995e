"""The line through uneven readings, against published examples and an independent library."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from condition.compute.theil_sen import TooFewError, theil_sen
from tests.properties import examples


@pytest.mark.published(
    "P. K. Sen, JASA 63 (1968), section 6, his numerical example: slope 4, 95 % interval 26/7 to "
    "35/8; the data from memory"
)
def test_sens_own_example():
    line = theil_sen([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78])
    assert line.slope == 4
    assert line.low == pytest.approx(26 / 7)
    assert line.high == pytest.approx(35 / 8)
    assert line.confidence == 0.95


@pytest.mark.published(
    "D. G. Bonett, statpsych reference manual, ci.theil (after Hollander and Wolfe 1999): "
    "estimate 0.5, 95 % limits 0.3243243 and 0.75"
)
def test_the_worked_example_of_a_reference_manual_with_ties_in_both():
    y = (21, 4, 9, 12, 35, 18, 10, 22, 24, 1, 6, 8, 13, 16, 19)
    x = (67, 28, 30, 28, 52, 40, 25, 37, 44, 10, 14, 20, 28, 40, 51)
    line = theil_sen(x, y)
    assert line.slope == pytest.approx(0.5)
    assert (line.low, line.high) == pytest.approx((0.3243243, 0.75), abs=5e-8)


@pytest.mark.parametrize("seed", range(40))
def test_it_agrees_with_scipy_on_random_data_with_ties(seed):
    draw = random.Random(seed)
    n = draw.randint(5, 30)
    x = draw.sample(range(2 * n), n)
    if seed % 2:
        x[1] = x[0]
    y = [draw.randint(0, 12) if seed % 3 else draw.gauss(0.3 * each, 4) for each in x]
    if len(set(x)) < 5:
        x[-1] = 3 * n
    line, theirs = theil_sen(x, y), theilslopes(y, x)
    assert line.slope == pytest.approx(theirs.slope)
    assert line.at(0) == pytest.approx(theirs.intercept)
    assert (line.low, line.high) == pytest.approx((theirs.low_slope, theirs.high_slope))


@pytest.mark.parametrize(("count", "reached"), [(2, 0.0), (3, 1 - 2 / 6), (4, 1 - 2 / 24)])
def test_too_few_readings_for_95_per_cent_have_the_whole_range_and_say_so(count, reached):
    line = theil_sen(range(count), [each**2 for each in range(count)])
    assert line.confidence == pytest.approx(reached)
    assert (line.low, line.high) == pytest.approx((1, 2 * count - 3))


def test_readings_at_one_place_have_no_slope():
    with pytest.raises(TooFewError):
        theil_sen([3, 3], [1, 2])


@examples(50)
@given(
    st.lists(
        st.tuples(st.integers(0, 10_000), st.integers(0, 500)),
        min_size=2,
        max_size=12,
        unique_by=lambda point: point[0],
    )
)
def test_the_median_slope_lies_within_its_interval_whatever_the_order(points):
    x, y = zip(*points, strict=True)
    line = theil_sen(x, y)
    assert line.low <= line.slope <= line.high
    back = theil_sen(x[::-1], y[::-1])
    assert back.slope == line.slope
