"""Whole panels out of flat, and moisture between a window and its outer glazing."""

import itertools
import math
from collections.abc import Callable
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from restoration.demo.pictures.closeview import Subject, lit_from_both_sides
from restoration.demo.pictures.geometry import Point, perspective
from restoration.demo.pictures.hands import inked, laid_on, steel_rule, straight_edge
from restoration.demo.pictures.light import multiplied, relief, shaded, small_blur
from restoration.demo.pictures.textures import Size, clouds, curve, spread
from restoration.demo.pictures.window import finished

GRID = (12, 14)


def bowed(subject: Subject, panel: str, size: Size, seed: str, depth_mm: float) -> Image.Image:
    """A panel seen aslant, its leads curving, a straight edge and a rule against it."""
    random = Random(seed)
    scale = size[1] / 1050
    work = subject.near(size, scale, subject.panel_centre(panel))
    picture = lit_from_both_sides(work, seed, 0.6)
    side = random.choice((-1, 1))
    push = side * (30 + 3.2 * depth_mm) * scale

    def shift(at: Point) -> Point:
        u, v = at[0] / size[0], at[1] / size[1]
        swell = math.sin(math.pi * u) * math.sin(math.pi * v) ** 1.3
        wave = math.sin(3 * math.pi * v + 0.7) * 0.14
        return at[0] + push * (swell + wave * swell), at[1] + push * 0.12 * swell * math.cos(
            math.pi * v
        )

    picture = bent(picture, shift)
    picture = shaded(picture, _swelling(size, side))
    picture = _aslant(picture, side)
    edge = straight_edge(
        round(size[1] * 0.86), round(26 * scale * 1.3), seed, random.uniform(-1.5, 1.5)
    )
    place = (round(size[0] * (0.52 if side > 0 else 0.4)), round(size[1] * 0.07))
    picture = laid_on(picture, edge, place, round(10 + depth_mm * 1.2), 0.6)
    rule = steel_rule(scale * 1.6, 150, random.uniform(-3, 3))
    picture = laid_on(picture, rule, (place[0] - rule.width // 3, round(size[1] * 0.49)), 8, 0.5)
    return finished(picture, seed, 0.0)


def bent(picture: Image.Image, shift: Callable[[Point], Point]) -> Image.Image:
    """Return the picture with every point moved: `shift` says from where each is taken."""
    across, down = GRID
    width, height = picture.size
    xs = [round(width * k / across) for k in range(across + 1)]
    ys = [round(height * k / down) for k in range(down + 1)]
    mesh = []
    for left, right in itertools.pairwise(xs):
        for top, foot in itertools.pairwise(ys):
            corners = [shift(p) for p in ((left, top), (left, foot), (right, foot), (right, top))]
            mesh.append(((left, top, right, foot), tuple(v for p in corners for v in p)))
    return picture.transform(picture.size, Image.Transform.MESH, mesh, Image.Resampling.BILINEAR)


def _swelling(size: Size, side: int) -> Image.Image:
    """Return the shading of a surface that swells toward the camera."""
    little = (40, 54)
    sheet = Image.new("L", little)
    sheet.putdata(
        [
            round(
                128
                - side
                * 62
                * math.cos(math.pi * (x + 0.5) / 40)
                * math.sin(math.pi * (y + 0.5) / 54)
            )
            for y in range(54)
            for x in range(40)
        ]
    )
    return sheet.resize(size, Image.Resampling.BICUBIC)


def _aslant(picture: Image.Image, side: int) -> Image.Image:
    width, height = picture.size
    near, far = 0.0, 0.11
    left, right = (far, near) if side > 0 else (near, far)
    corners: list[Point] = [
        (0, -height * left),
        (width, -height * right),
        (width, height * (1 + right)),
        (0, height * (1 + left)),
    ]
    inner = [(x * 0.9 + width * 0.05, y * 0.8 + height * 0.1) for x, y in corners]
    return picture.transform(
        picture.size,
        Image.Transform.PERSPECTIVE,
        perspective(inner, picture.size),
        Image.Resampling.BILINEAR,
    )


def misted(subject: Subject, panel: str, size: Size, seed: str, share: float) -> Image.Image:
    """Mist, drops and runs between the window and its outer sheet.

    share: how much of the height is misted, 0 to 1.
    """
    random = Random(seed)
    scale = 2.3
    work = subject.near(size, scale, subject.panel_centre(panel))
    picture = lit_from_both_sides(work, seed, 0.1, 0.9)
    level = size[1] * (1 - share)
    ramp = Image.linear_gradient("L").resize(size)
    low = 255 * level / size[1]
    fog = ImageChops.multiply(
        curve(ramp, low - 50, low + 90), curve(spread("blotches", size, seed, 0.9), 20, 210)
    )
    hazy = small_blur(picture, 14, 4)
    hazy = ImageChops.screen(hazy, Image.new("RGB", size, (70, 76, 80)))
    picture = Image.composite(hazy, picture, fog.point([round(v * 0.78) for v in range(256)]))
    return finished(_drops(picture, level, random), seed, 0.03)


def _drops(picture: Image.Image, level: float, random: Random) -> Image.Image:
    width, height = picture.size
    sheet = Image.new("L", picture.size, 0)
    draw = ImageDraw.Draw(sheet)
    for _ in range(1500):
        x, y = random.uniform(0, width), level + (height - level) * random.random() ** 0.6
        r = random.choice((2, 2.5, 3, 4, 5, 7, 10)) * random.uniform(0.7, 1.2)
        draw.ellipse((x - r, y - r * 1.1, x + r, y + r * 1.15), fill=255)
    runs = Image.new("L", picture.size, 0)
    pen = ImageDraw.Draw(runs)
    for _ in range(26):
        x, y = random.uniform(0, width), random.uniform(level, height * 0.8)
        for _step in range(random.randrange(14, 46)):
            pen.line(
                (x, y, x + (dx := random.uniform(-2.5, 2.5)), y + 9),
                fill=255,
                width=random.choice((5, 6, 8)),
            )
            x, y = x + dx, y + 9
        draw.ellipse((x - 8, y - 8, x + 8, y + 12), fill=255)
    water = ImageChops.lighter(sheet, runs).filter(ImageFilter.GaussianBlur(1.0))
    clear = multiplied(
        picture,
        relief(water.filter(ImageFilter.GaussianBlur(2)), 2, 1.6).point(
            [min(255, round(v * 1.7)) for v in range(256)]
        ),
    )
    picture = Image.composite(clear, picture, water)
    glint = ImageChops.subtract(water, ImageChops.offset(water, 3, 3))
    return inked(picture, glint, (250, 254, 255), 0.6)


def overgrown(subject: Subject, panel: str, size: Size, seed: str) -> Image.Image:
    """Green algae creeping over the glass from the foot."""
    scale = 3.0
    x, y = subject.panel_centre(panel)
    work = subject.near(size, scale, (x, y + 160))
    picture = lit_from_both_sides(work, seed, 0.25)
    ramp = Image.linear_gradient("L").resize(size)
    film = ImageChops.multiply(
        curve(ramp, 60, 230), curve(clouds(f"algae {seed}", size, (210, 210), 5), 90, 190)
    )
    picture = inked(picture, film, (52, 74, 30), 0.75)
    return finished(picture, seed, 0.02)
