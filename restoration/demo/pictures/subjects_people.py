"""Windows with figures."""

from restoration.demo.pictures.borders import border
from restoration.demo.pictures.figures import Robes, flying_bird, robed_figure
from restoration.demo.pictures.geometry import (
    Point,
    bezier,
    ellipse,
    moved,
    points,
    sector,
    smooth,
)
from restoration.demo.pictures.grounds import any_of, broken_sky, by_height, rays, tints, waves
from restoration.demo.pictures.leadwork import Leadwork
from restoration.demo.pictures.window import WindowShape


def _canopy(work: Leadwork, shape: WindowShape) -> None:
    """A pointed canopy of pale glass over the head of a single figure."""
    w, h, top = shape.width, shape.height, shape.height * 0.2
    for x in (w * 0.06, w * 0.8):
        shaft = [(x, top + 80), (x, h * 0.86), (x + w * 0.14, h * 0.86), (x + w * 0.14, top + 80)]
        work.piece(shaft, "cream")
        for y in range(round(top) + 140, round(h * 0.84), 120):
            work.came([(x, y), (x + w * 0.14, y + 10)], 4)
            for share in (0.045, 0.095):
                work.stroke([(x + w * share, y + 14), (x + w * share, y + 104)], 5, 90)
    for side in (-1, 1):
        slope = [(0.46, 90), (0.0, -190), (0.0, -60), (0.32, 90)]
        work.piece([(w * (0.5 + side * x), top + y) for x, y in slope], "gold")
        for k in range(5):
            at = (w * 0.5 + side * w * (0.08 + 0.085 * k), top - 160 + 52 * k)
            work.piece(ellipse(at, 20, 16), "leaf", 4)
    work.piece(sector((w * 0.5, top - 215), 0, 34, 0, 359), "ruby", 4)


def _base(work: Leadwork, shape: WindowShape, names: tuple[str, str]) -> None:
    w, h = shape.width, shape.height
    for k in range(5):
        x, end = w * (0.06 + 0.176 * k), w * (0.236 + 0.176 * k)
        work.piece([(x, h * 0.87), (end, h * 0.87), (end, h * 0.97), (x, h * 0.97)], names[k % 2])
        work.piece(ellipse((x + w * 0.088, h * 0.92), 30, 42), "straw", 4)


def tabitha_sewing(work: Leadwork, shape: WindowShape) -> None:
    w, h = shape.width, shape.height
    broken_sky(work, (0, 0, w, h), 96, any_of("cobalt cobalt midnight"))
    _canopy(work, shape)
    _base(work, shape, ("ruby", "green"))
    robes = Robes("rose", "green", "cream")
    robed_figure(work, (w * 0.46, h * 0.865), h * 0.6, robes, reach=(0.2, 0.4))
    cloth = points("330,1180 470,1150 520,1420 480,1800 380,1860 360,1500")
    work.piece(smooth(cloth, True), "white")
    for k in range(4):
        x = 370 + 26 * k
        work.arc((x, 1190), (x + 30 - 6 * k, 1500), (x + 20, 1810), 6, 100)
    border(work, shape.outlines()[0], ("ruby", "gold", "white"), 46)


def wise_builder(work: Leadwork, shape: WindowShape) -> None:
    w, h = shape.width, shape.height
    broken_sky(work, (0, 0, w, h), 96, any_of("ruby plum ruby"))
    _canopy(work, shape)
    _base(work, shape, ("cobalt", "olive"))
    robes = Robes("olive", "cobalt", "gold")
    robed_figure(work, (w * 0.48, h * 0.865), h * 0.6, robes, facing=-1, reach=(0.26, 0.3))
    work.stroke([(w * 0.2, 1000), (w * 0.2, 1700)], 6, 20, taper=False)
    work.piece(moved([(-26, 0), (26, 0), (0, 84)], (w * 0.2, 1700)), "amber", 4)
    border(work, shape.outlines()[0], ("cobalt", "gold", "white"), 46)


def sower_at_first_light(work: Leadwork, shape: WindowShape) -> None:
    w, h = shape.width, shape.height
    sun = (w * 0.78, h * 0.56)
    dawn = "straw gold | gold amber | rose amber | rose violet | sky cobalt | cobalt midnight"
    radii = [200, 420, 700, 1020, 1400, 1900, 2600]
    rays(work, sun, radii, [14, 18, 22, 26, 30, 34], tints(dawn))
    work.piece(ellipse(sun, 190, 190), "cream")
    soil = "violet plum | olive green | brown amber | brown umber | amber brown | umber brown"
    furrows = [h * (0.58 + 0.072 * k) for k in range(6)]
    waves(work, (0, 0, w, h), furrows, tints(soil), 26, 1500, 220, -60)
    robes = Robes("amber", "cobalt", "straw")
    robed_figure(work, (w * 0.27, h * 0.93), h * 0.6, robes, halo=False, reach=(0.3, 0.34))
    for _ in range(26):
        at = (w * 0.5 + work.random.uniform(-30, 560), h * 0.56 + work.random.uniform(0, 760))
        work.wash(ellipse(at, 9, 6, work.random.uniform(0, 90), 10), 40)
    flying_bird(work, (w * 0.66, h * 0.3), 190, "slate", facing=1, tip="slate")
    flying_bird(work, (w * 0.83, h * 0.25), 190, "slate", facing=-1, tip="slate")
    for outline in shape.outlines():
        border(work, outline, ("green", "ruby", "white"))


def _barley(work: Leadwork, x: float, foot: float, height: float, lean: float) -> None:
    top = (x + lean, foot - height)
    stalk = bezier([(x, foot), (x + lean * 0.3, foot - height * 0.6), top], 10)
    work.came(stalk, 5)
    for k in range(7):
        px, py = stalk[-1 - k]
        for side in (-1, 1):
            grain = ellipse((0, 0), 24, 8)
            at = (px + side * 13, py + k * 4)
            work.piece(moved(grain, at, -60 * side + lean * 0.1), "gold", 3.5)


def ruth_among_the_barley(work: Leadwork, shape: WindowShape) -> None:
    w, h = shape.width, shape.height
    sky = by_height(h * 0.24, "cobalt cobalt sky", "sky pale sky")
    broken_sky(work, (0, 0, w, h * 0.7), 128, sky, 1.5)
    sun = (w * 0.26, h * 0.2)
    rays(work, sun, [110, 190, 300], [16, 22], tints("gold straw | amber gold"))
    work.piece(ellipse(sun, 112, 112), "cream")
    fields = tints("teal green | leaf olive | gold straw amber | amber gold")
    waves(work, (0, 0, w, h), [h * 0.5, h * 0.58, h * 0.7, h * 0.84], fields, 40, 1200, 190)
    ruth, reaper = Robes("violet", "rose", "cream"), Robes("green", "ruby", "straw")
    robed_figure(work, (w * 0.27, h * 0.95), h * 0.56, ruth, reach=(0.26, 0.46))
    robed_figure(work, (w * 0.76, h * 0.9), h * 0.46, reaper, -1, False, (0.24, 0.42))
    random = work.random
    for k in range(22):
        tall = h * random.uniform(0.07, 0.15)
        _barley(work, w * (0.03 + 0.044 * k), h * 0.99, tall, random.uniform(-60, 60))
    for k in range(5):
        tall = h * random.uniform(0.24, 0.34)
        _barley(work, w * (0.4 + 0.045 * k), h * 0.99, tall, random.uniform(-70, 50))
    for outline in shape.outlines():
        border(work, outline, ("ruby", "gold", "white"))


def ferryman_and_child(work: Leadwork, shape: WindowShape) -> None:
    w, h = shape.width, shape.height
    night = by_height(h * 0.3, "midnight cobalt", "violet cobalt rose")
    broken_sky(work, (0, 0, w, h * 0.6), 125, night, 1.7)
    for k in range(7):
        star = (w * (0.1 + 0.13 * k), h * (0.14 + 0.05 * (k % 3)))
        work.piece(ellipse(star, 24, 24, steps=6), "cream", 4)
    water = (
        "teal sea | sea sky | cobalt teal | sea teal"
        "| midnight cobalt | teal sea | cobalt midnight | teal cobalt"
    )
    levels = [h * (0.52 + 0.065 * k) for k in range(8)]
    waves(work, (0, 0, w, h), levels, tints(water), 30, 760, 200)
    ferryman, child = Robes("brown", "ruby", "gold"), Robes("white", "sky", "straw")
    robed_figure(work, (w * 0.27, h * 0.8), h * 0.55, ferryman, reach=(0.24, 0.4))
    robed_figure(work, (w * 0.72, h * 0.78), h * 0.36, child, -1, True, (0.3, 0.36))
    _boat(work, w, h)
    lantern = (w * 0.605, h * 0.6)
    work.piece(ellipse(lantern, 46, 62), "gold", 5)
    work.piece(ellipse(lantern, 20, 34), "cream", 4)
    for at in ((w * 0.6, h * 0.16), (w * 0.78, h * 0.22)):
        flying_bird(work, at, 210, "slate", facing=-1, tip="slate")
    for outline in shape.outlines():
        border(work, outline, ("cobalt", "amber", "white"))


def _boat(work: Leadwork, w: float, h: float) -> None:
    hull = "0.023,0.72 0.25,0.79 0.75,0.79 0.977,0.7 0.86,0.86 0.5,0.89 0.14,0.86"
    work.piece(smooth(points(hull, w, h), True), "brown")
    work.came(bezier(points("0.052,0.76 0.5,0.86 0.948,0.75", w, h)), 5)
    for k in range(5):
        left: Point = (150 + 20 * k, h * (0.79 + 0.012 * k))
        right: Point = (w - 150 - 20 * k, h * (0.78 + 0.012 * k))
        work.arc(left, (w * 0.5, h * (0.84 + 0.012 * k)), right, 7, 70)
    work.came([(w * 0.405, h * 0.2), (w * 0.41, h * 0.93)], 9)
