"""Close views of glass that is cracked, holed, missing, slipped, loose or losing its paint."""

import math
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from restoration.demo.pictures.closeview import Subject, lit_from_both_sides
from restoration.demo.pictures.develop import lead_mask
from restoration.demo.pictures.geometry import Point, Ring, ellipse, moved
from restoration.demo.pictures.hands import inked, jagged, laid_on, line_mask, shards, tape
from restoration.demo.pictures.leadwork import FINE, Leadwork, middle, value_at
from restoration.demo.pictures.light import multiplied, outdoors, shadow, small_blur
from restoration.demo.pictures.textures import Colour, Size, curve, spread
from restoration.demo.pictures.window import finished


def centre_of(subject: Subject, panel: str, seed: str, reach: float = 120) -> Point:
    """Return a place in a panel, the same for the same seed."""
    random = Random(f"place {seed}")
    x, y = subject.panel_centre(panel)
    return x + random.uniform(-reach, reach), y + random.uniform(-reach, reach)


def in_frame(work: Leadwork, number: int) -> Point:
    """Return the middle of a piece, in pixels of the picture."""
    return work.at([middle(work.pieces[number])])[0]


def cracked_pieces(
    subject: Subject, panel: str, size: Size, seed: str, count: int = 2, scale: float = 4.0
) -> Image.Image:
    """Cracks across a few pieces, dirt in some of them."""
    random = Random(seed)
    work = subject.near(size, scale, centre_of(subject, panel, seed))
    picture = lit_from_both_sides(work, seed, 0.42)
    chosen: list[int] = []
    while len(chosen) < count:
        spot = (size[0] * random.uniform(0.28, 0.72), size[1] * random.uniform(0.28, 0.72))
        found = work.piece_near(spot, 1500)
        chosen.append(found)
    for number in dict.fromkeys(chosen):
        picture = _cracked(picture, work, number, random)
    return finished(picture, seed, 0.02)


def _cracked(picture: Image.Image, work: Leadwork, number: int, random: Random) -> Image.Image:
    ring = work.at(work.pieces[number])
    start = random.choice(ring)
    end = max(ring, key=lambda p: math.dist(p, start) + random.uniform(0, 60))
    main = jagged(random, start, end, 0.05)
    fork = jagged(random, main[len(main) // 3], random.choice(ring), 0.05)
    return glass_cracks(
        picture, ImageChops.multiply(work.seen(number), _off_lead(work)), [main, fork]
    )


def _off_lead(work: Leadwork) -> Image.Image:
    return ImageChops.invert(lead_mask(work))


def glass_cracks(
    picture: Image.Image, where: Image.Image, lines: list[Ring], width: float = 3.2
) -> Image.Image:
    """Return the picture with cracks in the glass: a dark line, a bright edge."""
    cracks = ImageChops.multiply(line_mask(picture.size, lines, width, 0.6), where)
    bright = ImageChops.multiply(ImageChops.offset(cracks, 2, 1), where)
    picture = inked(picture, bright, (255, 255, 250), 0.55)
    dirt = small_blur(cracks, 5, 2).point([min(255, v * 2) for v in range(256)])
    picture = inked(picture, ImageChops.multiply(dirt, where), (30, 26, 20), 0.4)
    return inked(picture, cracks, (18, 16, 14), 0.9)


def missing_piece(
    subject: Subject, panel: str, size: Size, seed: str, scale: float = 4.2
) -> Image.Image:
    """A gap where a piece was: plain daylight, shards left in the lead."""
    random = Random(seed)
    work = subject.near(size, scale, centre_of(subject, panel, seed, 60))
    number = work.piece_near((size[0] / 2, size[1] / 2), 1500)
    picture = lit_from_both_sides(work, seed, 0.5)
    gap = ImageChops.multiply(work.seen(number), _off_lead(work))
    picture.paste(_open_air(size, seed), (0, 0), gap)
    ring = work.at(work.pieces[number])
    sheet = Image.new("L", size, 0)
    draw = ImageDraw.Draw(sheet)
    mid = middle(ring)
    for corner in random.sample(ring, min(3, len(ring))):
        inward = (corner[0] + (mid[0] - corner[0]) * 0.3, corner[1] + (mid[1] - corner[1]) * 0.3)
        side = (corner[0] + random.uniform(-60, 60), corner[1] + random.uniform(-60, 60))
        draw.polygon([*jagged(random, corner, inward, 0.1, 3), side], fill=255)
    remnant = ImageChops.multiply(sheet, gap)
    picture = inked(picture, remnant, work.tints[number], 0.85)
    rim = ImageChops.multiply(small_blur(lead_mask(work), 10, 2), gap)
    picture = inked(
        picture,
        ImageChops.multiply(rim, curve(spread("pits", size, seed, 1.6), 110, 180)),
        (92, 84, 70),
        0.9,
    )
    return finished(picture, seed, 0.02)


def _open_air(size: Size, seed: str) -> Image.Image:
    """Return the bare outdoors as the camera burns it out."""
    view = outdoors(size, f"air {seed}", 1.15, 0.5)
    return Image.blend(view, Image.new("RGB", size, (236, 244, 252)), 0.35)


def slipped_piece(
    subject: Subject, panel: str, size: Size, seed: str, scale: float = 4.6
) -> Image.Image:
    """A piece that has dropped and tips inwards, raw light above it."""
    random = Random(seed)
    work = subject.near(size, scale, centre_of(subject, panel, seed, 60))
    number = work.piece_near((size[0] / 2, size[1] / 2), 2500)
    picture = lit_from_both_sides(work, seed, 0.5)
    gap = ImageChops.multiply(work.seen(number), _off_lead(work))
    loose = picture.copy()
    picture.paste(_open_air(size, seed), (0, 0), gap)
    drop, turn = round(9 * scale), random.choice((-1, 1)) * random.uniform(2.5, 4)
    mid = middle(work.at(work.pieces[number]))
    tilt = gap.rotate(turn, Image.Resampling.BICUBIC, center=mid, translate=(0, drop))
    moved_glass = loose.rotate(turn, Image.Resampling.BICUBIC, center=mid, translate=(0, drop))
    allowed = ImageChops.lighter(gap, ImageChops.multiply(tilt, _below(size, mid[1] + 40)))
    shown = ImageChops.multiply(tilt, allowed)
    picture = multiplied(picture, shadow(shown, (8, 10), 10, 0.4))
    picture.paste(moved_glass, (0, 0), shown)
    edge = ImageChops.subtract(shown, ImageChops.offset(shown, 0, 5))
    return finished(inked(picture, edge, (240, 248, 240), 0.6), seed, 0.025)


def _below(size: Size, level: float) -> Image.Image:
    mask = Image.new("L", size, 0)
    mask.paste(255, (0, int(level), size[0], size[1]))
    return mask.filter(ImageFilter.GaussianBlur(2))


def loose_pieces(
    subject: Subject, panel: str, size: Size, seed: str, count: int = 2
) -> Image.Image:
    """Loose pieces held for the time being with paper tape, light round their edges."""
    random = Random(seed)
    scale = 4.4
    work = subject.near(size, scale, centre_of(subject, panel, seed, 40))
    picture = lit_from_both_sides(work, seed, 0.55)
    for spot in ((0.36, 0.52), (0.66, 0.48))[: max(1, count)]:
        number = work.piece_near((size[0] * spot[0], size[1] * spot[1]), 1500)
        free = ImageChops.multiply(work.seen(number), _off_lead(work))
        light = ImageChops.subtract(free, ImageChops.offset(free, 4, 7))
        picture = inked(picture, light, (255, 252, 240), 0.9)
        x, y = in_frame(work, number)
        for dx, turn in ((-70, random.uniform(24, 34)), (60, random.uniform(-36, -26))):
            strip = tape((round(105 * scale), round(19 * scale)), f"{seed} {dx} {number}", turn)
            picture = laid_on(
                picture,
                strip,
                (round(x + dx - strip.width / 2), round(y - strip.height / 2)),
                4,
                0.35,
            )
    return finished(picture, seed, 0.02)


def shot_hole(subject: Subject, panel: str, size: Size, seed: str) -> Image.Image:
    """A small round hole with a star of cracks and a flaked rim."""
    random = Random(seed)
    scale = 7.5
    work = subject.near(size, scale, centre_of(subject, panel, seed, 60))
    number = work.piece_near((size[0] / 2, size[1] / 2), 1200)
    at = in_frame(work, number)
    picture = lit_from_both_sides(work, seed, 0.45)
    where = ImageChops.multiply(work.seen(number), _off_lead(work))
    lines = []
    for k in range(9):
        a = k * 40 + random.uniform(-14, 14)
        reach = random.uniform(60, 420)
        lines.append(
            jagged(
                random,
                moved([(30, 0)], at, a)[0],
                moved([(reach, 0)], at, a + random.uniform(-8, 8))[0],
                0.05,
            )
        )
    for a in (20, 130, 250):
        start, end = moved([(110, 0), (92, 70)], at, a)
        lines.append(jagged(random, start, end, 0.06, 4))
    picture = glass_cracks(picture, where, lines, 3.0)
    hole = _round_hole(size, at, 8.6 * scale, random)
    rim = ImageChops.subtract(small_blur(_round_hole(size, at, 15 * scale, random), 8, 2), hole)
    picture = inked(picture, ImageChops.multiply(rim, where), (248, 250, 246), 0.62)
    picture.paste(_open_air(size, seed), (0, 0), hole)
    ring = ImageChops.subtract(hole, ImageChops.offset(hole, 4, 4))
    return finished(inked(picture, ring, (40, 40, 44), 0.7), seed, 0.015)


def _round_hole(size: Size, at: Point, r: float, random: Random) -> Image.Image:
    mask = Image.new("L", size, 0)
    rough = [
        (x * random.uniform(0.9, 1.1), y * random.uniform(0.9, 1.1))
        for x, y in ellipse((0, 0), r, r, steps=26)
    ]
    ImageDraw.Draw(mask).polygon(moved(rough, at), fill=255)
    return mask.filter(ImageFilter.GaussianBlur(1.2))


def paint_loss(
    subject: Subject, place: Point, size: Size, seed: str, scale: float = 9.0, flaking: bool = False
) -> Image.Image:
    """Painted lines worn away or flaking off, seen close to."""
    random = Random(seed)
    work = subject.near(size, scale, place)
    _more_lines(work, place, random)
    fine = (size[0] * FINE, size[1] * FINE)
    bare = curve(spread("blotches", fine, seed, 1.1), 118, 146)
    specks = curve(spread("pits", fine, seed, 1.6), 168, 190)
    gone = ImageChops.lighter(bare, specks)
    kept = work.paint.copy()
    work.paint = ImageChops.lighter(work.paint, gone)
    picture = lit_from_both_sides(work, seed, 0.3)
    ghost = ImageChops.multiply(ImageChops.invert(kept), gone).reduce(FINE)
    picture = inked(picture, ghost, (190, 176, 150), 0.2)
    if flaking:
        edge = ImageChops.subtract(gone.reduce(FINE), ImageChops.offset(gone.reduce(FINE), 2, 3))
        there = ImageChops.multiply(edge, ImageChops.invert(kept.reduce(FINE)))
        picture = inked(picture, there, (236, 226, 204), 0.85)
        picture = _lifted_flakes(picture, kept.reduce(FINE), random)
    return finished(picture, seed, 0.015)


def _more_lines(work: Leadwork, place: Point, random: Random) -> None:
    """Paint the fine hatching that only a close view shows."""
    reach = work.size[0] / work.scale / 2
    for _ in range(70):
        x, y = (
            place[0] + random.uniform(-reach, reach),
            place[1] + random.uniform(-reach * 0.7, reach * 0.7),
        )
        turn = 70 + 30 * math.sin(x / 40)
        line = moved([(0, 0), (8, 1.2), (17, 0.4), (26, 2.0)], (x, y), turn)
        work.stroke(line, 0.9, 78)


def _lifted_flakes(picture: Image.Image, paint: Image.Image, random: Random) -> Image.Image:
    sheet = Image.new("L", picture.size, 0)
    draw = ImageDraw.Draw(sheet)
    count = 0
    for _ in range(4000):
        x, y = random.uniform(0, picture.width), random.uniform(0, picture.height)
        if value_at(paint, x, y) < 110:
            for shard in shards(random, (x, y), 3, 1, 9):
                draw.polygon(shard, fill=255)
            count += 1
        if count > 90:
            break
    picture = multiplied(picture, shadow(sheet, (3, 4), 3, 0.5))
    return inked(picture, sheet, (58, 46, 36), 0.95)


def dirty_patch(
    picture: Image.Image, where: Image.Image, colour: Colour, strength: float
) -> Image.Image:
    """Return the picture with a growth or stain over part of it."""
    return inked(picture, where, colour, strength)
