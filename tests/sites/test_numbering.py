"""Numbers of openings and panels."""

import random

import pytest

from sites.compute.numbering import (
    OpeningNumber,
    PanelPlace,
    numerals_of,
    opening_number,
    opening_order,
    panel_grid,
    panel_order,
    panel_place,
    roman_numeral,
    roman_value,
)

CONVENTION = "Corpus Vitrearum, numbering of windows: case D04 of the check list"


@pytest.mark.published(CONVENTION)
def test_openings_stand_from_the_east_westward_then_up():
    listed = ["I", "nII", "sII", "nIII", "sIII", "nX", "wI", "ntII", "NII", "SII", "WI"]
    mixed = random.Random(4).sample(listed, len(listed))
    assert sorted(mixed, key=opening_order) == listed


def test_arabic_numbers_and_a_suffix_for_a_window_found_later_stand_in_their_place():
    listed = ["1", "n2", "s2", "n2a", "n3", "n10"]
    assert sorted(reversed(listed), key=opening_order) == [
        "1", "n2", "n2a", "s2", "n3", "n10",
    ]  # fmt: skip


def test_numbers_of_an_own_list_come_last_in_natural_order():
    assert sorted(["W-10", "W-2", "I"], key=opening_order) == ["I", "W-2", "W-10"]


@pytest.mark.published("Corpus Vitrearum: case D06, panel 3b is third row, second light")
def test_a_panel_is_row_from_the_sill_then_light_from_the_left():
    assert panel_place("3b") == PanelPlace(row=3, light=2)


@pytest.mark.parametrize("other", ["A1", "b3", "3", "", "0a", "3B"])
def test_other_numbers_are_no_place_in_the_grid(other):
    assert panel_place(other) is None


def test_panels_go_up_from_the_sill_and_tracery_comes_last():
    assert sorted(["A1", "10a", "2b", "2a", "1a", "odd"], key=panel_order) == [
        "1a", "2a", "2b", "10a", "A1", "odd",
    ]  # fmt: skip


def test_a_grid_is_numbered_from_the_sill_up():
    assert panel_grid(2, 2) == ["1a", "1b", "2a", "2b"]


@pytest.mark.parametrize(("lights", "rows"), [(0, 1), (27, 1), (1, 0)])
def test_an_impossible_grid_is_refused(lights, rows):
    with pytest.raises(ValueError, match="cannot number"):
        panel_grid(lights, rows)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("I", 1),
        ("IV", 4),
        ("IX", 9),
        ("XIV", 14),
        ("XL", 40),
        ("XC", 90),
        ("IIII", None),
        ("", None),
    ],
)
def test_roman_numerals(text, value):
    assert roman_value(text) == value


@pytest.mark.published(CONVENTION)
@pytest.mark.parametrize(
    ("code", "level", "side", "count"),
    [
        ("I", "ground", "", 1),
        ("nII", "ground", "n", 2),
        ("sII", "ground", "s", 2),
        ("NII", "clerestory", "n", 2),
        ("SII", "clerestory", "s", 2),
        ("wI", "ground", "w", 1),
    ],
)
def test_the_codes_of_the_check_list_are_read_and_written_again(code, level, side, count):
    number = opening_number(code)
    assert number == OpeningNumber(level, side, count)
    assert number.text() == code
    assert opening_number(number.text("arabic")) == number


@pytest.mark.published("Corpus Vitrearum, numbering of windows: Arabic numerals, glazed triforium")
@pytest.mark.parametrize("code", ["nt2", "st2", "n2", "s14", "1"])
def test_arabic_codes_are_read_and_written_again(code):
    assert opening_number(code).text("arabic") == code
    assert numerals_of(code) == "arabic"


@pytest.mark.published("Corpus Vitrearum: case D06, panel 3b of window n4")
def test_the_window_of_the_panel_case_is_the_fourth_of_the_north_side():
    assert opening_number("n4") == OpeningNumber("ground", "n", 4)


def test_a_letter_for_an_opening_added_is_part_of_the_number():
    assert opening_number(" nIIIa ") == OpeningNumber("ground", "n", 3, "a")
    assert numerals_of("nIIIa") == "roman"


@pytest.mark.parametrize("other", ["", "0", "n0", "IIII", "xII", "n", "nIIab", "Window 3", "B3 "])
def test_other_numbers_are_none_of_the_convention(other):
    assert opening_number(other) is None
    assert numerals_of(other) is None


def test_roman_numerals_are_written_as_they_are_read():
    assert [roman_value(roman_numeral(value)) for value in range(1, 100)] == [*range(1, 100)]


@pytest.mark.parametrize("value", [0, 100])
def test_roman_numerals_end_at_99(value):
    with pytest.raises(ValueError, match="from 1 to 99"):
        roman_numeral(value)
