"""The names and dates of an inscription: all of them, rather one too many than one too few."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sites.compute.inscription.names import Difference, differences, names_and_dates


def found(text):
    return [(each.kind, each.text, each.line) for each in names_and_dates(text.split("\n"))]


def test_names_and_dates_are_found_in_the_order_they_stand():
    assert found(
        "To the Glory of God\nand in loving memory of\nEdith Mary Tolliver\n"
        "born 3rd March 1872, died 12 November 1931"
    ) == [
        ("name", "Edith Mary Tolliver", 3),
        ("date", "3rd March 1872", 4),
        ("date", "12 November 1931", 4),
    ]


def test_in_capitals_every_word_counts_that_is_not_one_of_dedications():
    assert found("IN MEMORY OF\nARTHUR J. LOWE AND OF HIS WIFE MAY\nREQUIESCANT IN PACE") == [
        ("name", "ARTHUR J. LOWE", 2),
        ("name", "MAY", 2),
    ]


@pytest.mark.parametrize(
    "name",
    ["Capt. José de Souza-O’Brien", "Maria van der Berg", "J. B. d'Arcy", "Łucja Żak", "Ἑλένη"],
)
def test_a_name_is_kept_whole(name):
    assert ("name", name, 1) in found(f"for {name}")


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("12 May 1931", "date"),
        ("May 12th, 1931", "date"),
        ("12.5.1931", "date"),
        ("1931-05-12", "date"),
        ("JUNE 1940", "date"),
        ("1872 – 1931", "year"),
        ("1914-18", "year"),
        ("1931", "year"),
        ("A.D. 1931", "year"),
        ("MCMXIV", "year"),
        ("A.D. MDCCCLXXII", "year"),
    ],
)
def test_a_date_is_found_as_it_is_written(text, kind):
    assert found(f"given {text}") == [(kind, text, 1)]


def test_no_word_in_capitals_is_taken_for_a_roman_year():
    assert found("MIX\nCIVIC DILL") == [("name", "MIX", 1), ("name", "CIVIC DILL", 2)]


def test_an_empty_inscription_has_none():
    assert found("") == []


@given(st.text(max_size=80))
def test_whatever_is_found_stands_in_its_line(text):
    lines = text.split("\n")
    for each in names_and_dates(lines):
        assert each.text in unicodedata.normalize("NFC", lines[each.line - 1])


def test_a_name_spelt_otherwise_than_in_the_register_is_named():
    assert differences("Edith Holoway", ["EDITH", "HOLLOWAY"]) == (
        Difference("Holoway", "HOLLOWAY", 2),
    )


def test_accents_count_and_capitals_do_not():
    assert differences("José Tolliver", ["JOSE TOLLIVER"]) == (Difference("José", "JOSE", 1),)
    assert differences("José Tolliver", ["JOSÉ TOLLIVER"]) == ()


def test_a_name_with_nothing_like_it_has_no_nearest():
    assert differences("Wilfred Ashby", ["EDITH TOLLIVER"]) == (
        Difference("Wilfred", "", None),
        Difference("Ashby", "", None),
    )


def test_words_that_are_no_names_are_not_compared():
    assert differences("The Parish of St Aldhelm, 1931", ["ST ALDHELM"]) == ()
