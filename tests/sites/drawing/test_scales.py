"""True scales: which fit a room, and what is said of one that does not."""

import pytest

from sites.compute.drawing.scales import PAPER_MM, SCALES, Room, ScaleError, chosen, fitting

A4 = Room(*PAPER_MM["A4"])


def window(width: float, height: float):
    return lambda scale: (width / scale, height / scale)


@pytest.mark.published("ISO 216: A4 is 210 mm × 297 mm; from memory")
def test_a4_has_its_size():
    assert A4 == (210, 297)


@pytest.mark.published("ISO 5455: reduction scales 1:2, 1:5, 1:10 and their tenfold; from memory")
def test_the_scales_are_those_of_the_standard_and_the_quarter_of_the_workshop():
    assert set(SCALES) - {25} == {5, 10, 20, 50, 100, 200}


def test_the_scales_that_fit_come_with_the_largest_drawing_first():
    assert fitting(window(1200, 2600), (A4,)) == [10, 20, 25, 50, 100, 200]


def test_a_wide_opening_fits_paper_that_lies():
    assert 10 not in fitting(window(2600, 1200), (A4,))
    assert 10 in fitting(window(2600, 1200), (A4, Room(297, 210)))


def test_a_scale_that_does_not_fit_is_refused_with_those_that_do():
    with pytest.raises(ScaleError, match=r"At 1:5 .* A4.*1:10, 1:20") as refused:
        chosen(5, [10, 20], "A4")
    assert refused.value.possible == (10, 20)


def test_a_scale_we_do_not_draw_at_is_refused():
    with pytest.raises(ScaleError, match=r"1:37 is not a scale"):
        chosen(37, [10, 20], "A4")


def test_an_opening_too_large_for_every_scale_is_refused():
    with pytest.raises(ScaleError, match="too large"):
        chosen(200, [], "Letter")
