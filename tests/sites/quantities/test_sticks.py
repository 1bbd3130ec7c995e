"""Sticks of came: cut lists packed into them, and lengths with waste."""

import itertools
import math
from collections import Counter
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sites.compute.quantities.errors import QuantityError
from sites.compute.quantities.sticks import (
    MOST_CUTS,
    cut_list,
    cuts_with_units,
    parse_cuts,
    sticks_with_waste,
)

SIX_FEET = Decimal("1828.8")
lengths = st.integers(1, 1800).map(Decimal)


@pytest.mark.published("common practice, no source; a stick is the 6 ft that makers list")
def test_m10_twelve_metres_and_ten_percent_are_eight_sticks():
    assert sticks_with_waste(Decimal(12_000), SIX_FEET, Decimal(10)) == 8


def test_a_length_that_is_whole_sticks_is_not_rounded_up():
    assert sticks_with_waste(Decimal(18_288), SIX_FEET, Decimal(0)) == 10
    assert sticks_with_waste(Decimal("18288.001"), SIX_FEET, Decimal(0)) == 11
    assert sticks_with_waste(Decimal(0), SIX_FEET, Decimal(10)) == 0


def fewest(cuts, room, kerf):
    """The fewest sticks that can hold the cuts, by trying every way."""
    rooms = [room + kerf] * len(cuts)

    def fits(cuts, rooms):
        if not cuts:
            return True
        tried = set()
        for n, left in enumerate(rooms):
            if cuts[0] + kerf <= left and left not in tried:
                tried.add(left)
                if fits(cuts[1:], [*rooms[:n], left - cuts[0] - kerf, *rooms[n + 1 :]]):
                    return True
        return False

    ordered = sorted(cuts, reverse=True)
    return next(count for count in itertools.count() if fits(ordered, rooms[:count]))


@pytest.mark.published("first-fit decreasing takes at most 11/9 OPT + 1; from memory")
@given(cuts=st.lists(lengths, max_size=8), kerf=st.sampled_from([0, 1, 5]).map(Decimal))
def test_never_worse_than_eleven_ninths_of_the_fewest_and_one(cuts, kerf):
    packed = cut_list(cuts, SIX_FEET, kerf)
    best = fewest(cuts, SIX_FEET, kerf)
    assert best <= len(packed.sticks) <= math.floor(Decimal(11) / 9 * best + 1)


@given(cuts=st.lists(lengths, max_size=60), kerf=st.sampled_from([0, 1, 5]).map(Decimal))
def test_every_cut_is_in_exactly_one_stick_and_no_stick_is_overfilled(cuts, kerf):
    packed = cut_list(cuts, SIX_FEET, kerf)
    assert Counter(cut for stick in packed.sticks for cut in stick.cuts) == Counter(cuts)
    for stick in packed.sticks:
        used = sum(stick.cuts) + kerf * (len(stick.cuts) - 1)
        assert stick.cuts
        assert used <= SIX_FEET
        assert stick.left_mm == max(SIX_FEET - used - kerf, 0)
    assert sum(count for _, count in packed.layouts) == len(packed.sticks)


def test_the_last_cut_of_a_stick_loses_nothing():
    half = Decimal(900)
    assert len(cut_list([half, half], Decimal(1801), Decimal(1)).sticks) == 1
    assert len(cut_list([half, half], Decimal(1800), Decimal(1)).sticks) == 2
    assert len(cut_list([Decimal(1800)], Decimal(1800), Decimal(1)).sticks) == 1


@pytest.mark.parametrize(
    ("cuts", "stick", "kerf", "field", "words"),
    [
        ([1829], SIX_FEET, 0, "cuts", "1829 mm is longer than a stick of 1828.8 mm"),
        ([0], SIX_FEET, 0, "cuts", "0 mm is not above zero"),
        ([-5], SIX_FEET, 0, "cuts", "-5 mm is not above zero"),
        ([5], Decimal(0), 0, "stick_length", "longer than zero"),
        ([5], SIX_FEET, -1, "kerf", "below zero"),
    ],
)
def test_what_cannot_be_cut_is_refused_by_name(cuts, stick, kerf, field, words):
    with pytest.raises(QuantityError, match=words) as refused:
        cut_list([Decimal(cut) for cut in cuts], stick, Decimal(kerf))
    assert refused.value.field == field


def test_waste_below_zero_is_refused():
    with pytest.raises(QuantityError, match="Waste"):
        sticks_with_waste(Decimal(1000), SIX_FEET, Decimal(-1))


@pytest.mark.parametrize(
    ("text", "unit", "cuts"),
    [
        ("640 x 2, 1200", "mm", ["640", "640", "1200"]),
        ("640 × 2; 1200", "mm", ["640", "640", "1200"]),
        ("24 x2", "in", ["609.6", "609.6"]),
        ('24" x 2, 300 mm', "mm", ["609.6", "609.6", "300"]),
        ("64 cm*3", "mm", ["640", "640", "640"]),
        ("1200", "mm", ["1200"]),
        (" , ", "mm", []),
        ("", "mm", []),
    ],
)
def test_a_list_of_cuts_is_read(text, unit, cuts):
    assert parse_cuts(text, unit) == tuple(map(Decimal, cuts))


@pytest.mark.parametrize("text", ["long", "640 x 0", "-3", "640 x 2 x 2", f"5 x {MOST_CUTS + 1}"])
def test_a_list_nobody_can_read_is_refused_as_the_cuts(text):
    with pytest.raises(QuantityError) as refused:
        parse_cuts(text)
    assert refused.value.field == "cuts"


@pytest.mark.parametrize(
    ("text", "unit", "kept"),
    [
        ("640 x 2, 1200", "mm", "640 mm x 2, 1200 mm"),
        ("24 x2; 34 3/8", "in", '24" x 2, 34 3/8"'),
        ("64 cm*3,", "in", "64 cm x 3"),
        ("", "mm", ""),
    ],
)
def test_a_list_is_kept_with_units_so_that_everybody_reads_the_same(text, unit, kept):
    assert cuts_with_units(text, unit) == kept
    for reader in ("mm", "in"):
        assert parse_cuts(kept, reader) == parse_cuts(text, unit)


def test_a_list_nobody_can_read_is_not_kept():
    with pytest.raises(QuantityError):
        cuts_with_units("640 x 0")
