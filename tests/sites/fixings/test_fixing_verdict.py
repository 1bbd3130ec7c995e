"""The verdict on a registered item, with the studio's own figures."""

import datetime as dt
from decimal import Decimal

import pytest

from sites.services.figures import set_figure
from sites.services.fixings import fixing_verdict, fixings_told, lead_state
from tests.factories import AttachedItemFactory, FixingFactory, OpeningFactory

TODAY = dt.date(2026, 6, 1)


@pytest.fixture
def item(building):
    made = AttachedItemFactory(
        opening=OpeningFactory(building=building, under_inside="people"),
        material="brass",
        weighed_kg=Decimal("0.3"),
    )
    FixingFactory(item=made, kind="strap", count=4, holds_on_to="saddle bar", host_state="sound")
    return made


def test_the_verdict_reads_what_is_recorded(item):
    verdict = fixing_verdict(item, TODAY)
    assert verdict.holds
    assert verdict.one_lost == pytest.approx(150 / (0.3 * 9.80665 + 20))


def test_the_verdict_follows_the_studios_own_figure(item):
    studio = item.opening.building.studio
    set_figure(studio, "fixing.strap", Decimal("5"), "load test of 3 May")
    verdict = fixing_verdict(item, TODAY)
    assert (verdict.standing, verdict.danger) == ("fails", True)
    assert "load test of 3 May" in verdict.kinds[0].working.inputs[-1].source


def test_a_fixing_that_cures_counts_from_its_day_on(item):
    item.fixings.update(state="new and curing", cures_on=TODAY)
    assert not fixing_verdict(item, TODAY - dt.timedelta(days=1)).holds
    assert fixing_verdict(item, TODAY).holds


def test_without_a_day_the_verdict_is_of_the_buildings_own_date(item):
    item.fixings.update(state="new and curing", cures_on=dt.date(2000, 1, 1))
    assert fixing_verdict(item).holds


def test_a_bead_is_told_for_a_plate_whose_sides_are_known(item):
    assert fixings_told(item, TODAY).bead is None
    item.width_mm, item.height_mm = Decimal(150), Decimal(75)
    assert fixings_told(item, TODAY).bead.length_mm > 0


def test_the_worst_lead_decides_what_the_lead_is(item):
    assert lead_state(list(item.fixings.all())) == "not known"
    FixingFactory(item=item, host_state="sound")
    assert lead_state(list(item.fixings.all())) == "sound"
    FixingFactory(item=item, host_state="not seen")
    assert lead_state(list(item.fixings.all())) == "not known"
    FixingFactory(item=item, host_state="weak")
    assert lead_state(list(item.fixings.all())) == "tired"
