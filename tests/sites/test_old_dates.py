"""Old dates: what people write, the EDTF it becomes, and the days it may mean."""

from datetime import date
from time import struct_time

import edtf as edtf_library
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from sites.compute.dates import OldDateError, describe, from_edtf, parse_old_date
from tests.properties import examples

PROPERTY = examples(200)
SPECIFICATION = (
    "Library of Congress EDTF specification, 4 February 2019 (ISO 8601-2:2019); from memory"
)
LIBRARY = "The edtf library for Python, version 5, by its own reading of ISO 8601-2"
EN_DASH = "\N{EN DASH}"


@pytest.mark.parametrize(
    ("text", "edtf"),
    [
        ("1931", "1931"),
        ("c. 1931", "1931~"),
        ("c1931", "1931~"),
        ("ca. 1931", "1931~"),
        ("circa 1931", "1931~"),
        ("About 1931", "1931~"),
        ("about May 1931", "1931-05~"),
        ("1931?", "1931?"),
        ("1931 (?)", "1931?"),
        ("possibly 1931", "1931?"),
        ("c. 1931?", "1931%"),
        ("1890s", "189X"),
        ("the 1890's", "189X"),
        ("c. 1890s", "189X~"),
        ("19th century", "18XX"),
        ("the 19th c.", "18XX"),
        ("12 May 1931", "1931-05-12"),
        ("12th May, 1931", "1931-05-12"),
        ("May 12, 1931", "1931-05-12"),
        ("Sept. 1931", "1931-09"),
        ("May 1931", "1931-05"),
        ("1931-05-12", "1931-05-12"),
        ("1931/05/12", "1931-05-12"),
        ("31/12/1998", "1998-12-31"),
        ("12/31/1998", "1998-12-31"),
        ("05.05.1931", "1931-05-05"),
        ("1931/1934", "1931/1934"),
        ("1931-34", "1931/1934"),
        ("1931/34", "1931/1934"),
        (f"1931{EN_DASH}34", "1931/1934"),
        (f"1908{EN_DASH}09", "1908/1909"),
        ("1931 - 1934", "1931/1934"),
        ("between 1931 and 1934", "1931/1934"),
        ("from 1931 to 34", "1931/1934"),
        ("the 1890s to the 1920s", "189X/192X"),
        ("c. 1931-34", "1931~/1934~"),
        ("about 1931 to 1934", "1931~/1934"),
        ("possibly between 1931 and 1934", "1931?/1934?"),
        ("before 1940", "../1939"),
        ("pre-1940", "../1939"),
        ("before May 1940", "../1940-04"),
        ("before 1 March 1940", "../1940-02-29"),
        ("before c. 1940", "../1939~"),
        ("by 1940", "../1940"),
        ("1940 or earlier", "../1940"),
        ("after 1900", "1901/.."),
        ("after 31 December 1900", "1901-01-01/.."),
        ("after the 1890s", "1900/.."),
        ("since 1900", "1900/.."),
        ("189x", "189X"),
    ],
)
def test_the_words_of_old_records_become_edtf(text, edtf):
    assert parse_old_date(text).edtf == edtf


@pytest.mark.published(SPECIFICATION)
@pytest.mark.parametrize(
    ("edtf", "earliest", "latest"),
    [
        ("1985-04-12", "1985-04-12", "1985-04-12"),
        ("1985-04", "1985-04-01", "1985-04-30"),
        ("1985", "1985-01-01", "1985-12-31"),
        ("1964/2008", "1964-01-01", "2008-12-31"),
        ("2004-06/2006-08", "2004-06-01", "2006-08-31"),
        ("2004-02-01/2005-02-08", "2004-02-01", "2005-02-08"),
        ("2004-02-01/2005-02", "2004-02-01", "2005-02-28"),
        ("2004-02-01/2005", "2004-02-01", "2005-12-31"),
        ("2005/2006-02", "2005-01-01", "2006-02-28"),
        ("1984?", "1984-01-01", "1984-12-31"),
        ("201X", "2010-01-01", "2019-12-31"),
        ("20XX", "2000-01-01", "2099-12-31"),
        ("2004-XX", "2004-01-01", "2004-12-31"),
        ("1985-04-XX", "1985-04-01", "1985-04-30"),
        ("1985-XX-XX", "1985-01-01", "1985-12-31"),
        ("1985-04-12/..", "1985-04-12", "9999-12-31"),
        ("1985-04/", "1985-04-01", "9999-12-31"),
        ("../1985", "0001-01-01", "1985-12-31"),
        ("/1985-04-12", "0001-01-01", "1985-04-12"),
    ],
)
def test_examples_of_the_specification_are_read_as_they_stand(edtf, earliest, latest):
    read = parse_old_date(edtf)
    assert read.edtf == edtf
    assert (read.earliest.isoformat(), read.latest.isoformat()) == (earliest, latest)


@pytest.mark.published(SPECIFICATION)
@pytest.mark.parametrize(
    ("edtf", "earliest", "latest"),
    [
        # Ours, a studio default: five years, or months or days where the date names them.
        ("1984~", "1979-01-01", "1989-12-31"),
        ("2004-06~", "2004-01-01", "2004-11-30"),
        ("2004-06-11%", "2004-06-06", "2004-06-16"),
        ("1984~/2004-06", "1979-01-01", "2004-06-30"),
        ("1984-06-02?/2004-08-08~", "1984-06-02", "2004-08-13"),
        ("189X~", "1885-01-01", "1904-12-31"),
    ],
)
def test_an_approximate_date_is_widened_by_the_studios_margin(edtf, earliest, latest):
    read = from_edtf(edtf)
    assert read.edtf == edtf
    assert (read.earliest.isoformat(), read.latest.isoformat()) == (earliest, latest)


def test_the_margin_is_a_setting():
    assert parse_old_date("c. 1931", margin=0).earliest == date(1931, 1, 1)
    assert parse_old_date("c. 1931", margin=10).latest == date(1941, 12, 31)
    assert from_edtf("0003~").earliest == date.min
    assert from_edtf("9998~").latest == date.max
    with pytest.raises(ValueError, match="below zero"):
        parse_old_date("c. 1931", margin=-1)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "Enter a date"),
        ("31/02/1998", "February 1998 has 28 days"),
        ("29 Feb 1900", "February 1900 has 28 days"),
        ("1998-02-31", "February 1998 has 28 days"),
        ("12/05/1931", "12/05/1931 can be read two ways: 12 May 1931 or 5 December 1931"),
        ("before 12/05/1931", "two ways"),
        ("12/05/31", "all four figures of the year"),
        ("32/01/1998", "no day and month"),
        ("1908-09", "September 1908, or 1908 to 1909"),
        ("c. 1908-09", "two ways"),
        ("2001-21", "a season, or 2001 to 2021"),
        ("1931-25", "no month 25"),
        ("1800s", "the 19th century"),
        ("late 19th century", "Write the years"),
        ("spring 1931", "names a season"),
        ("1931-22", "is a season"),
        ("91st century", "from the 1st to the 21st"),
        ("1934/1931", "runs backwards"),
        ("between 1934 and 1931", "runs backwards"),
        ("0000", "no year 0"),
        ("before 0001", "begin with the year 1"),
        ("after 9999", "end with the year 9999"),
        ("../..", "at one end"),
        ("189X-05", "Leave the month out"),
        ("1931-XX-12", "Leave the day out"),
        ("[1667,1668]", "a part of EDTF that is not kept here"),
        ("-1985", "not kept here"),
        ("Y170000002", "not kept here"),
        ("1985-04-12T23:20:30", "not kept here"),
        ("yesterday", "is not read as a date"),
        ("May", "is not read as a date"),
        ("x" * 81, "too long"),
    ],
)
def test_anything_doubtful_is_refused_in_the_words_of_the_person(text, says):
    with pytest.raises(OldDateError) as refusal:
        parse_old_date(text)
    assert says in str(refusal.value)


def test_kept_edtf_is_read_by_the_standard_alone():
    kept = from_edtf("1908-09", typed="Sept 1908")
    assert (kept.earliest, kept.latest) == (date(1908, 9, 1), date(1908, 9, 30))
    assert kept.typed == "Sept 1908"
    with pytest.raises(OldDateError, match="not a date as EDTF"):
        from_edtf("c. 1908")


def test_what_was_typed_is_kept():
    assert parse_old_date(" Circa 1931 ").typed == "Circa 1931"


@pytest.mark.parametrize(
    ("edtf", "words"),
    [
        ("1931", "1931"),
        ("0931", "the year 931"),
        ("1931~", "about 1931"),
        ("1931?", "possibly 1931"),
        ("1931%", "possibly about 1931"),
        ("189X", "the 1890s"),
        ("190X", "1900 to 1909"),
        ("18XX", "the 19th century"),
        ("10XX", "the 11th century"),
        ("20XX", "the 21st century"),
        ("1931-05", "May 1931"),
        ("1931-05-02", "2 May 1931"),
        ("1931-XX", "some month in 1931"),
        ("1931-05-XX", "some day in May 1931"),
        ("1931-XX-XX", "some day in 1931"),
        ("1931~/1934", "about 1931 to 1934"),
        ("../1939", "1939 or earlier"),
        ("1901/..", "1901 or later"),
        ("1901/", "1901, end not known"),
        ("/1901", "1901, beginning not known"),
    ],
)
def test_a_kept_date_is_told_in_plain_english(edtf, words):
    assert describe(edtf) == words


YEARS = st.integers(1000, 2099).map(lambda year: f"{year:04}")
DAYS = st.dates(date(1000, 1, 1), date(2099, 12, 31))
SPECIFIED = st.one_of(
    YEARS,
    DAYS.map(lambda day: day.isoformat()),
    DAYS.map(lambda day: day.isoformat()[:7]),
)
UNQUALIFIED = st.one_of(
    SPECIFIED,
    YEARS.map(lambda year: year[:3] + "X"),
    YEARS.map(lambda year: year[:2] + "XX"),
    DAYS.map(lambda day: day.isoformat()[:7] + "-XX"),
)
QUALIFIED = st.tuples(UNQUALIFIED, st.sampled_from(["", "?", "~", "%"])).map("".join)


@pytest.mark.published(LIBRARY)
@PROPERTY
@given(UNQUALIFIED)
def test_bounds_of_single_dates_agree_with_another_reader(edtf):
    _agrees_with_the_library(edtf)


@pytest.mark.published(LIBRARY)
@PROPERTY
@given(SPECIFIED, SPECIFIED)
def test_bounds_of_spans_agree_with_another_reader(one, other):
    # That library takes no unspecified figures at the end of a span; ours does.
    _agrees_with_the_library(f"../{one}")
    _agrees_with_the_library(f"{one}/..")
    first, last = sorted((one, other))
    assume(from_edtf(first).earliest <= from_edtf(last).latest)
    _agrees_with_the_library(f"{first}/{last}")


def _agrees_with_the_library(edtf):
    ours, theirs = from_edtf(edtf), edtf_library.parse_edtf(edtf)
    assert ours.earliest == _as_date(theirs.lower_strict(), date.min)
    assert ours.latest == _as_date(theirs.upper_strict(), date.max)


def _as_date(bound, when_open):
    return date(*bound[:3]) if isinstance(bound, struct_time) else when_open


@PROPERTY
@given(QUALIFIED)
def test_the_library_can_read_every_date_we_keep(edtf):
    assert str(edtf_library.parse_edtf(from_edtf(edtf).edtf)) == edtf


@PROPERTY
@given(QUALIFIED)
def test_plain_english_leads_back_to_the_same_date(edtf):
    words = describe(edtf)
    # Two things have words that we tell but do not ask people to type.
    assume("some day" not in words and " to " not in words)
    assert parse_old_date(words).edtf == edtf
    assert parse_old_date(words + " or later").edtf == f"{edtf}/.."
    assert parse_old_date(words + " or earlier").edtf == f"../{edtf}"


@PROPERTY
@given(QUALIFIED, st.integers(0, 60))
def test_a_wider_margin_never_narrows_a_date(edtf, margin):
    narrow, wide = from_edtf(edtf, margin=margin), from_edtf(edtf, margin=margin + 1)
    assert wide.earliest <= narrow.earliest <= narrow.latest <= wide.latest


@PROPERTY
@given(UNQUALIFIED)
def test_before_and_after_leave_no_gap_and_no_overlap(edtf):
    stated = from_edtf(edtf)
    words = describe(edtf)
    assume("some day" not in words and " to " not in words)
    before, after = parse_old_date(f"before {words}"), parse_old_date(f"after {words}")
    assert before.latest.toordinal() + 1 == stated.earliest.toordinal()
    assert after.earliest.toordinal() - 1 == stated.latest.toordinal()


@PROPERTY
@given(
    st.one_of(
        st.text(max_size=90),
        st.text(alphabet="0123456789x/.-~?% csthmayder", max_size=20),
        st.lists(
            st.sampled_from(
                ["c. ", "before ", "1931", "-", "/", "34", "12", " May ", "?", "s", " to ", ".."]
            ),
            max_size=7,
        ).map("".join),
    )
)
def test_no_text_at_all_raises_anything_but_an_old_date_error(text):
    try:
        read = parse_old_date(text)
    except OldDateError:
        return
    assert read.earliest <= read.latest
    assert describe(read.edtf)
    assert from_edtf(read.edtf, read.typed) == read
