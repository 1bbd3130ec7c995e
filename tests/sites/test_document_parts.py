"""The parts of documents: canonical data, characters, dates and sizes in words, cautions, terms."""

import datetime as dt
import json
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sites.documents.canonical import canonical, digest
from sites.documents.characters import covered_by_our_fonts, printable
from sites.documents.laying_out import fact_rows, two_a_row
from sites.documents.vocabulary import caution_codes_known, cautions_for, terms_in
from sites.documents.words import day_words, language_of, lines, locale_of, size_words
from sites.models import Building

PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text("abcdef_"), inner),
    max_leaves=12,
)


@pytest.mark.published("RFC 8785 (JSON Canonicalization Scheme), 3.2.2.2: strings; from memory")
def test_strings_are_escaped_as_little_as_may_be():
    assert canonical({"b": '\u20ac$\u000f\nA\'B"\\\\"/', "a": None}) == (
        b'{"a":null,"b":"\xe2\x82\xac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )


@pytest.mark.published('FIPS 180-4 (SHA-256): the digest of the two bytes "{}", from memory')
def test_the_digest_is_sha_256_of_those_bytes():
    assert digest({}) == "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"


@given(PLAIN)
def test_canonical_data_reads_back_and_its_digest_forgets_the_order_of_keys(data):
    assert json.loads(canonical(data)) == data
    assert digest(json.loads(json.dumps(turned(data)))) == digest(data)


def turned(data):
    if isinstance(data, dict):
        return {key: turned(data[key]) for key in reversed(data)}
    return [turned(each) for each in data] if isinstance(data, list) else data


@pytest.mark.parametrize("odd", [1.5, Decimal("1.5"), dt.date(2026, 1, 1), {1: "a"}, {"a": b"x"}])
def test_what_has_no_one_way_of_being_written_is_refused(odd):
    with pytest.raises(TypeError, match="snapshot"):
        canonical([odd])


def test_a_character_without_a_typeface_becomes_its_code_and_is_listed_once():
    data = {"note": "\N{GRINNING FACE} twice \N{GRINNING FACE}", "list": ["nII", 3, None]}
    copy, replaced = printable(data, covered_by_our_fonts())
    assert copy == {"note": "[U+1F600] twice [U+1F600]", "list": ["nII", 3, None]}
    assert replaced == ["U+1F600 GRINNING FACE"]
    assert data["note"].startswith("\N{GRINNING FACE}")


def test_a_character_that_turns_letters_around_is_shown_for_what_it_is():
    copy, replaced = printable("total 100\u202e00", covered_by_our_fonts())
    assert copy == "total 100[U+202E]00"
    assert replaced == ["U+202E RIGHT-TO-LEFT OVERRIDE"]


def test_names_of_many_languages_print_as_they_are_written():
    names = "Łódź, Ștefan, Ελληνικά, Кириллица, שלום, Tiếng Việt, ⅜″, №, ✝"
    assert printable(names, covered_by_our_fonts()) == (names, [])


def test_line_ends_of_any_system_are_one():
    assert printable("a\r\nb", covered_by_our_fonts()) == ("a\nb", [])


@pytest.mark.parametrize(
    ("sides", "words"),
    [
        ([('34 3/8"', "873.125"), ('60"', "1524")], '34 3/8" × 60" (about 873 mm × 1524 mm)'),
        ([("873", "873"), ("1524", "1524")], '873 mm × 1524 mm (about 34 3/8" × 60")'),
        ([("34 3/8", "873.125")], '34 3/8" (about 873 mm)'),
        ([("36", "914.4")], '36" (about 914 mm)'),
        ([("2' 10 3/8\"", "873.125")], "2' 10 3/8\" (about 873 mm)"),
        ([("87.3 cm", "873")], '87.3 cm (about 34 3/8")'),
        ([("5 ft", "1524")], "5 ft (1524 mm)"),
        ([("", None)], ""),
    ],
)
def test_a_size_is_as_typed_then_in_the_other_unit(sides, words):
    typed = [(text, Decimal(mm) if mm else None) for text, mm in sides]
    assert size_words(typed) == words


@pytest.mark.parametrize(
    ("language", "country", "locale", "day"),
    [
        ("en", "GB", "en_GB", "5 March 2026"),
        ("en", "US", "en_US", "March 5, 2026"),
        ("en", "", "en_GB", "5 March 2026"),
        ("xx", "ZZ", "en_GB", "5 March 2026"),
    ],
)
def test_dates_follow_the_country_of_the_building(language, country, locale, day):
    building = Building(language=language, country=country)
    assert (language_of(building), locale_of(building)) == ("en", locale)
    assert day_words(dt.date(2026, 3, 5), locale) == day


def test_lines_keep_what_stands_between_the_first_and_the_last():
    assert lines("\n one\n\n two \n") == ["one", "", " two"]


def test_cautions_come_once_each_in_the_order_of_the_file():
    found = cautions_for(["lead-waste", "lead", "lead"])
    assert [caution["code"] for caution in found] == ["lead", "lead-waste"]
    assert all(caution["text"] and caution["source"] for caution in found)
    assert {"lead", "work-at-height"} <= caution_codes_known()


def test_an_unknown_caution_is_refused():
    with pytest.raises(KeyError, match="no caution has the code dragons"):
        cautions_for(["lead", "dragons"])


def test_terms_are_found_as_whole_words_in_any_form():
    found = {entry["term"] for entry in terms_in({"a": ["The Cames are", "a crowbar, QUARRIES"]})}
    assert "came" in found
    assert "bar" not in found
    assert [entry["term"] for entry in terms_in("nothing of the trade")] == []


def test_short_facts_stand_two_a_row_and_long_ones_alone():
    lengths = {"a": 5, "b": 5, "c": 60, "d": 5}
    facts = [{"name": name, "value": "x" * length} for name, length in lengths.items()]
    rows = [[fact["name"] for fact in row] for row in fact_rows(facts)]
    assert rows == [["a", "b"], ["c"], ["d"]]


def test_photographs_stand_two_a_row_at_most():
    assert two_a_row([1, 2, 3]) == [[1, 2], [3]]
