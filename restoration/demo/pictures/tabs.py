"""Solder and copper at the corners of a plaque: tabs that hold, tabs that tore, what they left."""

from collections.abc import Callable
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from restoration.demo.pictures.geometry import Point, ellipse, moved, smooth
from restoration.demo.pictures.hands import inked, laid_on
from restoration.demo.pictures.light import multiplied, relief, shaded, shadow, small_blur
from restoration.demo.pictures.textures import Colour, curve, spread, tinted

GREY_DULL: tuple[Colour, Colour] = (104, 104, 108), (188, 188, 194)
GREY_BRIGHT: tuple[Colour, Colour] = (112, 112, 116), (214, 214, 220)
COPPER: tuple[Colour, Colour] = (100, 60, 40), (204, 146, 110)


def on_patch(
    picture: Image.Image,
    at: Point,
    half: tuple[float, float],
    work: Callable[[Image.Image, Point], Image.Image],
) -> None:
    """Change a small part of a picture about a point: `work` gets the part and the point in it."""
    left, top = max(0, round(at[0] - half[0])), max(0, round(at[1] - half[1]))
    right = min(picture.width, round(at[0] + half[0]))
    foot = min(picture.height, round(at[1] + half[1]))
    if right - left < 8 or foot - top < 8:
        return
    part = picture.crop((left, top, right, foot))
    picture.paste(work(part, (at[0] - left, at[1] - top)), (left, top))


def drop(picture: Image.Image, at: Point, r: float, seed: str) -> None:
    """Melt a drop of solder on the picture, a little out of round."""

    def work(part: Image.Image, here: Point) -> Image.Image:
        random = Random(f"{seed} drop {at}")
        rim = [
            (x * random.uniform(0.86, 1.14), y * random.uniform(0.8, 1.1))
            for x, y in ellipse((0, 0), r, r * 0.8, random.uniform(0, 180), 12)
        ]
        mask = Image.new("L", part.size, 0)
        ImageDraw.Draw(mask).polygon(smooth(moved(rim, here), True, 4), fill=255)
        mask = mask.filter(ImageFilter.GaussianBlur(1.4))
        rough = Image.blend(
            small_blur(mask, r * 0.34, 2), spread("pits", part.size, f"{at}", 2.4), 0.2
        )
        metal = tinted(spread("blotches", part.size, f"{at}", 0.5), *GREY_DULL)
        return Image.composite(shaded(metal, relief(rough, 4, 1.3)), part, mask)

    on_patch(picture, at, (2 * r, 2 * r), work)


def tab(picture: Image.Image, at: Point, corner: tuple[int, int], scale: float, seed: str) -> None:
    """Solder a copper tab across a corner of the plate to the lead beside it.

    corner: -1 or 1 across, then down. scale: pixels for a millimetre.
    """
    place = (at[0] + corner[0] * scale, at[1] - corner[1] * 3.0 * scale)

    def work(part: Image.Image, here: Point) -> Image.Image:
        x, y = here
        mask = Image.new("L", part.size, 0)
        box = (x - 7.5 * scale, y - 2.6 * scale, x + 7.5 * scale, y + 2.6 * scale)
        ImageDraw.Draw(mask).rounded_rectangle(box, 1.2 * scale, fill=255)
        mask = mask.filter(ImageFilter.GaussianBlur(1.2))
        part = multiplied(part, shadow(mask, (6, 7), 7, 0.45))
        copper = tinted(spread("brushed", part.size, seed, 1), *COPPER)
        return Image.composite(shaded(copper, relief(small_blur(mask, 5, 2), 3, 1.0)), part, mask)

    on_patch(picture, place, (14 * scale, 9 * scale), work)
    drop(picture, (place[0] + corner[0] * 5.4 * scale, place[1]), 4.4 * scale, seed)


def smear(picture: Image.Image, at: Point, scale: float, seed: str) -> None:
    """Leave the broken solder of a tab that has gone on the lead."""
    r = 4.6 * scale

    def work(part: Image.Image, here: Point) -> Image.Image:
        random = Random(f"{seed} smear {at}")
        mask = Image.new("L", part.size, 0)
        draw = ImageDraw.Draw(mask)
        for _ in range(16):
            x, y = here[0] + random.gauss(0, r * 0.5), here[1] + random.gauss(0, r * 0.35)
            q = random.uniform(0.25, 0.6) * r
            draw.ellipse((x - q, y - q * 0.8, x + q, y + q * 0.8), fill=255)
        mask = mask.filter(ImageFilter.GaussianBlur(1.5))
        rough = Image.blend(small_blur(mask, 7, 2), spread("pits", part.size, f"{at}", 2), 0.22)
        metal = tinted(spread("pits", part.size, seed, 2), *GREY_BRIGHT)
        part = Image.composite(shaded(metal, relief(rough, 3, 1.7)), part, mask)
        core = Image.new("L", part.size, 0)
        torn = (here[0] - r * 0.45, here[1] - r * 0.3, here[0] + r * 0.45, here[1] + r * 0.3)
        ImageDraw.Draw(core).ellipse(torn, fill=255)
        dull = curve(spread("pits", part.size, seed, 1.5), 60, 180)
        return inked(
            part,
            ImageChops.multiply(core.filter(ImageFilter.GaussianBlur(4)), dull),
            (58, 56, 56),
            0.75,
        )

    on_patch(picture, at, (3 * r, 3 * r), work)


def torn_tab(picture: Image.Image, at: Point, toward: float, scale: float, seed: str) -> None:
    """Lay a strip of copper bent away from the plate, its solder broken."""
    strip = tinted(spread("brushed", (round(16 * scale), round(6 * scale)), seed, 0.7), *COPPER)
    ImageDraw.Draw(strip).rectangle((0, 0, round(4 * scale), strip.height), fill=(176, 176, 180))
    strip.putalpha(255)
    turned = strip.rotate(-toward, Image.Resampling.BICUBIC, expand=True)

    def work(part: Image.Image, here: Point) -> Image.Image:
        place = (round(here[0] - turned.width / 2), round(here[1] - turned.height / 2))
        return laid_on(part, turned, place, 7, 0.5)

    on_patch(picture, at, (turned.width, turned.height * 1.5), work)
