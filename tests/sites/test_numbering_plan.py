"""Numbers of openings assigned from the plan and liturgical east."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sites.compute.numbering import opening_number, opening_order
from sites.compute.numbering_plan import (
    NumberingError,
    PlanOpening,
    assign,
    in_order,
    orientation_of,
)
from sites.compute.plan.walls import OnWall, orientation_of_plan, place_openings
from tests.sites.plans import CRUCIFORM, ROUND, drawn, mirrored, row, turned

CONVENTION = (
    "Corpus Vitrearum, numbering of windows: axial east I, westward on each side from II, upper "
    "case for the clerestory, each level by itself"
)


def numbered(rows, **more):
    walls, placed = drawn(rows)
    return assign([each.counted for each in placed], orientation_of_plan(walls), **more)


@pytest.mark.published(CONVENTION)
def test_a_cruciform_church_with_a_clerestory():
    found = numbered(CRUCIFORM)
    assert found == {key: key for key in found}
    assert len(found) == 27


@pytest.mark.published(CONVENTION)
def test_a_church_whose_ritual_east_is_the_south_west():
    walls, placed = drawn(CRUCIFORM)
    there = turned(walls, 135)
    on_walls = [OnWall(each.key, each.wall.key, each.along, each.level) for each in placed]
    counted = [each.counted for each in place_openings(there, on_walls)]
    found = assign(counted, orientation_of_plan(there, east=225.0))
    assert found == {key: key for key in found}
    # Told nothing of the altar, the same walls are counted from the compass's east.
    assert assign(counted, orientation_of_plan(there)) != found


@pytest.mark.published(CONVENTION)
def test_a_round_chapel():
    found = numbered(ROUND)
    assert found == {key: key for key in found}
    assert len(found) == 8


@pytest.mark.published(CONVENTION)
def test_arabic_numerals_do_as_well():
    assert numbered(ROUND, numerals="arabic")["nII"] == "n2"


def test_a_window_added_later_takes_a_letter_and_nothing_else_is_renumbered():
    walls, placed = drawn(CRUCIFORM)
    lie = orientation_of_plan(walls)
    there = [each.counted for each in placed]
    kept = {each.key: each.key for each in there}
    added = PlanOpening("added", 8000, 8000, 0)
    found = assign([*there, added], lie, kept=kept)
    assert found == {**kept, "added": "nIXa"}
    again = PlanOpening("again", 7000, 8000, 0)
    assert assign([*there, added, again], lie, kept={**kept, "added": "nIXa"})["again"] == "nIXb"


@pytest.mark.parametrize(
    ("gone", "expected"),
    [
        ([], "nIXa"),
        (["nX"], "nX"),
        (["nIX"], "nVIIIa"),
    ],
)
def test_a_free_number_is_taken_before_a_letter(gone, expected):
    walls, placed = drawn(CRUCIFORM)
    there = [each.counted for each in placed if each.key not in gone]
    kept = {each.key: each.key for each in there}
    if gone == ["nIX"]:
        # The gap between nVIII and nX is taken by an opening that has no place on the plan.
        kept["unplaced"] = "nIX"
    added = PlanOpening("added", 8000, 8000, 0)
    assert assign([*there, added], orientation_of_plan(walls), kept=kept)["added"] == expected


def test_before_the_first_of_a_side_stands_a_letter_after_the_axis():
    walls, placed = drawn(CRUCIFORM)
    there = [each.counted for each in placed]
    kept = {each.key: each.key for each in there}
    east = PlanOpening("east", 42000, 7000, 90)
    west = PlanOpening("west", 0, 7500, 270)
    found = assign([*there, east, west], orientation_of_plan(walls), kept=kept)
    assert (found["east"], found["west"]) == ("nIa", "wIa")
    assert opening_order("I") < opening_order("nIa") < opening_order("nII")


def test_numbers_of_another_list_are_replaced_and_those_of_the_convention_kept_as_written():
    walls, placed = drawn(CRUCIFORM)
    kept = {each.key: each.key for each in placed} | {"I": "Great window", "nII": "n2"}
    found = assign([each.counted for each in placed], orientation_of_plan(walls), kept=kept)
    assert found["I"] == "I"
    assert found["nII"] == "n2"


def test_without_an_axial_window_the_sides_still_begin_with_two():
    walls, placed = drawn([row("N", "8 m"), row("E", "20 m", "nIII, nII"), row("S", "8 m"),
                           row("W", "20 m", "sII, sIII")])  # fmt: skip
    found = assign([each.counted for each in placed], orientation_of_plan(walls))
    assert found == {key: key for key in found}


def test_the_east_wall_is_counted_outwards_and_a_west_wall_of_a_transept_inwards():
    lie = orientation_of([(0, -10000), (40000, 10000)])
    openings = [
        PlanOpening("far", 40000, 3000, 90),
        PlanOpening("axis", 40000, 0, 90),
        PlanOpening("near", 40000, 1500, 90),
        PlanOpening("inner", 22000, 5000, 270),
        PlanOpening("outer", 22000, 9000, 270),
    ]
    order = in_order(openings, lie)
    assert order[("ground", "")] == ["axis"]
    assert order[("ground", "n")] == ["near", "far", "outer", "inner"]


@pytest.mark.parametrize(
    ("aside_mm", "expected"), [(0, "I"), (500, "I"), (-500, "I"), (501, "nII"), (-501, "sII")]
)
def test_an_east_window_is_the_axial_one_up_to_half_a_metre_from_the_axis(aside_mm, expected):
    lie = orientation_of([(0, -4000), (20000, 4000)])
    assert assign([PlanOpening("east", 20000, aside_mm, 90)], lie) == {"east": expected}


def test_a_west_window_is_of_the_west_end_in_the_westernmost_quarter_alone():
    lie = orientation_of([(0, -4000), (40000, 4000)])
    openings = [PlanOpening("tower", 10000, 0, 270), PlanOpening("transept", 10001, 4000, 270)]
    assert assign(openings, lie) == {"tower": "wI", "transept": "nII"}


def test_two_windows_one_above_the_other_in_the_axis_are_one_of_each_level():
    lie = orientation_of([(0, -4000), (20000, 4000)])
    openings = [
        PlanOpening("below", 20000, 0, 90),
        PlanOpening("above", 20000, 0, 90, "clerestory"),
        PlanOpening("between", 20000, 0, 90, "triforium"),
        PlanOpening("gallery", 10000, 4000, 0, "triforium"),
    ]
    assert assign(openings, lie) == {
        "below": "I", "above": "EI", "between": "etI", "gallery": "ntII",
    }  # fmt: skip


def test_more_than_99_openings_on_a_side_need_arabic_numerals():
    lie = orientation_of([(0, -4000), (200000, 4000)])
    openings = [PlanOpening(f"{n}", 200000 - n * 1000, 4000, 0) for n in range(1, 101)]
    with pytest.raises(NumberingError, match="Arabic"):
        assign(openings, lie)
    assert assign(openings, lie, "arabic")["100"] == "n101"


def test_letters_run_out_with_a_word_about_it():
    lie = orientation_of([(0, -4000), (200000, 4000)])
    openings = [PlanOpening(f"{n}", 100000 - n * 1000, 4000, 0) for n in range(29)]
    with pytest.raises(NumberingError, match="renumber all"):
        assign(openings, lie, kept={"0": "nII", "28": "nIII"})


def test_a_plan_without_walls_cannot_be_counted():
    with pytest.raises(NumberingError, match="Draw the plan first"):
        orientation_of_plan([])


# Openings well apart from each other and from the axis: no two can be told to change places.
SPOTS = st.lists(
    st.tuples(
        st.integers(1, 90), st.integers(1, 20), st.sampled_from([0, 90, 180, 270]), st.booleans()
    ),
    min_size=1,
    max_size=12,
    unique_by=lambda spot: spot[0],
)


def scattered(spots):
    return [
        PlanOpening(
            f"{x}",
            x * 1000,
            (1 if place % 2 else -1) * y * 1000,
            outward,
            "clerestory" if high else "ground",
        )
        for place, (x, y, outward, high) in enumerate(spots)
    ]


LIE = orientation_of([(0, -20000), (95000, 20000)])


@given(SPOTS)
def test_mirroring_a_plan_across_its_axis_swaps_north_and_south(spots):
    openings = scattered(spots)
    here = in_order(openings, LIE)
    there = in_order([mirrored(opening) for opening in openings], LIE)
    for level in ("ground", "clerestory"):
        assert here.get((level, "n")) == there.get((level, "s"))
        assert here.get((level, "s")) == there.get((level, "n"))
        assert sorted(here.get((level, "w"), [])) == sorted(there.get((level, "w"), []))


@given(SPOTS)
def test_numbers_rise_westward_on_each_side_and_are_never_given_twice(spots):
    openings = scattered(spots)
    found = assign(openings, LIE)
    assert len({*found.values()}) == len(openings)
    at = {opening.key: opening.x for opening in openings}
    read = {key: opening_number(number) for key, number in found.items()}
    for level in ("ground", "clerestory"):
        for side in "ns":
            row_of = [key for key, n in read.items() if (n.level, n.side) == (level, side)]
            row_of.sort(key=lambda key: read[key].count)
            assert [at[key] for key in row_of] == sorted((at[key] for key in row_of), reverse=True)
            assert [read[key].count for key in row_of] == [*range(2, len(row_of) + 2)]


@given(SPOTS, st.integers(0, 11))
def test_adding_one_opening_changes_no_number_that_is_there(spots, which):
    openings = scattered(spots)
    added = openings[which % len(openings)]
    there = [opening for opening in openings if opening is not added]
    kept = assign(there, LIE)
    found = assign(openings, LIE, kept=kept)
    assert {key: found[key] for key in kept} == kept
    assert found[added.key] not in kept.values()
    # It stands in the list where it stands in the building.
    place = opening_number(found[added.key])
    row_of = in_order(openings, LIE)[place.level, place.side]
    if place.side != "w":
        assert sorted(row_of, key=lambda key: opening_order(found[key])) == row_of
