"""What a finding and the register together tell of the size of the work."""

import math
from decimal import Decimal

import pytest

from restoration.services.estimates import findings_to_price, suggestions_for
from restoration.services.quantities import (
    SeenFindings,
    reaches_both_faces,
    takes_the_whole_panel,
)
from tests.factories import (
    ActionKindFactory,
    EstimateFactory,
    FindingFactory,
    FindingKindFactory,
    OpeningFactory,
    PanelFactory,
    SurveyFactory,
)


@pytest.fixture
def survey(building):
    return SurveyFactory(building=building)


@pytest.fixture
def opening(building):
    """A round-headed light 1000 mm wide, 2000 mm to the springing."""
    return OpeningFactory(
        building=building,
        head="semicircular",
        width_mm=1000,
        width_typed="1000",
        height_mm=2500,
        height_typed="2500",
        springing_mm=2000,
        springing_typed="2000",
    )


@pytest.fixture
def head(opening):
    """The panel that fills the head: a half circle, whatever its width × height."""
    opening.bars.create(kind="division bar", height_mm=2000, height_typed="2000")
    return PanelFactory(
        opening=opening,
        number="2a",
        width_mm=1000,
        width_typed="1000",
        height_mm=500,
        height_typed="500",
        pieces=30,
    )


def found(survey, opening, panel=None, **fields):
    return FindingFactory(survey=survey, opening=opening, panel=panel, **fields)


@pytest.mark.published("area of a half circle, πs²/8: plane geometry")
def test_a_panel_in_the_head_has_the_area_of_its_outline(survey, opening, head):
    seen = SeenFindings().seen_of(found(survey, opening, head))
    assert float(seen.area_mm2) == pytest.approx(math.pi * 1000**2 / 8, rel=1e-6)
    assert (seen.area_origin, seen.area_source) == (
        "computed",
        "cut from the outline of its opening",
    )
    assert (seen.joints, seen.pieces) == (58, 30)


def test_a_square_panel_has_the_area_that_was_taped(survey, building):
    taped = PanelFactory(
        opening=OpeningFactory(building=building),
        width_mm=600,
        width_typed="600",
        height_mm=500,
        height_typed="500",
    )
    seen = SeenFindings().seen_of(found(survey, taped.opening, taped))
    assert (seen.area_mm2, seen.area_origin) == (300_000, "measured")
    assert "taken as a rectangle" in seen.area_source


def test_joints_that_are_estimated_are_not_offered(survey, opening, head):
    head.pattern = "squares"
    head.save()
    assert SeenFindings().seen_of(found(survey, opening, head)).joints is None
    head.crossings = 20
    head.save()
    assert SeenFindings().seen_of(found(survey, opening, head)).joints == 38


def test_an_opening_is_its_glazed_area_where_it_is_measured(survey, opening, building):
    seen = SeenFindings().seen_of(found(survey, opening))
    assert float(seen.area_mm2) == pytest.approx(2e6 + math.pi * 1e6 / 8, rel=1e-6)
    bare = OpeningFactory(building=building)
    assert SeenFindings().seen_of(found(survey, bare)).area_mm2 is None


@pytest.mark.parametrize(
    ("step", "both"),
    [
        ("monitor", False),
        ("make safe", False),
        ("in place", False),
        ("on the bench", True),
        ("partial releading", True),
        ("full releading", True),
    ],
)
def test_from_the_bench_up_both_faces_are_reached(step, both):
    kind = ActionKindFactory.build(step=step, studio=None)
    assert reaches_both_faces(kind) is both
    assert takes_the_whole_panel(kind) is (step == "full releading")


def test_suggestions_carry_the_quantity_and_its_working(survey, opening, head, building):
    studio = building.studio
    clean = ActionKindFactory(studio=studio, code="clean", unit="m2")
    place = ActionKindFactory(studio=studio, code="place", unit="joint", step="in place")
    bench = ActionKindFactory(studio=studio, code="bench", unit="joint", step="on the bench")
    kind = FindingKindFactory(studio=studio, actions=[clean, place, bench])
    finding = found(survey, opening, head, kind=kind, extent="throughout")
    [read] = findings_to_price(EstimateFactory(building=building, survey=survey))
    told = suggestions_for([read], set())[finding.pk]
    assert [each.quantity for each in told] == [Decimal("0.393"), 58, 116]
    assert told[0].working.inputs[0].value == "0.393 m²"
    assert "Count the joints" in told[1].working.caution


def test_an_opening_is_divided_once_however_many_findings_it_has(
    survey, opening, head, building, count_queries
):
    clean = ActionKindFactory(studio=building.studio, code="clean", unit="m2")
    kind = FindingKindFactory(studio=building.studio, actions=[clean])
    estimate = EstimateFactory(building=building, survey=survey)

    def ask():
        return suggestions_for(list(findings_to_price(estimate)), set())

    found(survey, opening, head, kind=kind)
    few = count_queries(ask)
    for _ in range(5):
        found(survey, opening, head, kind=kind)
    assert count_queries(ask) == few
