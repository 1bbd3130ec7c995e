"""Numbers as they are typed: read where there is one reading, asked about where there are two."""

from decimal import Decimal

import pytest
from babel.numbers import format_currency, format_decimal
from hypothesis import given, settings
from hypothesis import strategies as st

from condition.compute.strokes import StrokeError
from condition.compute.typed_places import read_mm, read_share, write_share
from restoration.compute.money import format_money
from sites.compute.lengths import LengthError, format_inches, format_mm, mm_for_box, parse_length
from sites.compute.plan.directions import DirectionError, compass_degrees, compass_text
from sites.compute.quantities.errors import QuantityError
from sites.compute.quantities.sticks import parse_cuts
from sites.compute.typed_numbers import (
    NumberError,
    TwoReadingsError,
    number_for_box,
    read_number,
)

READ = [
    ("1250", "1250"),
    ("1250.5", "1250.5"),
    ("1250,5", "1250.5"),
    ("1.25", "1.25"),
    ("1,2500", "1.25"),
    ("0,438", "0.438"),
    ("0.438", "0.438"),
    ("-0.438", "-0.438"),
    (".438", "0.438"),
    ("007.250", "7.25"),
    ("1250,500", "1250.5"),
    ("1.052,50", "1052.5"),
    ("1,052.50", "1052.5"),
    ("1.250,500", "1250.5"),
    ("1 052,50", "1052.5"),
    ("1 052.50", "1052.5"),
    ("1\N{NO-BREAK SPACE}052,50", "1052.5"),
    ("1\N{NARROW NO-BREAK SPACE}052,50", "1052.5"),
    ("1\N{THIN SPACE}052,50", "1052.5"),
    ("1'052.50", "1052.5"),
    ("1\N{RIGHT SINGLE QUOTATION MARK}052.50", "1052.5"),
    ("1 250", "1250"),
    ("1.250.000", "1250000"),
    ("1,250,000.75", "1250000.75"),
    ("12,34,567", "1234567"),
    ("-1.250.000", "-1250000"),
    ("\N{MINUS SIGN}5", "-5"),
    ("- 5", "-5"),
    ("+5", "5"),
    (" 5 ", "5"),
    ("-0", "0"),
    ("\N{LEFT-TO-RIGHT MARK}-5", "-5"),
    ("\N{ARABIC-INDIC DIGIT ONE}\N{ARABIC-INDIC DIGIT TWO}", "12"),
]


@pytest.mark.parametrize(("text", "number"), READ)
def test_what_has_one_reading_is_read(text, number):
    assert str(read_number(text)) == number


@pytest.mark.parametrize(
    ("text", "question"),
    [
        ("1.250", "1.250 can be read as 1.25 or as 1250: type 1.25 or 1250."),
        ("1,250", "1,250 can be read as 1,25 or as 1250: type 1,25 or 1250."),
        ("12.500", "12.500 can be read as 12.5 or as 12500: type 12.5 or 12500."),
        ("-1.250", "-1.250 can be read as -1.25 or as -1250: type -1.25 or -1250."),
        ("1.000", "1.000 can be read as 1 or as 1000: type 1 or 1000."),
        ("1.125", "1.125 can be read as 1.125 or as 1125: type 1.1250 or 1125."),
        ("999,999", "999,999 can be read as 999,999 or as 999999: type 999,9990 or 999999."),
    ],
)
def test_what_has_two_readings_is_asked_about_with_a_way_to_type_each(text, question):
    with pytest.raises(TwoReadingsError) as asked:
        read_number(text)
    assert str(asked.value) == question
    one, other = question.rpartition(": type ")[2].removesuffix(".").split(" or ")
    assert read_number(other) == read_number(one) * 1000


@pytest.mark.parametrize(
    "text",
    ["1.25.0", "1,2,3", "12.", "1..5", "1,250,00", "1.250.0000", "1 25", "0 250", "1 250.000.000"],
)
def test_groups_that_are_none_are_refused_in_the_same_words(text):
    says = "is not a number: it is not clear where its decimals begin"
    with pytest.raises(NumberError, match=says):
        read_number(text)
    if " " not in text:
        with pytest.raises(LengthError, match=says):
            parse_length(f"{text} mm")


@pytest.mark.parametrize(
    "text", ["", "several", "1e5", "NaN", "Infinity", "5²", "½", "--1", "1" * 61]
)
def test_what_is_no_number_is_refused(text):
    with pytest.raises(NumberError, match="number"):
        read_number(text)


@pytest.mark.parametrize(
    ("read", "text", "error"),
    [
        (parse_length, "1.250 m", LengthError),
        (parse_length, "1,250", LengthError),
        (parse_length, "1.250.0 m", LengthError),
        (parse_length, "1'006", LengthError),
        (parse_length, "5² mm", LengthError),
        (parse_length, "5⑩ mm", LengthError),
        (parse_length, "⒑5", LengthError),
        (read_mm("mm"), "1.250", StrokeError),
        (read_share, "12.500", StrokeError),
        (compass_degrees, "12.500", DirectionError),
        (parse_cuts, "640 x 2, 1.250", QuantityError),
        (parse_cuts, "1,250", QuantityError),
        (parse_cuts, "640,1200", QuantityError),
    ],
)
def test_every_reader_of_a_text_asks(read, text, error):
    with pytest.raises(error):
        read(text)


@pytest.mark.parametrize(
    "parting", ["\t", "\n", "\r\n", "\x1c", "\x85", "\u2028", " \t"], ids=ascii
)
def test_only_a_blank_parts_thousands(parting):
    """A tab or a new line parts the values of two cells."""
    with pytest.raises(NumberError, match="There is a tab or a new line in “1 250”"):
        read_number(f"1{parting}250")
    for text in (f"1{parting}250", f"2'{parting}10"):
        with pytest.raises(LengthError, match="There is a tab or a new line in"):
            parse_length(text)
    assert read_number(f"{parting}1 250{parting}") == parse_length(f"1 250{parting}").mm == 1250


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1.052,50 mm", "1052.5"),
        ("1 250,50", "1250.5"),
        ("1 250 mm", "1250"),
        ('0.250"', "6.35"),
        ('1 250 3/8"', "31759.525"),
        ("0,9 m", "900"),
        ("1.2500 m", "1250"),
    ],
)
def test_lengths_are_read_by_the_same_reader(text, mm):
    assert parse_length(text).mm == Decimal(mm)


def test_a_comma_and_a_space_part_two_cuts():
    assert parse_cuts("640 x 2, 1200; 12.50 in") == (640, 640, 1200, Decimal("317.5"))


NUMBERS = st.decimals("-9999999", "9999999", places=3) | st.decimals("-2000", "2000", places=3)
LOCALES = (
    "en_GB", "en_IN", "de_DE", "de_AT", "de_CH", "fr_FR", "fr_CH", "it_IT", "es_ES", "pt_PT",
    "nl_NL", "sv_SE", "nb_NO", "pl_PL", "cs_CZ", "hu_HU", "he_IL", "ja_JP",
)  # fmt: skip


def read_or_asked(text, number, read=read_number):
    """Whether the text is read as the number it was printed from, or is asked about."""
    try:
        return read(text) == number
    except ValueError as error:
        return "can be read as" in str(error)


@settings(max_examples=60)
@given(NUMBERS, st.sampled_from(LOCALES))
def test_what_is_printed_in_any_habit_is_read_as_itself_or_asked_about(number, locale):
    assert read_or_asked(format_decimal(number, locale=locale, format=None), number)
    places = format_decimal(number, locale=locale, decimal_quantization=False)
    assert read_or_asked(places, number)
    cents = round(number, 2)
    assert read_or_asked(format_currency(cents, "EUR", format="#,##0.00", locale=locale), cents)


@settings(max_examples=40)
@given(NUMBERS, st.sampled_from(LOCALES), st.sampled_from(["EUR", "JPY", "KWD", "CHF"]))
def test_a_printed_sum_with_its_currency_is_never_read_as_another(number, locale, currency):
    printed = format_money(number, currency, locale)
    try:
        read = read_number(printed)
    except NumberError:
        return
    assert format_money(read, currency, locale) == printed


@settings(max_examples=60)
@given(NUMBERS)
def test_what_a_box_shows_is_read_as_what_is_kept(number):
    assert read_number(number_for_box(number)) == number


@settings(max_examples=60)
@given(st.decimals("0.000001", "99999", places=6))
def test_a_printed_length_is_read_as_itself_or_asked_about(mm):
    assert parse_length(mm_for_box(mm)).mm == mm
    assert read_or_asked(format_mm(mm), mm, lambda text: parse_length(text).mm)
    marks = (mm / Decimal("25.4") * 16).to_integral_value() * Decimal("1.5875")
    if marks:
        for feet in (False, True):
            assert parse_length(format_inches(marks, feet=feet)).mm == marks


@settings(max_examples=60)
@given(st.integers(0, 100_000), st.integers(0, 3_599_999))
def test_shares_and_directions_are_shown_so_that_they_read_back(share, turned):
    assert read_share(write_share(share / 1000)) == share / 1000
    degrees = turned / 10_000
    assert compass_degrees(compass_text(degrees)) == pytest.approx(degrees, abs=1e-9)
