"""A plaque drawn with its inscription, its scale bar, and the count of its fixings."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sites.compute.fixings import FixingTally, tally
from sites.compute.plaque import draw_plaque, line_width_em
from sites.compute.scale_bar import ScaleBar, scale_bar
from tests.properties import examples

INSCRIPTION = "IN MEMORY OF\nEDITH TOLLIVER\n\n1871 - 1926"


def test_a_measured_plaque_is_to_scale():
    drawing = draw_plaque(200, 100, INSCRIPTION)
    assert drawing.to_scale
    assert drawing.width == 2 * drawing.height


def test_without_both_sizes_a_plaque_is_not_to_scale():
    assert not draw_plaque(200, None, INSCRIPTION).to_scale
    assert draw_plaque(None, None, "").lines == ()


def test_the_words_stand_line_by_line_and_an_empty_line_keeps_its_room():
    drawing = draw_plaque(200, 100, INSCRIPTION)
    assert [line.text for line in drawing.lines] == [
        "IN MEMORY OF",
        "EDITH TOLLIVER",
        "1871 - 1926",
    ]
    first, second, third = (line.y for line in drawing.lines)
    assert third - second == pytest.approx(2 * (second - first), abs=0.2)


# A busy machine is not a fault of the drawing.
@examples(300)
@given(
    width=st.floats(20, 2000),
    height=st.floats(20, 2000),
    lines=st.lists(
        st.text(st.characters(codec="latin-1", exclude_categories=["C"]), max_size=60), max_size=12
    ),
)
def test_letters_stay_on_the_plate(width, height, lines):
    drawing = draw_plaque(width, height, "\n".join(lines))
    for line in drawing.lines:
        assert 0 <= line.y <= drawing.height
        assert line_width_em(line.text) * drawing.letter <= drawing.width


def test_a_scale_bar_is_the_longest_round_length_that_fits():
    assert scale_bar(2, 60) == ScaleBar(50, "100 mm")
    assert scale_bar(10, 150) == ScaleBar(100, "1 m")


@pytest.mark.published("International yard and pound agreement, 1959: 1 in = 25.4 mm; from memory")
def test_a_scale_bar_in_inches_and_feet():
    assert scale_bar(25.4, 7, inches=True) == ScaleBar(6, "6 in")
    assert scale_bar(25.4, 30, inches=True) == ScaleBar(24, "2 ft")


def test_no_bar_where_even_the_shortest_is_too_long():
    assert scale_bar(1, 5) is None


def test_fixings_are_counted_by_what_is_known_of_them():
    counts = tally([(3, "failed"), (1, "sound"), (2, "not seen"), (1, "new and curing")])
    assert counts == FixingTally(total=7, sound=1, failed=3)
    assert counts.not_known == 3
