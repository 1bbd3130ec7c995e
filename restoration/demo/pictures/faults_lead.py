"""Close views of leads that have failed: joints, broken came, tired came, ties, cement."""

import math
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter

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
from restoration.demo.pictures.leadwork import FINE, Leadwork, value_at
from restoration.demo.pictures.light import multiplied, relief, shaded, shadow, small_blur
from restoration.demo.pictures.textures import Size, curve, spread, tinted
from restoration.demo.pictures.window import finished

MACRO = 16.0
BRANCH_MM = 8.0


def joint_near(subject: Subject, centre: Point, random: Random) -> Point:
    """Return where a joint that can be seen lies, in millimetres, near a point."""
    work = subject.near((640, 480), 1.0, centre)
    solder = work.solder.load()
    assert solder is not None
    seen = [
        (x, y)
        for x, y in work.joints
        if 40 < x < 600 and 40 < y < 440 and solder[int(x * FINE), int(y * FINE)] == 255
    ]
    met = [at for at in seen if len(branches(work, at)) >= 3] or seen
    if not met:
        return centre
    near = sorted(met, key=lambda p: math.dist(p, (320, 240)))[:5]
    x, y = random.choice(near)
    return x - work.origin[0], y - work.origin[1]


def branches(work: Leadwork, joint: Point) -> list[float]:
    """Return the directions (radians) in which leads run from a joint, given in pixels."""
    leads = work.leads.load()
    assert leads is not None
    hits = []
    for step in range(72):
        turn = math.tau * step / 72
        reach = BRANCH_MM * work.scale
        x = int((joint[0] + reach * math.cos(turn)) * FINE)
        y = int((joint[1] + reach * math.sin(turn)) * FINE)
        inside = 0 <= x < work.leads.width and 0 <= y < work.leads.height
        hits.append(inside and leads[x, y] == 255)
    if all(hits) or not any(hits):
        return []
    start = hits.index(False)
    found, run = [], []
    for step in range(start, start + 73):
        if hits[step % 72]:
            run.append(step)
        elif run:
            found.append(math.tau * sum(run) / len(run) / 72)
            run = []
    return found


def cracked_joint(subject: Subject, panel: str, size: Size, seed: str) -> Image.Image:
    """A joint whose solder has cracked right through."""
    random = Random(seed)
    work = subject.near(size, MACRO, joint_near(subject, subject.panel_centre(panel), random))
    picture = lit_from_both_sides(work, seed, 0.85)
    middle = (size[0] / 2, size[1] / 2)
    along = random.choice(branches(work, middle) or [0.0])
    at = (middle[0] + 1.6 * MACRO * math.cos(along), middle[1] + 1.6 * MACRO * math.sin(along))
    reach = 6.0 * MACRO
    main = jagged(random, *_ends(at, along + math.pi / 2, reach), 0.07)
    branch = jagged(random, main[len(main) // 2], _ends(at, along + 2.6, reach * 0.9)[1], 0.09)
    on_lead = lead_mask(work)
    cleft = ImageChops.multiply(line_mask(size, [main], 8), on_lead)
    fine = ImageChops.multiply(line_mask(size, [branch], 4), on_lead)
    picture = cut_in(cut_in(picture, fine), cleft, (6, 6, 7), 3)
    picture = _crumbs(picture, work, random, seed)
    card = scale_card(MACRO, 40, random.uniform(-4, 4))
    picture = laid_on(picture, card, (round(size[0] * 0.06), round(size[1] * 0.84)), 10)
    return finished(picture, seed, 0.008, 6)


def _ends(middle: Point, turn: float, reach: float) -> tuple[Point, Point]:
    dx, dy = math.cos(turn) * reach, math.sin(turn) * reach
    return (middle[0] - dx, middle[1] - dy), (middle[0] + dx, middle[1] + dy)


def _crumbs(picture: Image.Image, work: Leadwork, random: Random, seed: str) -> Image.Image:
    """Return the picture with dry cement showing in the angle between leads and glass."""
    mask = lead_mask(work)
    wide = curve(mask.filter(ImageFilter.GaussianBlur(0.9 * work.scale)), 50, 90)
    band = ImageChops.subtract(wide, mask)
    patches = curve(spread("blotches", picture.size, seed, max(0.3, work.scale / 30)), 120, 200)
    grit = ImageChops.multiply(patches, curve(spread("pits", picture.size, seed, 1.0), 40, 160))
    return inked(picture, ImageChops.multiply(band, grit), (126, 112, 92), 0.75)


def broken_came(subject: Subject, panel: str, size: Size, seed: str) -> Image.Image:
    """A lead broken across beside a joint, daylight in the break."""
    random = Random(seed)
    work = subject.near(size, MACRO, joint_near(subject, subject.panel_centre(panel), random))
    picture = lit_from_both_sides(work, seed, 0.8)
    middle = (size[0] / 2, size[1] / 2)
    along = random.choice(branches(work, middle) or [0.0])
    off = 10.5 * MACRO
    at = (middle[0] + off * math.cos(along), middle[1] + off * math.sin(along))
    on_lead = lead_mask(work)
    line = jagged(random, *_ends(at, along + math.pi / 2 + 0.2, 5.6 * MACRO), 0.06)
    picture = cut_in(
        picture, ImageChops.multiply(line_mask(size, [line], 13), on_lead), (8, 8, 9), 3
    )
    light = ImageChops.multiply(line_mask(size, [line[6:-6]], 5, 1.0, taper=True), on_lead)
    picture = inked(picture, light, (246, 240, 214), 0.9)
    picture = _crumbs(picture, work, random, seed)
    card = scale_card(MACRO, 40, random.uniform(-4, 4))
    return finished(
        laid_on(picture, card, (round(size[0] * 0.62), round(size[1] * 0.85)), 10), seed, 0.008
    )


def tired_came(subject: Subject, panel: str, size: Size, seed: str) -> Image.Image:
    """Leads crossed by many fine cracks, whitish and thin."""
    random = Random(seed)
    scale = 9.0
    work = subject.near(size, scale, joint_near(subject, subject.panel_centre(panel), random))
    picture = lit_from_both_sides(work, seed, 0.8)
    on_lead = lead_mask(work)
    bloom = curve(spread("blotches", size, f"white {seed}", 0.8), 120, 230)
    picture = inked(picture, ImageChops.multiply(on_lead, bloom), (176, 178, 176), 0.5)
    lines: list[Ring] = []
    while len(lines) < 90:
        x, y = random.uniform(0, size[0]), random.uniform(0, size[1])
        if value_at(on_lead, x, y):
            lines.append(
                jagged(random, *_ends((x, y), random.uniform(0, math.pi), 5 * scale), 0.1, 4)
            )
    cracks = ImageChops.multiply(line_mask(size, lines, 3, 0.6, taper=True), on_lead)
    picture = cut_in(picture, cracks, (16, 15, 15), 2)
    return finished(_crumbs(picture, work, random, seed), seed, 0.012)


def perished_cement(subject: Subject, panel: str, size: Size, seed: str) -> Image.Image:
    """Leads in raking light with daylight under their leaves, crumbs lying on them."""
    random = Random(seed)
    scale = 8.0
    x, _ = subject.panel_centre(panel)
    work = subject.near(size, scale, (x - 310, subject.shape.height - 90))
    picture = lit_from_both_sides(work, seed, 0.95, 1.25)
    mask = lead_mask(work)
    wide = curve(mask.filter(ImageFilter.GaussianBlur(0.8 * scale)), 70, 110)
    under = ImageChops.subtract(ImageChops.offset(wide, 2, -4), mask)
    gaps = curve(spread("blotches", size, seed, 0.45), 118, 150)
    picture = inked(picture, ImageChops.multiply(under, gaps), (255, 252, 236), 0.95)
    picture = _crumbs(picture, work, random, seed)
    picture = _fallen(picture, mask, random, seed)
    card = scale_card(scale, 50, random.uniform(-4, 4))
    return finished(
        laid_on(picture, card, (round(size[0] * 0.66), round(size[1] * 0.06)), 8), seed, 0.015
    )


def _fallen(picture: Image.Image, mask: Image.Image, random: Random, seed: str) -> Image.Image:
    """Return the picture with crumbs of cement heaped on the leads that run level."""
    sheet = Image.new("L", picture.size, 0)
    draw = ImageDraw.Draw(sheet)
    for _ in range(60):
        x, y = (
            random.uniform(0, picture.width),
            random.uniform(picture.height * 0.3, picture.height),
        )
        if value_at(mask, x, y):
            for shard in shards(random, (x, y - 6), 26, 12, 7):
                draw.polygon(shard, fill=random.randrange(150, 256))
    grit = shaded(
        tinted(spread("pits", picture.size, seed, 0.6), (92, 82, 68), (176, 162, 138)),
        relief(sheet, 2, 1.4),
    )
    return Image.composite(
        grit,
        multiplied(picture, shadow(sheet, (4, 5), 6, 0.5)),
        sheet.filter(ImageFilter.GaussianBlur(0.6)),
    )


def broken_ties(subject: Subject, panel: str, size: Size, seed: str) -> Image.Image:
    """A saddle bar close to, one tie holding and two that have let go."""
    scale = 5.2
    x, y = subject.panel_centre(panel)
    views = [(x + dx, y + dy) for dx in (-190, -60, 70, 200) for dy in (90, 230, 360)]
    little = (size[0] // 4, size[1] // 4)
    best = max(views, key=lambda at: len(_level_with_leads(subject.near(little, scale / 4, at))[1]))
    work = subject.near(size, scale, best)
    picture = lit_from_both_sides(work, seed, 0.7)
    level, places = _level_with_leads(work)
    for at in places:
        picture = _solder_spot(picture, (at, level), scale, seed)
    picture = _bar_across(picture, level, 9.5 * scale, seed)
    for at, state in zip(places, ("snapped", "gone", "sound", "sound"), strict=False):
        picture = _tie(picture, (at, level), scale, state)
    return finished(picture, seed, 0.02)


def _level_with_leads(work: Leadwork) -> tuple[float, list[float]]:
    """Return the level that most leads cross well apart, and where they cross it."""
    mask = lead_mask(work)
    best: tuple[float, list[float]] = (work.size[1] / 2, [])
    for share in range(34, 66, 2):
        y = work.size[1] * share // 100
        row = mask.crop((0, y, work.size[0], y + 1)).tobytes()
        found: list[float] = []
        start = None
        for x, value in enumerate([*row, 0]):
            if value > 128 and start is None:
                start = x
            elif value <= 128 and start is not None:
                width, centre = x - start, (x + start) / 2
                apart = not found or centre - found[-1] > work.size[0] * 0.16
                if width < 16 * work.scale and apart and 0.08 < centre / work.size[0] < 0.92:
                    found.append(centre)
                start = None
        if len(found) > len(best[1]):
            best = (float(y), found[:4])
    return best


def _bar_across(picture: Image.Image, level: float, wide: float, seed: str) -> Image.Image:
    """Return the picture with a round iron bar across it, painted once and rusting."""
    width, high = picture.width, round(wide)
    round_off = Image.linear_gradient("L").resize((width, high))
    form = round_off.point(
        [
            round(70 + 150 * math.sin(math.pi * min(1, v / 210)) ** 1.4 - v * 0.25) if v else 60
            for v in range(256)
        ]
    )
    iron = tinted(spread("pits", (width, high), seed, 1.4), (38, 34, 32), (78, 70, 64))
    rust = curve(spread("blotches", (width, high), f"rust {seed}", 0.9), 120, 190)
    iron.paste((112, 62, 32), (0, 0), rust.point([round(v * 0.7) for v in range(256)]))
    bar = shaded(multiplied(iron, form.point([min(255, round(v * 1.3)) for v in range(256)])), form)
    bar.putalpha(255)
    return laid_on(picture, bar, (0, round(level - wide / 2)), 14, 0.6)


def _solder_spot(picture: Image.Image, at: Point, scale: float, seed: str) -> Image.Image:
    mask = Image.new("L", picture.size, 0)
    r = 7 * scale
    ImageDraw.Draw(mask).ellipse((at[0] - r, at[1] - r * 1.5, at[0] + r, at[1] + r * 1.5), fill=255)
    mask = mask.filter(ImageFilter.GaussianBlur(2))
    metal = tinted(spread("pits", picture.size, seed, 2), (96, 96, 100), (186, 186, 192))
    metal = shaded(metal, relief(small_blur(mask, 9, 2), 4, 1.3))
    return Image.composite(metal, picture, mask)


def _wire(picture: Image.Image, lines: list[list[Point]], wide: float) -> Image.Image:
    """Return the picture with copper wire along the lines: dark rim, brown metal, a glint."""
    whole = line_mask(picture.size, lines, wide, 0.8)
    picture = multiplied(picture, shadow(whole, (7, 9), 7, 0.5))
    picture = inked(picture, whole, (52, 34, 26))
    picture = inked(picture, line_mask(picture.size, lines, wide * 0.66, 1.0), (122, 78, 54))
    lit = [[(x - wide * 0.14, y - wide * 0.16) for x, y in line] for line in lines]
    return inked(picture, line_mask(picture.size, lit, wide * 0.2, 1.0), (222, 174, 142), 0.85)


def _tie(picture: Image.Image, at: Point, scale: float, state: str) -> Image.Image:
    x, y = at
    up, wide = 7.5 * scale, 1.7 * scale
    if state == "sound":
        twist = []
        for phase in (0.0, math.pi):
            twist.append(
                [
                    (
                        x + math.sin(k * 0.9 + phase) * wide * 0.8 + k * 1.6,
                        y + up * 0.5 + k * scale * 0.55,
                    )
                    for k in range(22)
                ]
            )
        loop = [
            bezier([(x - 8, y - up * 1.5), (x - 34, y), (x - 4, y + up * 0.6)], 12),
            bezier([(x + 10, y - up * 1.5), (x + 36, y), (x + 4, y + up * 0.6)], 12),
        ]
        return _wire(picture, loop + twist, wide)
    if state == "snapped":
        ends = [
            bezier(
                [
                    (x - 6, y - up * 1.3),
                    (x - 40, y - up * 2.2),
                    (x - 70, y - up * 1.4),
                    (x - 64, y - up * 0.5),
                ],
                14,
            ),
            bezier([(x + 8, y + up * 1.2), (x + 44, y + up * 2.6), (x + 20, y + up * 3.6)], 12),
        ]
        return _wire(picture, ends, wide)
    left = [bezier([(x, y - up * 1.5), (x + 8, y - up * 1.9), (x + 22, y - up * 2.0)], 8)]
    return _wire(picture, left, wide)
