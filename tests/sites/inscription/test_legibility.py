"""What is to be looked at before a plate is made, said in words with the figure that would do."""

from decimal import Decimal

import pytest

from sites.compute.inscription.layout import lay_out
from sites.compute.inscription.legibility import Limits, least_letter_mm, remarks_of, say_mm
from tests.sites.inscription.faces import faces, spec

LIMITS = Limits(
    reading_ratio=Decimal(200), least_letter_mm=Decimal(3), least_cast_letter_mm=Decimal("6.35")
)


def remarks(text="AVA", *, distance=1000.0, material="", **changed):
    kept = faces(text)
    layout = lay_out(spec(text, **changed), kept)
    found = remarks_of(layout, kept, LIMITS, reading_distance_mm=distance, material=material)
    return {remark.code: remark.text for remark in found}


def test_a_plate_with_nothing_wrong_is_not_remarked_on():
    assert remarks() == {}


def test_a_line_too_wide_is_named_with_what_would_fit():
    text = "To the Glory of God\nIN MEMORY OF AVA TOLLIVER"
    assert remarks(text, width_mm=150.0) == {
        "width": "Line 2 is 20.5 mm too wide at 8 mm letters; 6.9 mm would fit."
    }


def test_lines_too_high_together_are_named_with_what_would_fit():
    assert remarks("H\nH\nH\nH", height_mm=60.0) == {
        "height": "The lines together are 10 mm too high at 8 mm letters; 6.4 mm would fit."
    }


def test_a_margin_that_leaves_no_room_is_said_alone():
    assert set(remarks(margin_mm=50.0)) == {"margin"}


@pytest.mark.published(
    "A letter height to a reading distance of 1 : 200: common practice, no source"
)
def test_letters_are_judged_by_the_distance_they_are_read_from():
    assert least_letter_mm(3000.0, LIMITS) == 15
    assert remarks(distance=1600.0) == {}
    assert remarks(distance=3000.0)["reading"] == (
        "Letters of 8 mm are read up to 1600 mm away; "
        "from 3000 mm they would have to be 15 mm high."
    )


def test_a_distance_that_is_not_recorded_is_said():
    assert "not recorded" in remarks(distance=None)["distance"]


def test_letters_nobody_can_cut_or_cast_are_named():
    assert "3 mm" in remarks(letter_mm=2.5, distance=100.0)["engraving"]
    assert set(remarks(letter_mm=5.0, material="bronze")) == {"casting"}
    assert remarks(letter_mm=5.0, material="brass") == {}
    assert remarks(letter_mm=6.5, material="bronze") == {}


def test_a_letter_of_another_typeface_and_one_of_none_are_named():
    found = remarks("✠ AVA 🌟")
    assert "MALTESE CROSS" in found["other face"]
    assert "U+1F31F GLOWING STAR is in no typeface" in found["no letter"]


def test_spaces_at_an_end_and_tabs_are_named():
    assert "Line 1 begins or ends with spaces" in remarks("AVA ")["spaces"]
    assert "a tab" in remarks("A\tB")["spaces"]


def test_joined_letters_and_lines_of_two_directions_are_named():
    assert "direction" in remarks("سلام")
    assert "direction" in remarks("שלום 1931")
    assert "direction" not in remarks("שלום")


def test_lengths_are_said_to_a_tenth():
    assert [say_mm(mm) for mm in (7.06, 7.0, Decimal("1600"), 0.04)] == [
        "7.1 mm",
        "7 mm",
        "1600 mm",
        "0 mm",
    ]
