"""What the templates write for lengths, dates, classes and hazards."""

from decimal import Decimal

import pytest

from sites.templatetags import trade
from sites.templatetags.drawings import add_units, units


@pytest.mark.parametrize(
    ("mm", "typed", "reader", "shown"),
    [
        (None, "", "metric", "–"),
        ("873", "873", "metric", "873 mm"),
        ("873", "87.3 cm", "metric", "873 mm (87.3 cm)"),
        ("368.3", '14 1/2"', "metric", '368.3 mm (14 1/2")'),
        ("368.3", '14 1/2"', "inch", '14 1/2"'),
        ("914.4", "914.4", "inch", '36"'),
    ],
)
def test_a_length_in_the_readers_units_with_what_was_typed_in_others(mm, typed, reader, shown):
    assert trade.length(Decimal(mm) if mm else None, typed, reader) == shown


def test_a_size_says_its_unit_once():
    assert trade.size(Decimal(560), Decimal(610)) == "560 × 610 mm"
    assert trade.size(Decimal("558.8"), None, "inch") == '22" × –'
    assert trade.size(None, None) == "–"


def test_an_old_date_is_told_in_words_and_unreadable_edtf_as_typed():
    assert trade.old_date("1931~", "c. 1931") == "about 1931"
    assert trade.old_date("", "") == "–"
    assert trade.old_date("nonsense", "in Grandfather's day") == "in Grandfather's day"


@pytest.mark.parametrize("level", [0, 1, 2, 3])
def test_a_class_says_its_number_and_its_word_beside_the_quarry(level):
    made = trade.quarry(level, "Short term", "Urgency")
    assert f'<span class="quarry-number">{level}</span>' in made
    assert "Short term" in made
    assert "Urgency: " in made


def test_no_class_is_said_in_words():
    assert "Not classed" in trade.quarry(None)


def test_a_word_in_a_class_is_escaped():
    assert "<b>" not in trade.quarry(1, "<b>")


@pytest.mark.published(
    "ISO 7010, W001 general warning sign: a triangle with an exclamation mark; from memory"
)
def test_a_hazard_carries_the_general_warning_sign_and_a_word():
    made = trade.hazard()
    assert "Danger" in made
    assert made.count("<path") == 2
    assert made.count("<circle") == 1


def test_numbers_in_drawings_have_a_point_and_no_idle_noughts():
    assert [units(12.0), units(3.14), add_units(1.5, 2)] == ["12", "3.1", "3.5"]
