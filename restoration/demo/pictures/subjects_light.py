"""Windows of lamp and sun: rays about a point."""

from restoration.demo.pictures.borders import border
from restoration.demo.pictures.figures import Robes, flame, flying_bird, robed_figure
from restoration.demo.pictures.geometry import Point, bezier, ellipse, moved, points, smooth
from restoration.demo.pictures.grounds import rays, waves
from restoration.demo.pictures.leadwork import Leadwork
from restoration.demo.pictures.window import WindowShape


def lamp_upon_the_stand(work: Leadwork, shape: WindowShape) -> None:
    """The lamp in the middle light, its rays over all three, people at the foot."""
    centre = (shape.width / 2, shape.height * 0.43)
    radii = [120, 330, 620, 960, 1330, 1760, 2300, 3000]
    tints = [
        ("cream", "straw"),
        ("straw", "gold"),
        ("gold", "amber", "gold"),
        ("ruby", "amber", "ruby"),
        ("violet", "ruby", "plum"),
        ("cobalt", "violet", "cobalt"),
        ("midnight", "cobalt"),
    ]
    rays(work, centre, radii, [12, 16, 20, 26, 32, 38, 44], tints)
    _hills(work, shape)
    _stand(work, centre, shape)
    _people(work, shape)
    flying_bird(work, (centre[0], centre[1] - 880), 560, "white", tip="pale", turn=-8)
    for outline in shape.outlines():
        border(work, outline, ("cobalt", "gold", "white"), 60)


def _hills(work: Leadwork, shape: WindowShape) -> None:
    foot = shape.height
    waves(
        work,
        (0, 0, shape.width, foot),
        [foot * 0.73, foot * 0.8, foot * 0.88],
        [("teal", "sea"), ("green", "olive"), ("green", "leaf", "green")],
        46,
        900,
        300,
    )


def _stand(work: Leadwork, centre: Point, shape: WindowShape) -> None:
    x, y = centre
    for tint, wide, top, foot in (
        ("amber", 62, 130, 640),
        ("brown", 96, 640, 980),
        ("amber", 74, 980, shape.height * 0.52),
    ):
        column = [
            (x - wide, y + foot),
            (x - wide * 0.62, y + top),
            (x + wide * 0.62, y + top),
            (x + wide, y + foot),
        ]
        work.piece(column, tint)
        for k in (-1, 0, 1):
            work.stroke(
                [(x + k * wide * 0.4, y + top + 20), (x + k * wide * 0.6, y + foot - 20)], 7, 80
            )
    for at, wide in ((640, 150), (980, 170)):
        work.piece(ellipse((x, y + at), wide, 34), "gold", 5)
    bowl = smooth(
        points("-210,20 -150,110 0,150 150,110 210,20 280,-30 200,-14 0,8 -200,-14"),
        True,
    )
    work.piece(moved(bowl, (x, y + 20)), "gold")
    work.stroke(moved(bezier([(-170, 60), (0, 120), (170, 60)]), (x, y + 20)), 9, 70)
    for k in range(-3, 4):
        work.wash(moved(ellipse((k * 46, 62 - abs(k) * 8), 9, 9, steps=10), (x, y + 20)), 60)
    flame(work, (x, y + 12), 330)


def _people(work: Leadwork, shape: WindowShape) -> None:
    third = shape.width / 3
    crowd = [
        (0.34, 0, Robes("ruby", "green"), 1),
        (0.72, 120, Robes("sky", "violet", "rose"), 1),
        (2.24, 120, Robes("olive", "ruby", "gold"), -1),
        (2.64, 0, Robes("cobalt", "amber"), -1),
    ]
    for at, lift, robes, facing in crowd:
        robed_figure(
            work,
            (third * at, shape.height - 60 - lift),
            shape.height * 0.36,
            robes,
            facing,
            halo=False,
            reach=(0.22, 0.16),
        )


def rising_sun(work: Leadwork, shape: WindowShape) -> None:
    _sun(work, shape, 0.92, ["cream", "straw", "gold", "rose", "sky", "pale"])


def high_sun(work: Leadwork, shape: WindowShape) -> None:
    _sun(work, shape, 0.42, ["cream", "straw", "pale", "sky", "cobalt", "cobalt"])


def setting_sun(work: Leadwork, shape: WindowShape) -> None:
    _sun(work, shape, 0.7, ["gold", "amber", "ruby", "plum", "violet", "midnight"])


def _sun(work: Leadwork, shape: WindowShape, level: float, tints: list[str]) -> None:
    centre = (shape.width * 0.5, shape.height * level)
    pairs = [(a, b) for a, b in zip(tints, [*tints[1:], tints[-1]], strict=True)]
    rays(work, centre, [150, 300, 470, 660, 880, 1150, 1600], [9, 14, 18, 22, 26, 30], pairs)
    work.piece(ellipse(centre, 160, 160), tints[0])
    foot = shape.height
    waves(
        work,
        (0, 0, shape.width, foot),
        [foot * 0.8, foot * 0.9],
        [("green", "olive"), ("teal", "green")],
        26,
        700,
        210,
    )
    for outline in shape.outlines():
        border(work, outline, ("white", "leaf", "straw"), 44)
