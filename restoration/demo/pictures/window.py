"""A whole window in its wall, from inside: lights, mullions, bars, splays, the spill of light."""

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageOps

from restoration.demo.pictures.develop import transmitted
from restoration.demo.pictures.geometry import Point, Ring, head_outline, inset, walked
from restoration.demo.pictures.leadwork import Leadwork
from restoration.demo.pictures.light import (
    balanced,
    bloom,
    graded,
    grain,
    looked_at_askew,
    multiplied,
    outdoors,
    relief,
    shaded,
    small_blur,
    vignette,
)
from restoration.demo.pictures.textures import Size, spread, tinted

MULLION_MM = 115.0
SPLAY_MM = 120.0


@dataclass(frozen=True)
class WindowShape:
    """What of an opening its picture needs, in millimetres."""

    width: float
    height: float
    head: str
    lights: int
    rows: int

    def outlines(self) -> list[Ring]:
        """Return the outline of each light, from the left."""
        if self.lights == 1:
            return [head_outline(self.head, self.width, self.height, 0, 0)]
        wide = (self.width - MULLION_MM * (self.lights - 1)) / self.lights
        return [
            head_outline(self.head, wide, self.height, k * (wide + MULLION_MM), 0)
            for k in range(self.lights)
        ]


Composition = Callable[[Leadwork, WindowShape], None]


def window_picture(
    shape: WindowShape, compose: Composition, size: Size, window: str, seed: str, day: float = 1.0
) -> Image.Image:
    """Return a record photograph of the whole window, taken from inside.

    compose: draws the glass into a leadwork. window: its number, which settles its glass and wall.
    seed: settles how it was photographed. day: brightness of the daylight, 1 for a bright day.
    """
    random = Random(f"window {seed}")
    scale = min(size[0] / (shape.width * 1.34), size[1] / (shape.height * 1.2))
    left = (size[0] - shape.width * scale) * random.uniform(0.46, 0.54)
    top = (size[1] - shape.height * scale) * random.uniform(0.40, 0.5)
    work = Leadwork(size, scale, (left, top), window)
    compose(work, shape)
    glass = transmitted(work, window, outdoors(size, f"{window} {seed}", day))
    _bars(glass, work, shape, Random(f"bars {window}"))
    mask = _mask(work, shape.outlines(), 0)
    wall = _wall(work, shape, mask, glass, window)
    picture = Image.composite(glass, wall, mask)
    return finished(picture, seed)


def finished(
    picture: Image.Image, seed: str, askew: float = 0.035, noisy: float = 6.0
) -> Image.Image:
    """Return the picture as a camera would have taken it."""
    picture = bloom(picture, 0.2, picture.width / 45)
    picture = bloom(picture, 0.09, picture.width / 9)
    if askew:
        picture = looked_at_askew(picture, seed, askew)
    picture = graded(picture, 0.95, 0.35)
    picture = vignette(picture, 0.3)
    return grain(picture, seed, noisy)


def _mask(work: Leadwork, outlines: list[Ring], grow_mm: float) -> Image.Image:
    sheet = Image.new("L", (work.size[0] * 2, work.size[1] * 2), 0)
    draw = ImageDraw.Draw(sheet)
    for outline in outlines:
        draw.polygon(work.at(inset(outline, -grow_mm) if grow_mm else outline, 2), fill=255)
    return sheet.reduce(2)


def _bars(glass: Image.Image, work: Leadwork, shape: WindowShape, random: Random) -> None:
    """Draw division bars between the rows, a saddle bar across each panel, and the ties."""
    draw = ImageDraw.Draw(glass)
    row = shape.height / shape.rows
    for outline in shape.outlines():
        left, right = min(x for x, _ in outline), max(x for x, _ in outline)
        for k in range(1, shape.rows * 2):
            if shape.height / shape.rows < 500 and k % 2:
                continue
            y = shape.height - k * row / 2
            division = k % 2 == 0
            wide = 17.0 if division else 9.5
            sag = random.uniform(-2, 2)
            _rod(draw, work, (left, y), (right, y + sag), wide)
            if not division:
                _ties(draw, work, left, right, y, random)


def _rod(draw: ImageDraw.ImageDraw, work: Leadwork, a: Point, b: Point, wide: float) -> None:
    line = work.at([a, b])
    px = max(2, round(wide * work.scale))
    draw.line(line, fill=(13, 12, 12), width=px)
    up = px * 0.28
    lit = [(x, y - up) for x, y in line]
    draw.line(lit, fill=(46, 44, 42), width=max(1, px // 5))


def _ties(
    draw: ImageDraw.ImageDraw, work: Leadwork, left: float, right: float, y: float, random: Random
) -> None:
    count = max(2, round((right - left) / 230))
    for k in range(count):
        x = left + (right - left) * (k + 0.5 + random.uniform(-0.12, 0.12)) / count
        (px, py) = work.at([(x, y)])[0]
        r = max(2.0, 8.5 * work.scale)
        draw.ellipse((px - r * 0.62, py - r, px + r * 0.62, py + r), fill=(20, 17, 15))
        end = work.at([(x + random.uniform(-14, 14), y + random.uniform(10, 24))])[0]
        draw.line([(px, py), end], fill=(24, 19, 16), width=max(1, round(2.4 * work.scale)))


def _wall(
    work: Leadwork, shape: WindowShape, mask: Image.Image, glass: Image.Image, seed: str
) -> Image.Image:
    """Return the dim plaster and dressed stone about the window, and the light on it."""
    random = Random(f"wall {seed}")
    bright, warm = random.uniform(0.9, 1.9), random.uniform(0.94, 1.06)
    stone = spread("stone", work.size, seed, 1.2)
    wall = balanced(tinted(stone, (38, 35, 31), (64, 59, 52)), bright * warm, bright, bright / warm)
    frame = _mask(work, shape.outlines(), SPLAY_MM)
    dressed = tinted(stone, (84, 78, 69), (128, 119, 106))
    near = small_blur(mask, SPLAY_MM * work.scale * 0.75, 4)
    dressed = multiplied(dressed, near.point([min(255, 105 + v) for v in range(256)]))
    dressed = shaded(dressed, relief(_stone_joints(work, shape), 2, 0.7))
    wall.paste(dressed, (0, 0), frame)
    arris = ImageChops.add(frame.filter(ImageFilter.GaussianBlur(3)), mask, 2)
    wall = shaded(wall, relief(ImageChops.invert(arris), 3, 0.8))
    return _lighted(wall, work, shape, mask, glass)


def _lighted(
    wall: Image.Image, work: Leadwork, shape: WindowShape, mask: Image.Image, glass: Image.Image
) -> Image.Image:
    """Return the wall with the coloured light that spills from the glass, most on the sill."""
    shining = Image.composite(glass, Image.new("RGB", glass.size), mask)
    spill = ImageChops.add(
        small_blur(shining, 60 * work.scale, 4), small_blur(shining, 260 * work.scale, 16), 1.1
    )
    lighted = ImageChops.add(
        wall.point([round(v * 0.62) for v in range(256)] * 3),
        ImageChops.multiply(wall.point([min(255, round(v * 2.1)) for v in range(256)] * 3), spill),
    )
    (left, foot), (right, below) = (
        (round(x), round(y))
        for x, y in work.at([(0, shape.height), (shape.width, shape.height + SPLAY_MM * 0.92)])
    )
    strip = shining.crop((left, 3 * foot - 2 * below, right, foot))
    strip = ImageOps.flip(strip).resize((right - left, below - foot), Image.Resampling.BOX)
    strip = strip.filter(ImageFilter.GaussianBlur(max(2.0, 12 * work.scale)))
    fade = Image.linear_gradient("L").resize(strip.size).point(lambda v: round(150 - 0.45 * v))
    lighted.paste(
        ImageChops.screen(lighted.crop((left, foot, right, below)), strip), (left, foot), fade
    )
    return lighted


def _stone_joints(work: Leadwork, shape: WindowShape) -> Image.Image:
    """Return the fine joints between the dressed stones of the splay, dark on white."""
    sheet = Image.new("L", work.size, 255)
    draw = ImageDraw.Draw(sheet)
    for outline in shape.outlines():
        inner = walked(outline, 310)
        for near, far in zip(inner, inset(inner, -SPLAY_MM * 1.1), strict=True):
            draw.line(work.at([near, far]), fill=60, width=max(1, round(3 * work.scale)))
    return sheet.filter(ImageFilter.GaussianBlur(1.0))
