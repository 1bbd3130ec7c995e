"""Stone, mortar and timber about a window: burst jambs, hairlines, lost pointing, rot, rust."""

import math
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont, ImageOps

from restoration.demo.pictures.closeview import Subject, lit_from_both_sides
from restoration.demo.pictures.develop import lead_mask
from restoration.demo.pictures.geometry import Point, Ring, bezier
from restoration.demo.pictures.hands import (
    cut_in,
    inked,
    jagged,
    laid_on,
    line_mask,
    scale_card,
    shards,
)
from restoration.demo.pictures.letters import font
from restoration.demo.pictures.light import multiplied, relief, shaded, shadow, small_blur
from restoration.demo.pictures.textures import Colour, Size, clouds, curve, ranged, spread, tinted
from restoration.demo.pictures.window import finished

LIMESTONE: tuple[Colour, Colour] = ((128, 116, 96), (206, 196, 172))


def dressed_stone(size: Size, seed: str, tones: tuple[Colour, Colour] = LIMESTONE) -> Image.Image:
    """Return a face of dressed limestone in slanting light."""
    body = Image.blend(spread("stone", size, seed, 1.6), spread("blotches", size, seed, 1.4), 0.45)
    face = tinted(body, *tones)
    tooling = Image.blend(spread("pits", size, seed, 3.0), spread("grain", size, seed, 1.5), 0.3)
    face = shaded(face, relief(tooling, 2, 0.9))
    lichen = curve(spread("blotches", size, f"lichen {seed}", 0.8), 196, 232)
    return inked(face, lichen, (150, 146, 110), 0.3)


def dark_glazing(subject: Subject, size: Size, seed: str) -> Image.Image:
    """Return the window as it looks from outside by day: dark, a little sky in it, mirrored."""
    ground = tinted(spread("blotches", size, seed, 0.8), (16, 20, 24), (54, 62, 68))
    sky = ImageChops.invert(Image.linear_gradient("L").resize(size))
    sky = sky.point([round(v * 0.3) for v in range(256)])
    ground = ImageChops.screen(ground, tinted(sky, (0, 0, 0), (120, 136, 150)))
    work = subject.near(size, size[0] / 520, subject.panel_centre("1a"))
    tint = small_blur(work.colours, 3, 2).point([round(v * 0.13) for v in range(256)] * 3)
    ground = ImageOps.mirror(ImageChops.add(ImageOps.mirror(ground), tint))
    lines = ImageOps.mirror(lead_mask(work))
    lead = tinted(spread("pits", size, seed, 2), (92, 94, 96), (150, 152, 154))
    lead = shaded(lead, relief(small_blur(lines, 5, 2), 3, 1.2))
    return Image.composite(lead, ground, lines)


def lit_glazing(subject: Subject, size: Size, edge: int, seed: str) -> Image.Image:
    """Return the window from inside, its right-hand jamb at `edge` pixels from the left."""
    scale = size[0] / 420
    jamb = max(x for x, _ in subject.shape.outlines()[-1])
    centre = (jamb + (size[0] / 2 - edge) / scale, subject.panel_centre("1a")[1])
    return lit_from_both_sides(subject.near(size, scale, centre), seed, 0.5, 0.8)


def bar_in_jamb(subject: Subject, size: Size, seed: str, whole: bool = False) -> Image.Image:
    """A rusting bar end in a stone jamb; unless the stone is whole, rust has burst it."""
    random = Random(seed)
    edge = round(size[0] * 0.36)
    picture = lit_glazing(subject, size, edge, seed)
    stone = dressed_stone((size[0] - edge, size[1]), seed)
    picture.paste(stone, (edge, 0))
    picture = _rebate(picture, edge)
    hole = (edge + size[0] * 0.06, size[1] * 0.5)
    if not whole:
        picture = _scar(picture, hole, random, seed)
    picture = _stain(picture, hole, seed)
    picture = _socket(picture, hole, size[1] * 0.052, seed)
    picture = _rusty_bar(picture, hole, round(size[1] * 0.075), seed)
    if not whole:
        lines = [
            jagged(random, hole, (hole[0] + math.cos(a) * r, hole[1] + math.sin(a) * r), 0.08)
            for a, r in ((-0.9, size[0] * 0.3), (0.35, size[0] * 0.36), (1.5, size[1] * 0.4))
        ]
        picture = cut_in(picture, line_mask(size, lines, 8), (26, 20, 15), 3)
    card = scale_card(size[0] / 230, 50, random.uniform(-4, 4))
    picture = laid_on(picture, card, (round(size[0] * 0.7), round(size[1] * 0.84)), 9)
    return finished(picture, seed, 0.015, 5)


def _rebate(picture: Image.Image, edge: int) -> Image.Image:
    """Return the picture with the shadow of the stone's arris on the glass."""
    mask = Image.new("L", picture.size, 0)
    mask.paste(255, (edge, 0, *picture.size))
    picture = multiplied(picture, ImageChops.lighter(shadow(mask, (-16, 6), 26, 0.75), mask))
    arris = mask.filter(ImageFilter.GaussianBlur(7))
    return shaded(picture, relief(arris, 5, 0.8))


def _scar(picture: Image.Image, at: Point, random: Random, seed: str) -> Image.Image:
    """Return the picture with the fresh hollow that a burst flake leaves."""
    rim = [
        (at[0] - 60 + random.uniform(-10, 10), at[1] - 150),
        (at[0] + 130, at[1] - 190),
        (at[0] + 330, at[1] - 90),
        (at[0] + 390, at[1] + 60),
        (at[0] + 240, at[1] + 210),
        (at[0] + 40, at[1] + 170),
        (at[0] - 70, at[1] + 120),
    ]
    ring: Ring = []
    for a, b in zip(rim, [*rim[1:], rim[0]], strict=True):
        ring += jagged(random, a, b, 0.09, 4)[:-1]
    mask = Image.new("L", picture.size, 0)
    ImageDraw.Draw(mask).polygon(ring, fill=255)
    mask = mask.filter(ImageFilter.GaussianBlur(1.5))
    fresh = tinted(
        spread("stone", picture.size, f"fresh {seed}", 2), (168, 152, 122), (236, 226, 200)
    )
    rough = Image.blend(
        clouds(f"rough {seed}", picture.size, (150, 130), 4), small_blur(mask, 30, 4), 0.4
    )
    fresh = shaded(fresh, relief(ImageChops.invert(rough), 4, 1.5))
    wall = ImageChops.subtract(mask, ImageChops.offset(mask, 14, 18))
    fresh = inked(fresh, small_blur(wall, 8, 2), (74, 62, 46), 0.7)
    picture = Image.composite(fresh, picture, mask)
    lip = ImageChops.subtract(ImageChops.offset(mask, 3, 4), mask)
    return inked(picture, lip, (246, 240, 224), 0.6)


def _socket(picture: Image.Image, hole: Point, r: float, seed: str) -> Image.Image:
    """Return the picture with the lead-run hole that the bar's end is set in."""
    mask = Image.new("L", picture.size, 0)
    box = (hole[0] - r * 0.9, hole[1] - r, hole[0] + r * 1.25, hole[1] + r)
    ImageDraw.Draw(mask).ellipse(box, fill=255)
    mask = mask.filter(ImageFilter.GaussianBlur(1.6))
    lead = tinted(spread("pits", picture.size, f"run {seed}", 2), (70, 66, 62), (142, 136, 128))
    lead = shaded(lead, relief(ImageChops.invert(small_blur(mask, 10, 2)), 4, 1.2))
    return Image.composite(lead, picture, mask)


def _stain(picture: Image.Image, at: Point, seed: str) -> Image.Image:
    mask = Image.new("L", picture.size, 0)
    draw = ImageDraw.Draw(mask)
    draw.ellipse((at[0] - 120, at[1] - 80, at[0] + 170, at[1] + 130), fill=220)
    for k in range(7):
        x = at[0] - 60 + 34 * k
        draw.polygon(
            [(x - 16, at[1]), (x + 18, at[1]), (x + 6, at[1] + 190 + 60 * (k * 3 % 4))], fill=190
        )
    soft = ImageChops.multiply(
        small_blur(mask, 34, 4), curve(spread("streaks", picture.size, seed, 1.0), 20, 220)
    )
    return inked(picture, soft, (138, 74, 30), 0.75)


def _rusty_bar(picture: Image.Image, hole: Point, thick: int, seed: str) -> Image.Image:
    size = (round(hole[0] + 26), thick)
    iron = tinted(spread("pits", size, seed, 2.2), (48, 28, 18), (150, 84, 44))
    flakes = curve(spread("blotches", size, seed, 1.4), 120, 170)
    iron = Image.composite(
        tinted(spread("pits", size, "flake", 1.4), (88, 44, 22), (196, 122, 66)), iron, flakes
    )
    rough = relief(Image.blend(spread("pits", size, seed, 2.2), flakes, 0.4), 3, 1.8)
    half = [round(255 * math.sin(math.pi * (v + 8) / 272) ** 0.8) for v in range(256)]
    form = Image.linear_gradient("L").resize(size).point(half)
    bar = multiplied(shaded(iron, rough), form)
    alpha = Image.new("L", size, 255)
    draw = ImageDraw.Draw(alpha)
    random = Random(f"bar {seed}")
    for x in range(0, size[0], 9):
        draw.rectangle((x, 0, x + 9, random.randrange(0, 7)), fill=0)
        draw.rectangle((x, thick - random.randrange(1, 8), x + 9, thick), fill=0)
    bar.putalpha(alpha.filter(ImageFilter.GaussianBlur(1)))
    return laid_on(picture, bar, (0, round(hole[1] - thick / 2)), 16, 0.7)


def hairline(size: Size, seed: str, mark: str) -> Image.Image:
    """A hairline in a stone sill between pencil marks, with the date beside them."""
    random = Random(seed)
    picture = dressed_stone(size, seed)
    a, b = (size[0] * 0.16, size[1] * 0.62), (size[0] * 0.84, size[1] * 0.4)
    line = jagged(random, a, b, 0.035, 6)
    picture = cut_in(picture, line_mask(size, [line], 3.4, 0.6, taper=True), (52, 44, 34), 2)
    pencil = Image.new("L", size, 0)
    draw = ImageDraw.Draw(pencil)
    for x, y in (a, b):
        draw.line((x - 6, y - 46, x + 8, y + 44), fill=255, width=5)
    letter = ImageFont.truetype(font("italic"), 62)
    note = Image.new("L", size, 0)
    ImageDraw.Draw(note).text((b[0] - 120, b[1] - 150), mark, font=letter, fill=255)
    note = note.rotate(7, Image.Resampling.BICUBIC, center=b)
    graphite = ImageChops.multiply(
        ImageChops.lighter(pencil, note), curve(spread("pits", size, seed, 1.0), 0, 120)
    )
    picture = inked(picture, graphite.filter(ImageFilter.GaussianBlur(0.7)), (64, 64, 70), 0.85)
    card = scale_card(size[0] / 300, 50, random.uniform(-3, 3))
    picture = laid_on(picture, card, (round(size[0] * 0.42), round(size[1] * 0.68)), 9)
    return finished(picture, seed, 0.015, 5)


def lost_pointing(subject: Subject, size: Size, seed: str) -> Image.Image:
    """The joint between stone and panel, its mortar fallen out, seen from outside."""
    random = Random(seed)
    edge = round(size[0] * 0.58)
    picture = dark_glazing(subject, size, seed)
    stone = dressed_stone((size[0] - edge, size[1]), seed)
    picture.paste(stone, (edge, 0))
    gap = Image.new("L", size, 0)
    left = jagged(random, (edge - 74, -10), (edge - 66, size[1] + 10), 0.008, 6)
    right = jagged(random, (edge + 6, size[1] + 10), (edge + 2, -10), 0.01, 6)
    ImageDraw.Draw(gap).polygon(left + right, fill=255)
    gap = gap.filter(ImageFilter.GaussianBlur(1.2))
    mortar = tinted(spread("stone", size, f"mortar {seed}", 2.4), (138, 130, 116), (214, 208, 194))
    mortar = shaded(mortar, relief(spread("pits", size, seed, 2.4), 3, 1.5))
    there = curve(clouds(f"left {seed}", size, (500, 260), 4), 150, 164)
    hollow = inked(mortar, ImageChops.invert(there), (18, 15, 13), 0.94)
    lip = ImageChops.subtract(there, ImageChops.offset(there, 5, 7))
    hollow = inked(hollow, lip, (236, 230, 214), 0.4)
    picture = Image.composite(hollow, picture, gap)
    picture = _rebate(picture, edge)
    return finished(_mortar_crumbs(picture, edge, random, seed), seed, 0.02, 5)


def _mortar_crumbs(picture: Image.Image, edge: int, random: Random, seed: str) -> Image.Image:
    sheet = Image.new("L", picture.size, 0)
    draw = ImageDraw.Draw(sheet)
    for shard in shards(random, (edge - 60, picture.height - 50), 150, 90, 17):
        draw.polygon(shard, fill=random.randrange(160, 256))
    grit = tinted(spread("pits", picture.size, seed, 1), (130, 120, 104), (222, 214, 196))
    grit = shaded(grit, relief(sheet, 3, 1.4))
    picture = multiplied(picture, shadow(sheet, (6, 8), 8, 0.5))
    return Image.composite(grit, picture, sheet.point([255 if v else 0 for v in range(256)]))


def rotten_sill(size: Size, seed: str) -> Image.Image:
    """A wooden sill member gone soft, paint lifting, an awl standing in it."""
    random = Random(seed)
    grain = spread("wood", size, seed, 1.5)
    paint = tinted(spread("blotches", size, seed, 0.8), (186, 184, 172), (226, 224, 212))
    paint = shaded(paint, relief(grain, 2, 0.6))
    wood = tinted(grain, (58, 40, 26), (150, 118, 84))
    wood = shaded(wood, relief(grain, 3, 1.6))
    bare = curve(
        Image.blend(
            clouds(f"bare {seed}", size, (520, 240), 5), spread("wood", size, seed, 1.5), 0.3
        ),
        120,
        132,
    )
    lip = ImageChops.subtract(ImageChops.offset(bare, -5, -6), bare)
    picture = Image.composite(
        wood, multiplied(paint, shadow(ImageChops.invert(bare), (3, 4), 5, 0.0)), bare
    )
    picture = multiplied(
        picture,
        ImageChops.lighter(
            ImageChops.invert(lip).point([max(110, v) for v in range(256)]), ImageChops.invert(bare)
        ),
    )
    pit = ImageChops.multiply(bare, curve(clouds(f"pit {seed}", size, (240, 130), 5), 150, 176))
    soft = tinted(spread("wood", size, f"soft {seed}", 1.0), (22, 15, 10), (86, 58, 36))
    picture = Image.composite(
        shaded(soft, relief(spread("wood", size, f"soft {seed}", 1.0), 3, 2.2)), picture, pit
    )
    picture = _awl(picture, (size[0] * 0.56, size[1] * 0.56), random)
    top = ranged(Image.linear_gradient("L").resize(size), 120, 255)
    return finished(multiplied(picture, top), seed, 0.02, 5)


def _awl(picture: Image.Image, at: Point, random: Random) -> Image.Image:
    x, y = at
    turn = random.uniform(0.5, 0.7)
    far = (x + 330 * math.cos(-turn), y + 330 * math.sin(-turn))
    end = (x + 620 * math.cos(-turn), y + 620 * math.sin(-turn))
    blade = line_mask(picture.size, [[at, far]], 15, 1.0)
    handle = line_mask(
        picture.size,
        [bezier([far, ((far[0] + end[0]) / 2, (far[1] + end[1]) / 2), end], 20)],
        74,
        1.4,
        taper=True,
    )
    picture = multiplied(picture, shadow(ImageChops.lighter(blade, handle), (40, 54), 22, 0.5))
    picture = inked(picture, blade, (120, 122, 126))
    picture = inked(
        picture,
        line_mask(picture.size, [[(x - 2, y - 4), (far[0] - 2, far[1] - 4)]], 4, 0.8),
        (230, 232, 236),
        0.8,
    )
    wood = tinted(spread("wood", picture.size, "awl", 0.8), (120, 60, 24), (206, 126, 66))
    return Image.composite(shaded(wood, relief(small_blur(handle, 18, 4), 6, 1.4)), picture, handle)


def rust_run(size: Size, seed: str) -> Image.Image:
    """Rust weeping down a stone sill from the foot of a wire guard."""
    random = Random(seed)
    picture = dressed_stone(size, seed)
    runs = Image.new("L", size, 0)
    draw = ImageDraw.Draw(runs)
    x0 = size[0] * 0.5
    for _ in range(26):
        x = x0 + random.gauss(0, size[0] * 0.05)
        foot = size[1] * random.uniform(0.45, 1.05)
        draw.polygon(
            [(x - 9, size[1] * 0.2), (x + 9, size[1] * 0.2), (x + random.uniform(-4, 4), foot)],
            fill=random.randrange(120, 256),
        )
    stain = ImageChops.multiply(
        small_blur(runs, 18, 4), curve(spread("streaks", size, seed, 0.8), 0, 190)
    )
    picture = inked(picture, stain, (142, 72, 26), 0.85)
    from_top = size[1] * 0.2
    plate = Image.new("L", size, 0)
    ImageDraw.Draw(plate).rectangle((x0 - 70, from_top - 110, x0 + 70, from_top + 16), fill=255)
    iron = tinted(spread("pits", size, seed, 2), (58, 34, 22), (158, 92, 50))
    iron = shaded(
        iron,
        relief(Image.blend(spread("pits", size, seed, 2), small_blur(plate, 8, 2), 0.4), 3, 1.6),
    )
    picture = multiplied(picture, shadow(plate, (10, 14), 14, 0.55))
    picture = Image.composite(iron, picture, plate.filter(ImageFilter.GaussianBlur(1.2)))
    wires = [
        [(x0 - 420 + 120 * k, -10), (x0 - 420 + 120 * k + random.uniform(-3, 3), from_top - 40)]
        for k in range(8)
    ]
    wires.append([(x0 - 520, from_top - 46), (x0 + 520, from_top - 40)])
    mesh = line_mask(size, wires, 13, 0.9)
    picture = multiplied(picture, shadow(mesh, (22, 26), 14, 0.4))
    return finished(Image.composite(iron, picture, mesh), seed, 0.02, 5)
