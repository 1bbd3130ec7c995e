"""The map from a photograph to the glass: against synthetic cameras and two other ways to it."""

from math import cos, dist, pi, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageDraw

from condition.compute.rectify.homography import (
    Homography,
    Known,
    Place,
    RectifyError,
    fit_of,
    solve,
)
from condition.compute.rectify.judge import Limits, judge
from condition.compute.rectify.picture import Frame, frame_of, straightened

WIDTH, HEIGHT = 620.0, 840.0
CORNERS = [Place(0, 0), Place(WIDTH, 0), Place(WIDTH, HEIGHT), Place(0, HEIGHT)]
LIMITS = Limits(angle_degrees=30, scale_ratio=1.5, residual_mm=3)


def camera(turn=0.0, tip=0.0, roll=0.0, away=1500.0, focal=3000.0, middle=(2000.0, 1500.0)):
    """A pinhole camera looking at the middle of the panel: millimetres in, pixels out."""
    t, p, r = (radians(angle) for angle in (turn, tip, roll))
    about_y = np.array([[cos(t), 0, sin(t)], [0, 1, 0], [-sin(t), 0, cos(t)]])
    about_x = np.array([[1, 0, 0], [0, cos(p), -sin(p)], [0, sin(p), cos(p)]])
    about_z = np.array([[cos(r), -sin(r), 0], [sin(r), cos(r), 0], [0, 0, 1]])
    turned = about_z @ about_x @ about_y

    def seen(place):
        x, y, z = turned @ np.array([place[0] - WIDTH / 2, place[1] - HEIGHT / 2, 0.0])
        depth = away + z
        return Place(middle[0] + focal * x / depth, middle[1] - focal * y / depth)

    return seen


def known_by(seen, places=CORNERS):
    return [Known(seen(place), place) for place in places]


def inhomogeneous(known):
    """The same map by another way: the last number fixed at one, ordinary least squares."""
    rows, right = [], []
    for (u, v), (x, y) in ((each.at, each.place) for each in known):
        rows += [[u, v, 1, 0, 0, 0, -x * u, -x * v], [0, 0, 0, u, v, 1, -y * u, -y * v]]
        right += [x, y]
    found = np.linalg.lstsq(np.array(rows), np.array(right), rcond=None)[0]
    return np.append(found, 1.0).reshape(3, 3)


angles = st.floats(-50, 50)


@given(turn=angles, tip=angles, roll=st.floats(-40, 40), away=st.floats(1200, 8000))
def test_a_synthetic_camera_is_found_again_to_under_half_a_pixel(turn, tip, roll, away):
    seen = camera(turn, tip, roll, away)
    found = solve(known_by(seen))
    back = found.inverse()
    for place in ((310, 420), (100, 700), (600, 30), (5, 5), (200, 333)):
        assert dist(back.to(Place(*place)), seen(place)) < 0.5
        assert dist(found.to(seen(place)), place) < 0.01


@given(turn=angles, tip=angles, extra=st.integers(0, 4))
def test_it_agrees_with_plain_least_squares_of_the_other_form(turn, tip, extra):
    more = [Place(310, 420), Place(100, 700), Place(500, 100), Place(50, 300)][:extra]
    known = known_by(camera(turn, tip), CORNERS + more)
    found, other = solve(known), inhomogeneous(known)
    for u, v in ((1700, 1200), (2300, 1900), (2000, 1500)):
        a, b, c = other @ np.array([u, v, 1.0])
        assert found.to(Place(u, v)) == pytest.approx((a / c, b / c), abs=1e-3)


def test_taps_half_a_pixel_off_on_eight_points_leave_the_middle_within_half_a_pixel():
    seen = camera(turn=25, tip=10)
    places = [*CORNERS, Place(310, 0), Place(310, 840), Place(0, 420), Place(620, 420)]
    generator = np.random.default_rng(4)
    known = [
        Known(Place(*(np.array(seen(place)) + generator.uniform(-0.5, 0.5, 2))), place)
        for place in places
    ]
    found = solve(known)
    assert dist(found.inverse().to(Place(310, 420)), seen((310, 420))) < 0.5
    fit = fit_of(found, known)
    assert 0 < fit.px < 0.5
    assert fit.spare == 4


def test_one_point_placed_wrongly_is_named_as_the_worst():
    seen = camera(turn=20)
    places = [*CORNERS, Place(310, 420), Place(310, 0), Place(310, 840)]
    known = known_by(seen, places)
    known[4] = Known(Place(known[4].at.x + 40, known[4].at.y), known[4].place)
    judged = judge(solve(known), known, LIMITS)
    assert judged.fit.worst_point == 5
    assert any("point 5" in warning for warning in judged.warnings)


@pytest.mark.parametrize("turn", [0, 15, 35, 55])
def test_the_angle_of_view_is_told_as_the_camera_stood(turn):
    known = known_by(camera(turn=turn, away=20_000, focal=30_000))
    judged = judge(solve(known), known, LIMITS)
    assert judged.angle_degrees == pytest.approx(turn, abs=1.0)
    assert any("slant" in warning for warning in judged.warnings) == (turn > 30)


def test_a_square_view_from_afar_has_no_warning_and_says_what_a_pixel_covers():
    known = known_by(camera(away=3000, focal=6000))
    judged = judge(solve(known), known, LIMITS)
    assert judged.warnings == ()
    assert judged.mm_per_px == pytest.approx(0.5)
    assert judged.scale_ratio == pytest.approx(1.0)


def test_a_near_slanted_view_is_warned_of_by_the_scale_across_it():
    known = known_by(camera(turn=28, away=700))
    judged = judge(solve(known), known, LIMITS)
    assert any("near side" in warning for warning in judged.warnings)


def test_three_points_in_a_line_are_refused_by_name():
    at = [Place(0, 0), Place(100, 3), Place(200, 6), Place(50, 200)]
    with pytest.raises(RectifyError, match="Points 1, 2 and 3 lie in a line on the photograph"):
        solve([Known(a, p) for a, p in zip(at, CORNERS, strict=True)])
    flat = [Place(0, 0), Place(300, 0), Place(600, 0), Place(0, 800)]
    with pytest.raises(RectifyError, match="in a line on the window"):
        solve([Known(camera()(c), p) for c, p in zip(CORNERS, flat, strict=True)])


def test_three_in_a_line_among_five_do_no_harm():
    known = known_by(camera(turn=10), [*CORNERS, Place(310, 0)])
    assert solve(known).to(known[4].at) == pytest.approx((310, 0), abs=1e-6)


def test_corners_changed_about_are_refused_and_so_is_a_mirrored_round():
    seen = camera(turn=10)
    crossed = [CORNERS[0], CORNERS[2], CORNERS[1], CORNERS[3]]
    with pytest.raises(RectifyError, match="changed about"):
        solve([Known(seen(c), p) for c, p in zip(CORNERS, crossed, strict=True)])
    mirrored = [CORNERS[1], CORNERS[0], CORNERS[3], CORNERS[2]]
    with pytest.raises(RectifyError, match="changed about"):
        solve([Known(seen(c), p) for c, p in zip(CORNERS, mirrored, strict=True)])


@pytest.mark.parametrize("count", [0, 3, 13])
def test_too_few_and_too_many_points_are_refused(count):
    places = [Place(600 * cos(n), 800 * sin(n)) for n in range(count)]
    with pytest.raises(RectifyError, match="points"):
        solve(known_by(camera(), places))


def test_points_that_are_no_numbers_and_points_all_the_same_are_refused():
    nan = [Known(Place(float("nan"), 0), CORNERS[0]), *known_by(camera())[1:]]
    with pytest.raises(RectifyError, match="Point 1 is not a number"):
        solve(nan)
    with pytest.raises(RectifyError, match="in a line"):
        solve([Known(Place(5, 5), place) for place in CORNERS])


def test_nothing_is_measured_beyond_the_horizon():
    known = known_by(camera(tip=50, away=900))
    found = solve(known)
    g, h, i = found.rows[2]
    # As far against the slope of depth as brings it below nothing.
    away = 1.5 * i / (g * g + h * h)
    with pytest.raises(RectifyError, match="horizon"):
        found.to(Place(-g * away, -h * away))


def test_the_stretches_are_those_of_finite_differences():
    found = solve(known_by(camera(turn=30, tip=12)))
    at = Place(2100, 1400)
    here, scales = found.to(at), []
    for n in range(720):
        angle, step = n * pi / 720, 1e-3
        there = found.to(Place(at.x + step * cos(angle), at.y + step * sin(angle)))
        scales.append(dist(here, there) / step)
    assert found.stretches(at) == pytest.approx((min(scales), max(scales)), rel=1e-4)


# The straightened picture, by Pillow's own transform of a drawn grid.
def grid(width=620, height=840, step=20):
    picture = Image.new("RGB", (width, height), "white")
    draw = ImageDraw.Draw(picture)
    for row in range(height // step):
        for column in range(width // step):
            if (row + column) % 2:
                x, y = column * step, row * step
                draw.rectangle((x, y, x + step - 1, y + step - 1), fill=(20, 60, 120))
    return picture


def test_a_grid_made_slanted_by_pillow_comes_out_straight_again():
    flat = grid()
    at = [Place(90, 700), Place(640, 560), Place(600, 130), Place(150, 60)]
    # Pillow wants the map from the slanted picture to the flat one, whose heights run down.
    down = [Place(place.x, HEIGHT - place.y) for place in CORNERS]
    data = inhomogeneous([Known(a, p) for a, p in zip(at, down, strict=True)]).reshape(9)[:8]
    size, kind = (760, 760), Image.Transform.PERSPECTIVE
    slanted = flat.transform(size, kind, tuple(data), Image.Resampling.BICUBIC)
    known = [Known(a, p) for a, p in zip(at, CORNERS, strict=True)]
    frame = Frame(0.0, HEIGHT, int(WIDTH), int(HEIGHT), 1.0)
    again = np.asarray(straightened(slanted, solve(known), frame, 1.0), dtype=float)
    wanted = np.asarray(flat, dtype=float)
    inner = (slice(30, -30), slice(30, -30))
    # The middles of the squares, away from their blurred edges, are of the colour they were.
    middles = [
        abs(again[y, x] - wanted[y, x]).max()
        for y in range(50, 800, 20)
        for x in range(50, 580, 20)
    ]
    assert max(middles) < 60
    assert abs(again[inner] - wanted[inner]).mean() < 25


def test_the_frame_says_how_fine_it_is_and_holds_every_known_point():
    known = known_by(camera(turn=20))
    found = solve(known)
    frame = frame_of(found, known, 0.43)
    assert frame.mm_per_px == 0.6
    for each in known:
        at = frame.at(each.place)
        assert 0 <= at.x <= frame.width_px
        assert 0 <= at.y <= frame.height_px
        assert frame.place(at) == pytest.approx(each.place)


def test_a_large_window_gets_a_coarser_step_and_no_larger_picture():
    known = known_by(camera(away=20_000), [Place(x * 12, y * 12) for x, y in CORNERS])
    frame = frame_of(solve(known), known, 0.5)
    assert max(frame.width_px, frame.height_px) <= 1600
    assert frame.mm_per_px == 8


def test_a_map_there_and_back_is_none():
    found = solve(known_by(camera(turn=33, tip=-12)))
    at = Place(1800, 1300)
    assert found.inverse().to(found.to(at)) == pytest.approx(at)
    assert isinstance(found, Homography)
