"""Margins kind by kind, and the verdict they make. The lines and plates are invented."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from sites.compute.fixings.capacity import capacity_of, why_nothing
from sites.compute.fixings.margins import two_figures
from sites.compute.fixings.verdict import verdict_of
from sites.services.figures import shipped_figures
from tests.sites.fixings.plates import PLATE, TODAY, line

FIGURES = shipped_figures()
kinds = st.sampled_from(["soldered tab", "strap", "silicone bead", "screw", "wire"])
states = st.sampled_from(["sound", "failed", "not seen"])
lines = st.lists(
    st.builds(line, kinds, st.integers(1, 8), states, width_mm=st.floats(1, 30)), max_size=5
)


def judged(*recorded, facts=PLATE, people_below=True, today=TODAY):
    return verdict_of(facts, recorded, FIGURES, today, people_below)


def as_number(margin):
    return 0.0 if margin is None else margin


def test_four_tabs_margin_is_lap_area_times_allowable_over_the_load():
    """Solder lap τ = F/(b·L): 4 × 6 × 10 mm² × 1 MPa over 0.286875 kg. Allowable: no source."""
    tabs = judged(line()).kinds[0]
    weight = 0.286875 * 9.80665
    assert tabs.all_sound == pytest.approx(4 * 60 * 1 / weight)
    assert tabs.one_lost == pytest.approx(3 * 60 * 1 / weight)
    assert tabs.working.caution.startswith("A screening figure, not a design")
    assert all(each.source for each in tabs.working.inputs if each.origin == "default")


def test_the_best_of_unequal_fixings_is_the_one_that_is_lost():
    verdict = judged(line(count=2), line(count=1, length_mm=30.0))
    weight = 0.286875 * 9.80665
    assert verdict.kinds[0].one_lost == pytest.approx(120 / weight)


@pytest.mark.parametrize("count", [1, 2])
def test_a_plate_left_by_one_corner_is_not_calculable(count):
    verdict = judged(line(count=count))
    assert verdict.one_lost is None
    assert (verdict.standing, verdict.danger) == ("not calculable", True)
    assert "peels" in verdict.kinds[0].reason
    assert verdict.kinds[0].peels
    assert "Keep people out from under it until" in verdict.warning


def test_a_second_kind_that_holds_alone_makes_the_loss_of_one_bearable():
    beads = line("silicone bead", 2, length_mm=140.0)
    assert not judged(line(count=2)).holds
    assert not judged(beads).holds
    assert judged(line(count=2), beads).holds


def test_kinds_that_each_fail_alone_do_not_hold_together():
    heavy = replace(PLATE, weighed_kg=6.0)
    verdict = judged(line("strap", 1), line("screw", 1), line("wire", 2), facts=heavy)
    assert verdict.danger
    assert verdict.all_sound == pytest.approx(50 / (6 * 9.80665 + 20))


@pytest.mark.parametrize(
    ("changed", "why"),
    [
        ({"state": "failed"}, "failed"),
        ({"state": "not seen"}, "not seen"),
        ({"state": "new and curing"}, "still curing"),
        ({"cures_on": date(2026, 6, 2)}, "not cured until 2 June 2026"),
        ({"host_state": "weak"}, "what it holds on to is weak"),
        ({"host_state": "failed"}, "what it holds on to has failed"),
        ({"host_state": "not seen"}, "what it holds on to was not seen"),
        ({"host": "unknown"}, "what it holds on to is not known"),
    ],
)
def test_what_cannot_be_counted_on_counts_as_nothing_and_says_why(changed, why):
    wrong = line(**changed)
    assert why_nothing(wrong, TODAY) == why
    kind = judged(wrong).kinds[0]
    assert (kind.counted, kind.all_sound) == (0, None)
    assert why in kind.left_out[0]


def test_a_bead_counts_from_the_day_it_has_cured():
    bead = line("silicone bead", 4, "new and curing", length_mm=140.0, cures_on=TODAY)
    before = judged(bead, today=TODAY - timedelta(days=1))
    assert before.support == "Temporary support until 1 June 2026."
    assert before.danger
    after = judged(bead)
    assert (after.support, after.holds) == ("", True)
    assert "record what it is now" in after.kinds[0].remarks[0]


def test_a_bead_without_a_day_of_curing_never_counts():
    verdict = judged(line("silicone bead", 4, "new and curing"), today=date(2099, 1, 1))
    assert verdict.kinds[0].counted == 0
    assert "record from which day" in verdict.support


def test_a_bead_without_its_product_is_asked_for_it():
    assert "Record the product" in judged(line("silicone bead")).kinds[0].remarks[0]
    named = line("silicone bead", product="a neutral-cure grade")
    assert judged(named).kinds[0].remarks == judged(line()).kinds[0].remarks == ()


def test_missing_sizes_are_named():
    verdict = judged(line(width_mm=None), facts=replace(PLATE, thickness_mm=None))
    assert verdict.missing == ("its thickness", "width of the soldered tab")
    assert "width of the soldered tab" in verdict.kinds[0].reason


def test_a_weight_that_is_not_recorded_is_no_danger_as_long_as_no_fixing_has_failed():
    unweighed = replace(PLATE, thickness_mm=None)
    sound = judged(line(), facts=unweighed)
    assert (sound.standing, sound.danger, sound.warning) == ("not calculable", False, "")
    assert "until it is recorded: its thickness" in sound.words
    failed = judged(line(count=3), line(count=1, state="failed"), facts=unweighed)
    assert failed.danger


def test_two_sound_straps_on_two_sides_are_judged_as_straps():
    straps = judged(line("strap", 2))
    assert (straps.standing, straps.danger) == ("holds", False)
    assert straps.one_lost == pytest.approx(50 / (0.286875 * 9.80665 + 20))
    one = judged(line("screw", 1))
    assert (one.standing, one.danger) == ("fails with one lost", True)
    assert not one.kinds[0].peels


def test_a_sensor_of_a_few_grams_is_no_danger():
    sensor = replace(PLATE, weighed_kg=0.008, is_plate=False)
    verdict = judged(line(count=1), facts=sensor)
    assert (verdict.danger, verdict.warning) == (False, "")
    assert verdict.words.startswith("It weighs 0.008 kg: it may be lost")
    assert judged(line(count=1), facts=replace(sensor, weighed_kg=0.05)).danger


def test_a_kind_without_a_figure_is_not_calculable():
    assert capacity_of(line("other"), FIGURES) is None
    assert "no figure" in judged(line("other")).kinds[0].reason


def test_there_is_no_danger_where_nobody_passes_or_nothing_is_recorded():
    alone = judged(line(count=1), people_below=False)
    assert (alone.danger, bool(alone.warning)) == (False, True)
    empty = judged()
    assert (empty.standing, empty.danger, empty.warning) == ("nothing recorded", False, "")


@pytest.mark.parametrize(
    ("margin", "told"),
    [(0.998, "0.99"), (1.0, "1.0"), (1.09, "1.0"), (12.9, "12"), (128, "120"), (0.0347, "0.034")],
)
def test_a_margin_is_told_in_two_figures_and_never_rounded_up(margin, told):
    assert two_figures(margin) == told


@given(lines, st.data())
def test_a_margin_never_rises_when_a_sound_fixing_fails(recorded, data):
    sound = [n for n, each in enumerate(recorded) if each.state == "sound"]
    assume(sound)
    n = data.draw(st.sampled_from(sound))
    one = recorded[n]
    rest = [replace(one, count=one.count - 1)] if one.count > 1 else []
    worse = [*recorded[:n], *rest, *recorded[n + 1 :], replace(one, count=1, state="failed")]
    was, now = judged(*recorded), judged(*worse)
    assert as_number(now.all_sound) <= as_number(was.all_sound) + 1e-9
    assert as_number(now.one_lost) <= as_number(was.one_lost) + 1e-9
    before = next(kind for kind in was.kinds if kind.kind == one.kind)
    after = next(kind for kind in now.kinds if kind.kind == one.kind)
    if before.one_lost is not None:
        assert as_number(after.all_sound) < before.all_sound


@given(lines, st.floats(0.01, 20), st.floats(1, 5))
def test_a_margin_never_rises_when_the_item_grows(recorded, kg, times):
    light = judged(*recorded, facts=replace(PLATE, weighed_kg=kg))
    heavy = judged(*recorded, facts=replace(PLATE, weighed_kg=kg * times))
    assert as_number(heavy.all_sound) <= as_number(light.all_sound) + 1e-9
    assert as_number(heavy.one_lost) <= as_number(light.one_lost) + 1e-9


@given(lines)
def test_kinds_are_never_summed(recorded):
    verdict = judged(*recorded)
    alone = [
        as_number(judged(*(each for each in recorded if each.kind == kind)).all_sound)
        for kind in {each.kind for each in recorded}
    ]
    assert as_number(verdict.all_sound) == pytest.approx(max(alone, default=0))


@given(lines)
def test_an_item_over_people_that_does_not_hold_is_always_a_danger(recorded):
    verdict = judged(*recorded)
    if recorded and (verdict.one_lost is None or verdict.one_lost < 1):
        assert verdict.danger
        assert "Keep people out" in verdict.warning
