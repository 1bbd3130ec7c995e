"""Published limits of safe work: each figure against its source."""

from dataclasses import replace
from decimal import Decimal

import pytest

from condition.compute.safety.facts import SheetFacts
from condition.compute.safety.limits import (
    ChildUse,
    allowable_lead_in_air,
    is_child_occupied,
    is_minor_work,
    ladder_angle,
    ladder_foot,
    ladder_length,
    needs_fall_protection,
    needs_scaffold_protection,
    square_feet,
)
from condition.compute.safety.sheet import cautions_for_sheet
from sites.compute.figures import NO_SOURCE
from sites.documents.vocabulary import caution_codes_known
from sites.services.figures import shipped_figures

FIGURES = shipped_figures()
NURSERY = ChildUse(2, Decimal(3), 24)
FULLEST = SheetFacts(
    country="US",
    units="inch",
    access="ladder",
    hot_work="flame",
    lead=True,
    old_paint=True,
    window_replaced=True,
    heating="found",
    nesting=True,
)


def said(**facts) -> str:
    """Everything a sheet with these facts says, on one line."""
    told = []
    for each in cautions_for_sheet(SheetFacts(**{"putty": "none"} | facts), FIGURES):
        told += [each.title, each.do, *each.unknown]
        told += [f"[{line.jurisdiction}] {line.text}" for line in each.lines]
    return " ".join(told)


def codes(**facts) -> list[str]:
    sheet = cautions_for_sheet(SheetFacts(**{"putty": "none"} | facts), FIGURES)
    return [each.code for each in sheet]


@pytest.mark.published("29 CFR 1926.62(c)(2): 400 divided by the hours of the day")
@pytest.mark.parametrize(
    ("hours", "limit", "off"), [("10", 40, 0), ("12", 33.3, 0.05), ("8", 50, 0), ("4", 50, 0)]
)
def test_lead_allowed_in_the_air_falls_with_a_long_day(hours, limit, off):
    assert abs(float(allowable_lead_in_air(Decimal(hours))) - limit) <= off


@pytest.mark.parametrize("hours", ["0", "-1", "24.5"])
def test_hours_no_day_has_are_refused(hours):
    with pytest.raises(ValueError, match="from 0 to 24"):
        allowable_lead_in_air(Decimal(hours))


@pytest.mark.published("40 CFR 745.83, minor repair and maintenance: 6 ft² a room, 20 ft² outside")
@pytest.mark.parametrize(
    ("inside", "outside", "window", "torch", "minor"),
    [
        ("6.0", "0", False, False, True),
        ("4", "0", True, False, False),
        ("4", "0", False, True, False),
        ("6.01", "0", False, False, False),
        ("0", "20", False, False, True),
        ("0", "20.01", False, False, False),
        (None, "0", False, False, None),
        (None, "21", False, False, False),
        (None, None, True, False, False),
    ],
)
def test_minor_work_is_small_and_replaces_no_window(inside, outside, window, torch, minor):
    areas = [None if area is None else Decimal(area) for area in (inside, outside)]
    assert is_minor_work(*areas, window_replaced=window, torch=torch) is minor


@pytest.mark.published("40 CFR 745.83: 6 ft² and 20 ft², kept as m² to a square centimetre")
@pytest.mark.parametrize(("m2", "ft2"), [("0.5574", "6.00"), ("1.8581", "20.00")])
def test_an_area_typed_in_square_feet_is_not_lost_by_being_kept_in_square_metres(m2, ft2):
    assert square_feet(Decimal(m2)) == Decimal(ft2)


@pytest.mark.published("40 CFR 745.83, child-occupied facility")
@pytest.mark.parametrize(
    ("built", "days", "hours", "weeks", "occupied"),
    [
        (1925, 2, "3", 24, True),
        (1925, 1, "3", 24, False),
        (1925, 1, "3", None, False),
        (1978, 2, "3", 24, False),
        (1977, 2, "3", 10, True),
        (1925, 2, "3", 9, False),
        (1925, 3, "2", 40, False),
        (None, 2, "3", 24, None),
        (1925, None, None, None, None),
    ],
)
def test_a_place_is_child_occupied_by_its_age_and_by_how_long_the_same_child_is_there(
    built, days, hours, weeks, occupied
):
    use = ChildUse(days, None if hours is None else Decimal(hours), weeks)
    assert is_child_occupied(built, use) is occupied


def test_two_days_of_three_hours_for_24_weeks_are_144_hours():
    assert NURSERY.hours_a_year == 144


@pytest.mark.published("29 CFR 1926.1053(b)(5)(i): a quarter of the working length")
def test_a_ladder_of_20_ft_stands_5_ft_out_at_75_and_a_half_degrees():
    assert ladder_foot(Decimal(20)) == 5
    assert ladder_angle() == pytest.approx(75.52, abs=0.01)


def test_a_ladder_reaches_the_height_it_was_reckoned_for():
    length = ladder_length(Decimal(4000))
    assert length**2 == pytest.approx(4000**2 + ladder_foot(length) ** 2)


@pytest.mark.published("29 CFR 1926.501(b)(1): 6 ft; 29 CFR 1926.451(g)(1): above 10 ft")
def test_falls_are_protected_against_from_their_heights_up_and_where_nobody_said_how_high():
    assert not needs_fall_protection(Decimal(1828))
    assert needs_fall_protection(Decimal("1828.8"))
    assert not needs_scaffold_protection(Decimal(3048))
    assert needs_scaffold_protection(Decimal("3048.1"))
    assert needs_fall_protection(None)
    assert needs_scaffold_protection(None)


@pytest.mark.published("29 CFR 1926.62(c)(2); CLAW 2002; Directive (EU) 2024/869")
def test_lead_is_told_by_the_rule_of_the_building_s_own_country():
    job = {"lead": True, "hours": Decimal(10)}
    assert "at most 40 µg/m³ (400 ÷ 10)" in said(country="US", **job)
    assert "0.15 mg/m³" not in said(country="US", **job)
    assert "0.15 mg/m³" in said(country="GB", **job)
    assert "µg/m³" not in said(country="GB", **job)
    assert "In air 0.03 mg/m³" in said(country="DE", **job)


def test_without_a_rule_of_its_own_country_those_of_others_stand_for_comparison():
    sheet = cautions_for_sheet(SheetFacts(country="NO", lead=True, putty="none"), FIGURES)
    lead = next(each for each in sheet if each.code == "lead")
    assert {line.jurisdiction for line in lead.lines} == {
        "United States",
        "United Kingdom",
        "European Union",
    }
    assert not any(line.own for line in lead.lines)


@pytest.mark.published("29 CFR 1910.252(a)(2)(iii): 30 min; NFPA 51B (2019) 5.5: 60 min; 35 ft")
def test_hot_work_is_watched_for_the_longer_time_and_within_35_ft():
    told = said(country="US", units="inch", hot_work="flame")
    assert "Watch for at least 60 minutes" in told
    assert "30 by the United States workplace rule" in told
    assert "within 35 ft (11 m)" in told


@pytest.mark.published("NFPA 1 (2015) chapter 41: electric irons stand outside it")
def test_an_electric_iron_is_told_apart_from_a_flame():
    assert "irons stand outside the hot-work chapter" in said(hot_work="iron")
    assert "irons stand outside" not in said(hot_work="flame")


@pytest.mark.published("29 CFR 1926.1053(b): a quarter of the working length; rails 3 ft above")
def test_a_ladder_is_told_where_its_foot_stands():
    # A top support at 19.365 ft belongs to a working length of 20 ft.
    told = said(country="US", units="inch", access="ladder", height_mm=Decimal("5902.4"))
    assert "the foot stands 5 ft out" in told
    assert "3 ft (0.9 m) above a landing" in told


@pytest.mark.published("40 CFR 61.145: 260 linear ft, 160 ft², 35 ft³")
def test_putty_nobody_has_tested_is_treated_as_asbestos():
    told = said(country="US", putty="not tested")
    assert "Asbestos not ruled out" in told
    assert "260 ft, 160 ft² or 35 ft³" in told
    assert "treated as asbestos: old putty" in told
    assert "Asbestos found: old putty" in said(putty="found")
    assert "tested, clear" in said(putty="clear")
    assert "asbestos" not in codes(putty="none")


@pytest.mark.parametrize(
    ("facts", "told"),
    [
        ({"access": "tower"}, "The height is not recorded: it is taken to be above every limit"),
        ({"lead": True}, "a day of 12 h is reckoned with"),
        ({"old_paint": True}, "they are taken to be there"),
        ({"old_paint": True}, "it is taken to be large"),
        ({}, "Whether people pass below is not recorded"),
        ({"old_paint": True}, "the rule applies: certified firm"),
        ({"access": "tower", "country": "US"}, "above 3 m (10 ft): needed here"),
    ],
)
def test_what_nobody_has_said_is_named_and_counts_as_the_worse_case(facts, told):
    assert told in said(**facts)


def test_a_place_without_children_leaves_the_renovation_rule_out_and_says_why():
    told = said(country="US", old_paint=True, built_year=1990)
    assert "not a child-occupied facility" in told
    minor = {"inside_m2": Decimal("0.5574"), "outside_m2": Decimal(0)}
    nursery = {"old_paint": True, "built_year": 1925, "children": NURSERY}
    assert "minor work: exempt" in said(country="US", **minor, **nursery)
    assert "the rule applies" in said(country="US", window_replaced=True, **minor, **nursery)


def test_a_quiet_visit_from_the_floor_has_nothing_to_be_warned_of():
    assert codes(people_below=False) == []


def test_the_worst_comes_first_and_every_caution_is_a_usual_one():
    told = [each.code for each in cautions_for_sheet(FULLEST, FIGURES)]
    assert told == [
        "falling-glass-and-plaques",
        "work-at-height",
        "hot-work",
        "lead",
        "lead-paint-small-children",
        "asbestos",
        "nesting-birds-and-bats",
        "flux-and-solvent-fume",
    ]
    assert set(told) <= caution_codes_known()


@pytest.mark.parametrize("country", ["US", "GB", "FR", "NO", ""])
def test_every_figure_names_whose_it_is_and_where_it_stands(country):
    for each in cautions_for_sheet(replace(FULLEST, country=country), FIGURES):
        for line in each.lines:
            assert line.source
            assert line.source != NO_SOURCE
            assert line.working is None or (line.working.inputs and line.working.result)


def test_a_studio_s_own_figure_is_reckoned_with():
    own = replace(FIGURES["safety.fire_watch"], value=Decimal(90))
    figures = type(FIGURES)(own if key == own.key else FIGURES[key] for key in FIGURES)
    sheet = cautions_for_sheet(SheetFacts(hot_work="iron"), figures)
    assert "at least 90 minutes" in " ".join(line.text for each in sheet for line in each.lines)
