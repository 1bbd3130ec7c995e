"""Small things on record photographs: cracks, tape, scale cards, rules, their shadows."""

import itertools
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont

from restoration.demo.pictures.geometry import Point, Ring, moved
from restoration.demo.pictures.leadwork import ribbon
from restoration.demo.pictures.letters import font
from restoration.demo.pictures.light import multiplied, shadow
from restoration.demo.pictures.textures import Colour, spread, tinted


def jagged(random: Random, start: Point, end: Point, wobble: float = 0.12, depth: int = 5) -> Ring:
    """Return a line broken the way glass or metal breaks."""
    line = [start, end]
    reach = wobble * (abs(end[0] - start[0]) + abs(end[1] - start[1]))
    for _ in range(depth):
        finer: Ring = []
        for (x1, y1), (x2, y2) in itertools.pairwise(line):
            finer += [
                (x1, y1),
                (
                    (x1 + x2) / 2 + random.uniform(-reach, reach),
                    (y1 + y2) / 2 + random.uniform(-reach, reach),
                ),
            ]
        line = [*finer, line[-1]]
        reach *= 0.48
    return line


def line_mask(
    size: tuple[int, int], lines: list[Ring], width: float, soft: float = 0.7, taper: bool = False
) -> Image.Image:
    """Return a mask of lines, smooth at their edges."""
    sheet = Image.new("L", (size[0] * 2, size[1] * 2), 0)
    draw = ImageDraw.Draw(sheet)
    for line in lines:
        draw.polygon(ribbon([(x * 2, y * 2) for x, y in line], width * 2, taper), fill=255)
    return sheet.reduce(2).filter(ImageFilter.GaussianBlur(soft))


def inked(
    picture: Image.Image, mask: Image.Image, colour: Colour, strength: float = 1.0
) -> Image.Image:
    """Return the picture with a colour laid on where the mask is bright."""
    if strength < 1:
        mask = mask.point([round(v * strength) for v in range(256)])
    return Image.composite(Image.new("RGB", picture.size, colour), picture, mask)


def cut_in(
    picture: Image.Image, mask: Image.Image, dark: Colour = (10, 9, 9), lip: int = 2
) -> Image.Image:
    """Return the picture with a dark cleft along the mask and a lit lip on its lower side."""
    lit = ImageChops.subtract(ImageChops.offset(mask, lip, lip), mask)
    return inked(inked(picture, lit, (214, 210, 204), 0.5), mask, dark)


def laid_on(
    picture: Image.Image,
    thing: Image.Image,
    place: tuple[int, int],
    depth: int = 8,
    dim: float = 0.55,
) -> Image.Image:
    """Return the picture with an RGBA thing laid on it, its shadow beside it."""
    alpha = Image.new("L", picture.size, 0)
    alpha.paste(thing.getchannel("A"), place)
    picture = multiplied(picture, shadow(alpha, (depth, depth), depth * 1.5, dim))
    picture.paste(thing.convert("RGB"), place, thing.getchannel("A"))
    return picture


def scale_card(px_per_mm: float, length_mm: int = 50, turn: float = 0.0) -> Image.Image:
    """Return a photographer's scale: blocks of a centimetre, black and white, on a white card."""
    step = px_per_mm * 10
    wide, high = round(length_mm * px_per_mm + step * 0.8), round(step * 1.35)
    card = Image.new("RGBA", (wide, high), (228, 226, 218, 255))
    draw = ImageDraw.Draw(card)
    letter = ImageFont.truetype(font("regular"), max(9, round(step * 0.42)))
    for k in range(length_mm // 10):
        x = step * (0.4 + k)
        fill = (24, 24, 24, 255) if k % 2 == 0 else (228, 226, 218, 255)
        draw.rectangle((x, high * 0.1, x + step, high * 0.42), fill=fill, outline=(24, 24, 24, 255))
        draw.text(
            (x + step, high * 0.48), str(k + 1), font=letter, fill=(24, 24, 24, 255), anchor="ma"
        )
    draw.text((step * 0.4, high * 0.48), "cm", font=letter, fill=(24, 24, 24, 255), anchor="ma")
    return card.rotate(turn, Image.Resampling.BICUBIC, expand=True)


def tape(
    size: tuple[int, int], seed: str, turn: float, colour: Colour = (206, 198, 168)
) -> Image.Image:
    """Return a strip of paper tape with its creases."""
    creases = spread("streaks", size, seed, 0.6)
    strip = tinted(
        creases, (round(colour[0] * 0.82), round(colour[1] * 0.82), round(colour[2] * 0.82)), colour
    )
    strip.putalpha(Image.new("L", size, 226))
    return strip.rotate(turn, Image.Resampling.BICUBIC, expand=True)


def straight_edge(length: int, wide: int, seed: str, turn: float = 0.0) -> Image.Image:
    """Return an aluminium straight edge, standing up, with its bevel."""
    metal = tinted(
        spread("brushed", (wide, length), seed, 1.0, turn=True), (120, 122, 126), (206, 208, 212)
    )
    draw = ImageDraw.Draw(metal)
    draw.rectangle((0, 0, max(1, wide // 9), length), fill=(228, 230, 232))
    draw.rectangle((wide - max(2, wide // 6), 0, wide, length), fill=(84, 86, 90))
    metal.putalpha(255)
    return metal.rotate(turn, Image.Resampling.BICUBIC, expand=True)


def steel_rule(px_per_mm: float, length_mm: int, turn: float = 0.0) -> Image.Image:
    """Return a narrow steel rule with millimetres."""
    wide, high = round(length_mm * px_per_mm), max(14, round(13 * px_per_mm))
    rule = Image.new("RGBA", (wide, high), (186, 188, 188, 255))
    draw = ImageDraw.Draw(rule)
    letter = ImageFont.truetype(font("regular"), max(9, round(high * 0.34)))
    for mm in range(length_mm + 1):
        x = mm * px_per_mm
        tall = 0.42 if mm % 10 == 0 else 0.32 if mm % 5 == 0 else 0.2
        draw.line(
            (x, 0, x, high * tall), fill=(30, 30, 32, 255), width=max(1, round(px_per_mm / 5))
        )
        if mm % 10 == 0 and mm:
            draw.text((x, high * 0.46), str(mm), font=letter, fill=(30, 30, 32, 255), anchor="ma")
    return rule.rotate(turn, Image.Resampling.BICUBIC, expand=True)


def shards(random: Random, centre: Point, reach: float, count: int, size: float) -> list[Ring]:
    """Return small broken shapes strewn about a point."""
    found = []
    for _ in range(count):
        at = (centre[0] + random.gauss(0, reach), centre[1] + random.gauss(0, reach * 0.5))
        corners = [
            (random.uniform(0.4, 1) * size * dx, random.uniform(0.4, 1) * size * dy)
            for dx, dy in ((-1, -0.4), (0.2, -1), (1, 0.1), (0.1, 0.9))
        ]
        found.append(moved(corners, at, random.uniform(0, 360), random.uniform(0.4, 1.1)))
    return found
