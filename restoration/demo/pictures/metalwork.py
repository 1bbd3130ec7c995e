"""Ventilators, wire guards and sealant at the edge of a window."""

from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from restoration.demo.pictures.closeview import Subject, lit_from_both_sides
from restoration.demo.pictures.geometry import Point, moved
from restoration.demo.pictures.hands import cut_in, inked, jagged, line_mask
from restoration.demo.pictures.light import multiplied, relief, shaded, shadow, small_blur
from restoration.demo.pictures.stonework import dark_glazing, dressed_stone
from restoration.demo.pictures.textures import Size, clouds, curve, spread, tinted
from restoration.demo.pictures.window import finished


def seized_ventilator(subject: Subject, panel: str, size: Size, seed: str) -> Image.Image:
    """A bronze hopper frame in the foot of a panel, painted shut."""
    random = Random(seed)
    scale = size[0] / 640
    x, _ = subject.panel_centre(panel)
    work = subject.near(size, scale, (x, subject.shape.height - 250))
    picture = lit_from_both_sides(work, seed, 0.6, 0.9)
    wide, high = 356 * scale, 254 * scale
    left, top = (size[0] - wide) / 2, (size[1] - high) / 2 + 10
    frame = Image.new("L", size, 0)
    draw = ImageDraw.Draw(frame)
    rim = 21 * scale
    draw.rectangle((left, top, left + wide, top + high), fill=255)
    draw.rectangle((left + rim, top + rim, left + wide - rim, top + high - rim), fill=0)
    for share in (0.22, 0.78):
        x0 = left + wide * share
        draw.rectangle(
            (x0 - 16 * scale, top + high - rim - 8, x0 + 16 * scale, top + high + 15 * scale),
            fill=255,
        )
    draw.rounded_rectangle(
        (left + wide * 0.43, top - 15 * scale, left + wide * 0.57, top + rim), 6 * scale, fill=255
    )
    draw.ellipse(
        (left + wide * 0.47, top - 34 * scale, left + wide * 0.53, top - 8 * scale), fill=255
    )
    return finished(
        _painted_metal(picture, frame, (left, top, left + wide, top + high), random, seed, scale),
        seed,
        0.02,
    )


def _painted_metal(
    picture: Image.Image,
    frame: Image.Image,
    box: tuple[float, float, float, float],
    random: Random,
    seed: str,
    scale: float,
) -> Image.Image:
    size = picture.size
    soft = frame.filter(ImageFilter.GaussianBlur(1.2))
    picture = multiplied(picture, shadow(soft, (10, 12), 12, 0.6))
    paint = tinted(spread("blotches", size, seed, 0.8), (58, 66, 60), (104, 112, 102))
    bronze = tinted(spread("pits", size, seed, 1.6), (66, 44, 26), (170, 122, 74))
    chipped = curve(clouds(f"chips {seed}", size, (150, 150), 5), 158, 166)
    metal = Image.composite(bronze, paint, chipped)
    height = Image.blend(small_blur(soft, 7 * scale, 2), ImageChops.invert(chipped), 0.14)
    metal = shaded(metal, relief(height, 4, 1.5))
    drips = [
        [(x, y), (x + random.uniform(-3, 3), y + random.uniform(20, 70))]
        for x, y in (
            (random.uniform(box[0], box[2]), random.choice((box[1] + 20 * scale, box[3] - 6)))
            for _ in range(16)
        )
    ]
    runs = line_mask(size, drips, 8, 2.0, taper=True)
    picture = Image.composite(metal, picture, soft)
    picture = inked(picture, runs, (112, 120, 110), 0.8)
    seam = [
        jagged(
            random,
            (box[0] + 21 * scale, box[1] + 12 * scale),
            (box[2] - 21 * scale, box[1] + 12 * scale),
            0.004,
        )
    ]
    return cut_in(picture, line_mask(size, seam, 3), (30, 30, 28), 2)


def loose_guard(subject: Subject, size: Size, seed: str) -> Image.Image:
    """The corner of a wire guard that has come off the wall, seen from outside."""
    random = Random(seed)
    edge = round(size[0] * 0.34)
    picture = dark_glazing(subject, size, seed)
    stone = dressed_stone((edge, size[1]), seed)
    picture.paste(stone, (0, 0))
    head = dressed_stone((size[0], round(size[1] * 0.2)), f"head {seed}")
    picture.paste(head, (0, 0))
    reveal = Image.new("L", size, 255)
    reveal.paste(0, (edge, round(size[1] * 0.2), *size))
    picture = multiplied(picture, ImageChops.lighter(shadow(reveal, (22, 26), 30, 0.8), reveal))
    picture = shaded(picture, relief(reveal.filter(ImageFilter.GaussianBlur(6)), 5, 0.8))
    _plug_holes(picture, edge, size)
    turn, at = random.uniform(4, 6), (edge - 60.0, size[1] * 0.14)
    mesh = _mesh(size, at, turn)
    picture = multiplied(picture, shadow(mesh, (46, 54), 12, 0.5))
    wire = tinted(spread("pits", size, seed, 1.4), (70, 56, 46), (176, 164, 150))
    wire = inked(wire, curve(spread("blotches", size, seed, 0.9), 110, 190), (134, 74, 36), 0.7)
    wire = shaded(wire, relief(small_blur(mesh, 4, 2), 3, 1.5))
    return finished(Image.composite(wire, picture, mesh), seed, 0.03, 5)


def _plug_holes(picture: Image.Image, edge: int, size: Size) -> None:
    draw = ImageDraw.Draw(picture)
    for y in (0.3, 0.62, 0.94):
        x, cy = edge - 66, size[1] * y
        draw.ellipse((x - 40, cy - 8, x + 40, cy + 110), fill=(128, 82, 44))
        draw.ellipse((x - 17, cy - 17, x + 17, cy + 17), fill=(20, 17, 15))
        draw.arc((x - 19, cy - 19, x + 19, cy + 19), 10, 150, fill=(226, 218, 200), width=4)


def _mesh(size: Size, corner: Point, turn: float) -> Image.Image:
    """Return the wires of a guard, hung out of true from one corner, with its frame."""
    lines = []
    step, wide, high = 62.0, size[0] * 1.1, size[1] * 1.2
    for k in range(1, 32):
        lines.append(moved([(k * step, 0), (k * step + 4, high)], corner, turn))
        lines.append(moved([(0, k * step), (wide, k * step + 3)], corner, turn))
    mesh = line_mask(size, lines, 7, 0.8)
    frame = [moved([(0, 0), (wide, 0)], corner, turn), moved([(0, 0), (0, high)], corner, turn)]
    mesh = ImageChops.lighter(mesh, line_mask(size, frame, 28, 0.9))
    lugs = Image.new("L", size, 0)
    draw = ImageDraw.Draw(lugs)
    for y in (0.12, 0.42, 0.72):
        draw.polygon(
            moved(
                [(-70, y * high), (10, y * high - 16), (10, y * high + 40), (-70, y * high + 26)],
                corner,
                turn,
            ),
            fill=255,
        )
        draw.ellipse(_box(moved([(-48, y * high + 10)], corner, turn)[0], 11), fill=0)
    return ImageChops.lighter(mesh, lugs.filter(ImageFilter.GaussianBlur(0.9)))


def _box(at: Point, r: float) -> tuple[float, float, float, float]:
    return at[0] - r, at[1] - r, at[0] + r, at[1] + r


def attacked_lead(subject: Subject, size: Size, seed: str) -> Image.Image:
    """A smear of sealant along an edge lead that has gone white and crumbles."""
    random = Random(seed)
    edge = round(size[0] * 0.6)
    picture = dark_glazing(subject, size, seed)
    picture.paste(dressed_stone((size[0] - edge, size[1]), seed), (edge, 0))
    band = Image.new("L", size, 0)
    ImageDraw.Draw(band).rectangle((edge - 190, 0, edge - 30, size[1]), fill=255)
    lead = tinted(spread("pits", size, seed, 2.2), (84, 86, 88), (156, 158, 160))
    white = curve(clouds(f"white {seed}", size, (190, 260), 6), 96, 150)
    crust = tinted(spread("pits", size, f"crust {seed}", 2.0), (178, 178, 170), (248, 248, 242))
    lead = Image.composite(
        shaded(crust, relief(clouds(f"crumb {seed}", size, (30, 30), 3), 3, 1.8)), lead, white
    )
    lead = shaded(lead, relief(small_blur(band, 26, 4), 8, 1.0))
    picture = Image.composite(lead, picture, band.filter(ImageFilter.GaussianBlur(1.5)))
    left = jagged(random, (edge - 78, -10), (edge - 60, size[1] + 10), 0.016, 6)
    right = jagged(random, (edge + 66, size[1] + 10), (edge + 44, -10), 0.02, 6)
    bead = Image.new("L", size, 0)
    ImageDraw.Draw(bead).polygon(left + right, fill=255)
    bead = bead.filter(ImageFilter.GaussianBlur(3))
    rubber = tinted(spread("blotches", size, seed, 1.2), (150, 150, 142), (214, 214, 204))
    folds = Image.blend(small_blur(bead, 22, 4), spread("reamy", size, seed, 0.8), 0.3)
    rubber = shaded(rubber, relief(folds, 6, 1.8))
    picture = multiplied(picture, shadow(bead, (8, 10), 12, 0.5))
    picture = Image.composite(rubber, picture, bead.point([round(v * 0.94) for v in range(256)]))
    cut = jagged(random, (edge - 96, size[1] * 0.5), (edge + 70, size[1] * 0.47), 0.04)
    return finished(cut_in(picture, line_mask(size, [cut], 5), (34, 32, 30), 3), seed, 0.02, 5)
