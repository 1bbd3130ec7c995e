"""Lengths as typed on site and as printed: exact, and never guessed at."""

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sites.compute.lengths import (
    TAPE_DENOMINATORS,
    LengthError,
    format_inches,
    format_mm,
    parse_length,
)
from tests.properties import examples

PROPERTY = examples(200)
# Every length to 100 m that is a whole number of millionths of a millimetre.
MILLIONTHS_MM = st.integers(1, 100_000 * 10**6).map(lambda count: Decimal(count).scaleb(-6))
SIXTY_FOURTHS = st.integers(1, 64 * 3937)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ('34 3/8"', "873.125"),
        ("34-3/8 in", "873.125"),
        ("34 3/8 in.", "873.125"),
        ("34 3 / 8 inches", "873.125"),
        ("2' 10 3/8\"", "873.125"),
        ("2'-10 3/8\"", "873.125"),
        ("2 ft 10 in", "863.6"),
        ("2ft10in", "863.6"),
        ("2 feet", "609.6"),
        ("1 1/2 ft", "457.2"),
        ("0' 10\"", "254"),
        ("34'8", "10566.4"),
        ("873", "873"),
        ("873 mm", "873"),
        (" 873MM. ", "873"),
        ("87.3 cm", "873"),
        ("87,3 cm", "873"),
        ("1.2 m", "1200"),
        ("1,2345 m", "1234.5"),
        ("0,873 m", "873"),
        (".5 m", "500"),
        ("12 metres", "12000"),
        ("3''", "76.2"),
    ],
)
def test_usual_ways_of_writing_a_length_are_read(text, mm):
    assert parse_length(text).mm == Decimal(mm)


@pytest.mark.parametrize(
    "text",
    [
        "34\N{VULGAR FRACTION THREE EIGHTHS}\N{DOUBLE PRIME}",
        "34 \N{VULGAR FRACTION THREE EIGHTHS} in",
        "34\N{NO-BREAK SPACE}3/8\N{NO-BREAK SPACE}in",
        "34\N{THIN SPACE}3\N{FRACTION SLASH}8\N{RIGHT DOUBLE QUOTATION MARK}",
        "34\N{NARROW NO-BREAK SPACE}3/8\N{LEFT DOUBLE QUOTATION MARK}",
        "2\N{PRIME} 10\N{VULGAR FRACTION THREE EIGHTHS}\N{DOUBLE PRIME}",
        "2\N{RIGHT SINGLE QUOTATION MARK} 10 3/8\N{RIGHT DOUBLE QUOTATION MARK}",
        "2\N{PRIME} 10 3/8\N{PRIME}\N{PRIME}",
        "34\N{EN DASH}3/8 in",
        "\N{ZERO WIDTH NO-BREAK SPACE}34 3/8\N{FULLWIDTH QUOTATION MARK}",
    ],
)
def test_marks_of_a_phone_or_word_processor_are_read(text):
    assert parse_length(text).mm == Decimal("873.125")


def test_what_was_typed_is_kept():
    assert parse_length(" 34 3/8 IN ").typed == "34 3/8 IN"


def test_a_number_without_a_unit_is_in_the_unit_of_the_person():
    assert parse_length("34 3/8", bare_unit="in").mm == Decimal("873.125")
    assert parse_length("12", bare_unit="in").mm == Decimal("304.8")
    assert parse_length("12", bare_unit="mm").mm == Decimal("12")
    assert parse_length("12 cm", bare_unit="in").mm == Decimal("120")


@pytest.mark.published(
    "International yard and pound agreement, 1959; NIST SP 811 (2008), appendix B.8; "
    "ISO 80000-3: 1 in = 25.4 mm and 1 ft = 304.8 mm exactly, 1 yd = 0.9144 m. From memory"
)
def test_the_inch_and_the_foot_are_the_international_ones():
    assert parse_length('1"').mm == Decimal("25.4")
    assert parse_length("1'").mm == Decimal("304.8")
    assert parse_length("3 ft").mm == Decimal("914.4")


@pytest.mark.published(
    "NIST Metric Style Guide, LC 1137 (2000): 36 in x 2.54 = 91.44 cm, 40.1 in is 101.854 cm"
)
def test_worked_conversions_of_the_metric_style_guide():
    assert parse_length("36 in").mm == parse_length("91.44 cm").mm == Decimal("914.4")
    assert parse_length("40.1 in").mm == Decimal("1018.54")


def test_every_fraction_of_a_tape_is_exact_in_six_places():
    for denominator in TAPE_DENOMINATORS[1:]:
        for over in range(1, denominator):
            mm = parse_length(f'{over}/{denominator}"').mm
            assert mm * denominator == over * Decimal("25.4")
            assert mm == round(mm, 6)
    assert parse_length('1/64"').mm == Decimal("0.396875")


def test_a_third_of_an_inch_is_rounded_at_the_sixth_place():
    assert parse_length("1/3 in").mm == Decimal("8.466667")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "Enter a length"),
        ("   ", "Enter a length"),
        ("-5", "below zero"),
        ("\N{MINUS SIGN}5 mm", "below zero"),
        ("0", "zero"),
        ("0' 0\"", "zero"),
        ("0.0000004 mm", "zero"),
        ("100.0010 m", "over 100 m"),
        ("329 ft", "over 100 m"),
        ("3/0 in", "divides by zero"),
        ('34"8', '"8" stands after the inches'),
        ("2' 12\"", "inches must be under 12"),
        ("2.5' 3\"", "feet must be a whole number"),
        ("1,234", "1,234 can be read as 1,234 or as 1234: type 1,2340 or 1234."),
        ("1.250 m", "1.250 can be read as 1.25 or as 1250: type 1.25 or 1250."),
        ("1,2345.5 mm", "not clear where its decimals begin"),
        ("1 23 mm", "is not a length"),
        ("1'006", "1'006 can be read as 1 ft 6 in or as 1006: type 1 ft 6 in or 1006."),
        ("5 yards", '"yards" is not a unit used here. Use mm, cm, m, in or ft.'),
        ("about a foot", "is not a length"),
        ("5-10 mm", "is not a length"),
        ("1e5", "is not a length"),
        ("34 3/8", "has no unit"),
        ("3/8 mm", "Fractions are for inches"),
        ('343/8"', "Write the whole number apart"),
        ('1/128"', "finer than 1/64"),
        ('12.5 3/8"', "both decimals and a fraction"),
        ("1" * 41, "too long"),
    ],
)
def test_anything_doubtful_is_refused_in_the_words_of_the_person(text, says):
    with pytest.raises(LengthError, match=r".") as refusal:
        parse_length(text)
    assert says in str(refusal.value)


@pytest.mark.parametrize(
    ("text", "feet", "joined"),
    [
        ("1'000.5", "1 ft 0.5 in", "1000.5"),
        ("1'005,5", "1 ft 5.5 in", "1005.5"),
        ("1’011,25", "1 ft 11.25 in", "1011.25"),
        ("2'010.5", "2 ft 10.5 in", "2010.5"),
        ("12'000.0", "12 ft 0 in", "12000"),
        ("2'010.125", "2 ft 10.1250 in", "2010.125"),
    ],
)
def test_a_foot_that_may_part_thousands_is_asked_about_whatever_decimals_follow(text, feet, joined):
    with pytest.raises(LengthError, match=re.escape(f"type {feet} or {joined}.")):
        parse_length(text)
    assert parse_length(feet).mm < parse_length(joined).mm == Decimal(joined)


def test_a_hundred_metres_is_still_a_length():
    assert parse_length("100 m").mm == 100_000


def test_millimetres_are_printed_in_full_or_said_to_be_rounded():
    assert format_mm(Decimal("873")) == "873 mm"
    assert format_mm(Decimal("900.000000")) == "900 mm"
    assert format_mm(Decimal("9E+2")) == "900 mm"
    assert format_mm(Decimal("873.125")) == "873.125 mm"
    assert format_mm(Decimal("873.125"), places=0) == "about 873 mm"
    assert format_mm(Decimal("872.5"), places=0) == "about 873 mm"
    assert format_mm(Decimal("873.000"), places=1) == "873 mm"


def test_inches_are_printed_to_the_nearest_mark_and_said_to_be_rounded():
    assert format_inches(Decimal("873.125")) == '34 3/8"'
    assert format_inches(Decimal("873")) == 'about 34 3/8"'
    assert format_inches(Decimal("873.125"), feet=True) == "2' 10 3/8\""
    assert format_inches(Decimal("914.4"), feet=True) == "3' 0\""
    assert format_inches(Decimal("254"), feet=True) == '10"'
    assert format_inches(Decimal("12.7")) == '1/2"'
    assert format_inches(Decimal("25.796875"), denominator=64) == '1 1/64"'


def test_half_way_between_two_marks_goes_to_the_longer():
    # 1/32 in = 0.79375 mm lies half way between 0 and 1/16.
    assert format_inches(Decimal("0.79375")) == 'about 1/16"'
    assert format_inches(Decimal("304.799"), feet=True) == "about 1' 0\""


def test_a_length_under_the_first_mark_is_not_printed_as_nothing():
    assert format_inches(Decimal("0.5")) == 'under 1/16"'
    assert format_inches(Decimal("0")) == '0"'


@pytest.mark.parametrize("mm", [Decimal("-1"), Decimal("NaN"), Decimal("Infinity")])
def test_what_is_no_length_is_not_printed(mm):
    with pytest.raises(LengthError, match="not a length"):
        format_mm(mm)
    with pytest.raises(LengthError, match="not a length"):
        format_inches(mm)


def test_a_fraction_on_no_rule_is_refused():
    with pytest.raises(LengthError, match="not 10"):
        format_inches(Decimal("25.4"), denominator=10)


@PROPERTY
@given(MILLIONTHS_MM)
def test_millimetres_survive_printing_and_reading(mm):
    assert parse_length(format_mm(mm)).mm == mm


@PROPERTY
@given(SIXTY_FOURTHS, st.booleans())
def test_fractions_of_an_inch_survive_printing_and_reading(count, feet):
    mm = Decimal(count) * Decimal("0.396875")
    assert parse_length(format_inches(mm, denominator=64, feet=feet)).mm == mm


@PROPERTY
@given(MILLIONTHS_MM, st.sampled_from(TAPE_DENOMINATORS), st.booleans())
def test_the_printed_mark_is_never_more_than_half_a_mark_away(mm, denominator, feet):
    printed = format_inches(mm, denominator, feet)
    half_a_mark = Decimal("25.4") / denominator / 2
    if printed.startswith("under"):
        assert mm < half_a_mark
    elif mm <= 99_980:  # what is longer is not read back
        nearest = parse_length(printed.removeprefix("about ")).mm
        assert abs(nearest - mm) <= half_a_mark
        assert printed.startswith("about ") == (nearest != mm)


@PROPERTY
@given(st.text(max_size=50), st.sampled_from(["mm", "in"]))
def test_no_text_at_all_raises_anything_but_a_length_error(text, bare_unit):
    _read_or_refuse(text, bare_unit)


@PROPERTY
@given(st.text(alphabet="0123456789 .,-/'\"cmft\N{PRIME}\N{VULGAR FRACTION ONE HALF}", max_size=14))
def test_no_near_length_raises_anything_but_a_length_error(text):
    _read_or_refuse(text, "in")


def _read_or_refuse(text, bare_unit):
    try:
        length = parse_length(text, bare_unit)
    except LengthError:
        return
    assert 0 < length.mm <= 100_000
    assert length.mm == round(length.mm, 6)
