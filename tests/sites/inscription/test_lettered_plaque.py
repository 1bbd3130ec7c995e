"""A plaque drawn on its page with the letters its record measures."""

import pytest

from sites.compute.inscription.layout import lay_out
from sites.compute.plaque import HIGHEST, WIDEST, draw_lettered
from tests.sites.inscription.faces import faces, spec

WORDS = "To the Glory of God\n\nAVA TOLLIVER"


def drawn(**changed):
    layout = lay_out(spec(WORDS, **changed), faces(WORDS))
    return layout, draw_lettered(layout)


@pytest.mark.parametrize(("width", "height"), [(200.0, 100.0), (60.0, 240.0), (900.0, 30.0)])
def test_it_is_to_scale_and_as_large_as_the_drawing_lets_it(width, height):
    _, plaque = drawn(width_mm=width, height_mm=height)
    assert plaque.to_scale
    assert plaque.width * plaque.mm_per_unit == pytest.approx(width, rel=0.01)
    assert plaque.height * plaque.mm_per_unit == pytest.approx(height, rel=0.01)
    assert plaque.width == pytest.approx(WIDEST) or plaque.height == pytest.approx(HIGHEST)


def test_each_letter_has_its_place_and_blank_lines_none():
    layout, plaque = drawn()
    assert [line.text for line in plaque.lines] == [
        "To\u00a0the\u00a0Glory\u00a0of\u00a0God",
        "AVA\u00a0TOLLIVER",
    ]
    scale = plaque.mm_per_unit
    assert [place * scale for place in plaque.lines[0].places] == pytest.approx(
        list(layout.lines[0].places_mm), abs=0.01
    )
    assert plaque.lines[1].y * scale == pytest.approx(layout.lines[2].baseline_mm, abs=0.01)
    assert plaque.letter * scale == pytest.approx(layout.font_mm, abs=0.01)


def test_it_says_when_the_words_do_not_fit():
    assert not drawn()[1].overruns
    assert drawn(letter_mm=30.0)[1].overruns
