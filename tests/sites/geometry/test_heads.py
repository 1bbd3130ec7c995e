"""Heads by their closed forms, and their outlines against them."""

import math

import pytest

from sites.compute.geometry import heads
from sites.compute.geometry.outlines import OutlineSpec, outline_of
from sites.compute.geometry.rings import Ring

# Plane geometry, as handbooks of geometry and masonry print it; the figures were worked out apart.
CIRCLE = "Plane geometry of the circle: area of a half circle πd²/8, its length πd/2"
SEGMENT = "Plane geometry of the circle: R = s²/8h + h/2, segment ½R²(θ − sin θ)"
TWO_CENTRES = (
    "Plane geometry: two arcs of radius R struck from the springing line, R²α − (R − s/2)h"
)
FOUR_CENTRES = "Plane geometry: four-centred arch as a polygon and the segments outside it"
FOILS = "Plane geometry: regular polygon na²/(4 tan(π/n)) with half circles on its sides"
IN_CIRCLE = "Handbook ratio of foils in a circle: R sin(π/n)/(1 + sin(π/n)), 0.4142 R for four"


def head_ring(shape: str, span: float, rise: float, jambs: float = 0.0, **more: float) -> Ring:
    """A head of metres as an outline of millimetres."""
    spec = OutlineSpec(shape, span * 1000, (jambs + rise) * 1000, springing=jambs * 1000, **more)
    return outline_of(spec).ring


def square_metres(ring: Ring) -> float:
    return ring.area / 1e6


@pytest.mark.published(f"Check cases G01 and G02. {CIRCLE}")
def test_a_round_head_of_1200_mm_has_the_area_and_the_arc_of_a_half_circle():
    ring = head_ring("semicircular", 1.2, 0.6)
    assert heads.segmental_area(1.2, 0.6) == pytest.approx(0.565487, abs=1e-6)
    assert heads.segmental_arc(1.2, 0.6) == pytest.approx(1.884956, abs=1e-6)
    assert square_metres(ring) == pytest.approx(0.565487, abs=1e-6)
    assert ring.perimeter / 1000 - 1.2 == pytest.approx(1.884956, abs=1e-6)


@pytest.mark.published(f"Check cases G03 and G04. {SEGMENT}")
def test_a_segmental_head_has_the_radius_and_area_of_its_segment():
    ring = head_ring("segmental", 2.0, 0.5)
    assert heads.segment_radius(2.0, 0.5) == pytest.approx(1.25, abs=1e-9)
    assert heads.segmental_area(2.0, 0.5) == pytest.approx(0.698899, abs=1e-6)
    assert ring.edges[1].radius == pytest.approx(1250, abs=1e-6)
    assert square_metres(ring) == pytest.approx(0.698899, abs=1e-6)


@pytest.mark.published(f"Check cases G06 to G08: equilateral, π/3 − √3/4. {TWO_CENTRES}")
def test_an_equilateral_arch_has_its_area_arc_and_rise():
    ring = head_ring("two-centred", 1.0, math.sqrt(3) / 2)
    assert heads.two_centred_area(1.0, 1.0) == pytest.approx(0.614185, abs=1e-6)
    assert heads.two_centred_arc(1.0, 1.0) == pytest.approx(2.094395, abs=1e-6)
    assert heads.two_centred_rise(1.0, 1.0) == pytest.approx(0.866025, abs=1e-6)
    assert square_metres(ring) == pytest.approx(0.614185, abs=1e-6)
    assert ring.perimeter / 1000 - 1.0 == pytest.approx(2.094395, abs=1e-6)


@pytest.mark.published(f"Check cases G09, G11 and G12. {TWO_CENTRES}")
def test_drop_and_lancet_arches_rise_by_their_radius():
    assert heads.two_centred_rise(1.2, 0.9) == pytest.approx(0.848528, abs=1e-6)
    assert heads.two_centred_rise(0.6, 0.9) == pytest.approx(0.67082, abs=1e-6)
    assert heads.two_centred_area(0.6, 0.9) == pytest.approx(0.278773, abs=1e-6)
    assert square_metres(
        head_ring("two-centred", 0.6, heads.two_centred_rise(0.6, 0.9))
    ) == pytest.approx(0.278773, abs=1e-6)


@pytest.mark.published(f"Check cases G14 and G15. {TWO_CENTRES}")
def test_a_lancet_light_on_jambs_has_its_area_and_perimeter():
    ring = head_ring("two-centred", 0.6, heads.two_centred_rise(0.6, 0.9), jambs=2.0)
    assert square_metres(ring) == pytest.approx(1.478773, abs=1e-6)
    assert ring.perimeter / 1000 == pytest.approx(6.113924, abs=1e-6)


@pytest.mark.published(f"Check case G16: the area of the segment of case G04. {TWO_CENTRES}")
def test_a_two_centred_arch_has_the_area_of_a_segment_lying_on_its_side():
    assert heads.two_centred_rise(1.0, 1.25) == pytest.approx(1.0, abs=1e-9)
    assert heads.two_centred_radius(1.0, 1.0) == pytest.approx(1.25, abs=1e-9)
    lying = heads.segmental_area(2.0, 0.5)
    assert heads.two_centred_area(1.0, 1.25) == pytest.approx(lying, abs=1e-12)


@pytest.mark.published(f"Check cases G18 and G19. {FOUR_CENTRES}")
def test_a_four_centred_head_has_its_rise_and_area():
    head = heads.FourCentred(2.0, 0.4, math.pi / 3, 1.8)
    assert head.rise == pytest.approx(0.584785, abs=1e-6)
    assert head.area == pytest.approx(0.897979, abs=1e-6)
    ring = head_ring("four-centred", 2.0, head.rise, small_radius=400.0)
    assert square_metres(ring) == pytest.approx(0.897979, abs=1e-6)
    assert ring.perimeter / 1000 - 2.0 == pytest.approx(head.arc_length, abs=1e-6)


@pytest.mark.published(f"Check cases G18 and G19, the other way round. {FOUR_CENTRES}")
def test_the_large_radius_is_found_from_the_rise():
    rise = heads.FourCentred(2.0, 0.4, math.pi / 3, 1.8).rise
    found = heads.four_centred(2.0, rise, 0.4, math.pi / 3)
    assert found.large_radius == pytest.approx(1.8, abs=1e-9)


@pytest.mark.published("Area of a four-centred head against numerical integration of its height")
def test_a_four_centred_head_agrees_with_strips_of_its_height():
    ring = head_ring("four-centred", 2.0, 0.6, small_radius=400.0)
    count = 4000
    strips = [
        sum(right - left for left, right in ring.widths_at((n + 0.5) * 600 / count))
        for n in range(count)
    ]
    assert sum(strips) * 600 / count == pytest.approx(ring.area, rel=1e-5)


def test_the_rises_told_for_a_small_radius_are_those_that_can_be_drawn():
    least, most = heads.four_centred_rises(2000, 400, math.pi / 3)
    for rise in (least + 0.01, (least + most) / 2, most - 0.01):
        assert heads.four_centred(2000, rise, 400, math.pi / 3).rise == pytest.approx(rise)
    for rise in (least - 1, most + 1):
        with pytest.raises(ValueError, match=r"steep|meet"):
            heads.four_centred(2000, rise, 400, math.pi / 3)


@pytest.mark.published(f"Check cases G21 and G22. {FOILS}")
def test_a_quatrefoil_of_half_circles_has_its_area_and_length():
    assert heads.half_circle_foils_area(4, 0.4) == pytest.approx(0.411327, abs=1e-6)
    assert heads.half_circle_foils_length(4, 0.4) == pytest.approx(2.513274, abs=1e-6)
    ring = outline_of(OutlineSpec("foiled", 800.0, None, foils=4)).ring
    assert square_metres(ring) == pytest.approx(0.411327, abs=1e-6)
    assert ring.perimeter / 1000 == pytest.approx(2.513274, abs=1e-6)


@pytest.mark.published(f"Check case G24. {IN_CIRCLE}")
@pytest.mark.parametrize(("foils", "ratio"), [(3, 0.4641), (4, 0.414214), (5, 0.3702), (6, 0.3333)])
def test_foils_in_a_circle_have_the_radius_of_the_handbook(foils: int, ratio: float):
    within = 1e-6 if foils == 4 else 5e-5
    assert heads.foil_in_circle_radius(foils, 1.0) == pytest.approx(ratio, abs=within)
    ring = outline_of(OutlineSpec("foiled in circle", 2000.0, None, foils=foils)).ring
    assert ring.edges[0].radius / 1000 == pytest.approx(ratio, abs=within)


@pytest.mark.published("Definition of radii, and of a circle: every foil touches the circle inside")
@pytest.mark.parametrize("foils", range(3, 9))
def test_foils_in_a_circle_touch_it_and_each_other(foils: int):
    ring = outline_of(OutlineSpec("foiled in circle", 2000.0, None, foils=foils)).ring
    middle = ring.centroid
    centres = [edge.centre for edge in ring.edges]
    radius = heads.foil_in_circle_radius(foils, 1000.0)
    for one, following in zip(centres, [*centres[1:], centres[0]], strict=True):
        assert math.dist(one, middle) + radius == pytest.approx(1000.0, abs=1e-6)
        assert math.dist(one, following) == pytest.approx(2 * radius, abs=1e-6)


@pytest.mark.published(f"{FOILS}, for every number of foils")
@pytest.mark.parametrize("foils", range(3, 9))
def test_half_circle_foils_agree_with_their_closed_form(foils: int):
    ring = outline_of(OutlineSpec("foiled", 1000.0, None, foils=foils)).ring
    side = ring.edges[0].chord
    assert ring.area == pytest.approx(heads.half_circle_foils_area(foils, side), rel=1e-9)
    assert ring.perimeter == pytest.approx(heads.half_circle_foils_length(foils, side), rel=1e-9)
    assert ring.box.width == pytest.approx(1000.0)
