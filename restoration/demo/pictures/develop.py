"""From the sheets of a leadwork to a picture of glass with daylight behind it."""

from PIL import Image, ImageChops, ImageFilter

from restoration.demo.pictures.leadwork import FINE, Leadwork
from restoration.demo.pictures.light import multiplied, relief, shaded, small_blur
from restoration.demo.pictures.textures import ranged, spread, tinted

STREAKS = (("streaks", False, 140), ("streaks", True, 196), ("reamy", False, 150))
EXPOSURE = 1.5


def transmitted(
    work: Leadwork, seed: str, day: Image.Image, dirt: float = 0.5, room: float = 0.0
) -> Image.Image:
    """Return the leadwork seen from inside with the day shining through.

    day: the daylight behind it, the size of the picture.
    dirt: how dark the grime along the leads is, 0 to 1.
    room: how much light falls on the inside face, as from a flash or a lamp, 0 to 1.
    """
    glass = streaked(work, seed)
    glass = ImageChops.multiply(glass, day)
    glass = glass.point([min(255, round(v * EXPOSURE)) for v in range(256)] * 3)
    lines = painted(work, seed)
    glass = multiplied(glass, lines)
    glass = multiplied(glass, matting(lines, work.scale, seed))
    mask = lead_mask(work)
    if dirt:
        glass = multiplied(glass, grime(mask, work.scale, dirt))
    return Image.composite(lead_surface(work, mask, seed, room), glass, mask)


def streaked(work: Leadwork, seed: str) -> Image.Image:
    """Return the colours with the streaks, ream and bubbles of mouth-blown glass."""
    scale = max(0.5, work.scale * 1.1)
    sheet = Image.new("L", work.size, 255)
    for number, (kind, turn, low) in enumerate(STREAKS):
        group = work.marks.point([255 if v % len(STREAKS) == number else 0 for v in range(256)])
        texture = ranged(spread(kind, work.size, f"{seed} {number}", scale, turn), low, 258)
        sheet.paste(texture, (0, 0), group)
    glass = multiplied(work.colours, sheet)
    bubbles = spread("seeds", work.size, seed, max(0.4, work.scale * 0.9))
    return ImageChops.soft_light(glass, Image.merge("RGB", (bubbles,) * 3))


def painted(work: Leadwork, seed: str) -> Image.Image:
    """Return the painted lines, thin in places as a brush leaves them."""
    dry = ranged(spread("pits", work.size, f"brush {seed}", max(1.0, work.scale / 3)), 0, 52)
    return ImageChops.add(work.paint.reduce(FINE), dry)


def matting(lines: Image.Image, scale: float, seed: str) -> Image.Image:
    """Return a multiplier: the soft wash of shading that glass painters lay about their lines."""
    soft = small_blur(lines, 26 * scale, 4).point(
        [min(255, round(v * 0.75 + 66)) for v in range(256)]
    )
    return ImageChops.multiply(soft, ranged(spread("blotches", lines.size, seed, 0.7), 205, 258))


def lead_mask(work: Leadwork) -> Image.Image:
    return work.leads.reduce(FINE)


def grime(mask: Image.Image, scale: float, strength: float) -> Image.Image:
    """Return a multiplier: old cement and dirt lie darkest in the angle beside the lead."""
    near = small_blur(mask, max(3.0, 7 * scale), 4)
    return near.point([round(255 * (1 - strength * (v / 255) ** 1.3)) for v in range(256)])


def lead_surface(work: Leadwork, mask: Image.Image, seed: str, room: float = 0.0) -> Image.Image:
    """Return the leads: nearly black in a dim room, grey and worn metal when lit.

    room: how much light falls on them from this side, 0 to 1.
    """
    solder = work.solder.reduce(FINE)
    if work.scale < 1.5:
        height = mask.filter(ImageFilter.GaussianBlur(max(0.8, work.scale * 1.6)))
    else:
        height = lead_height(mask, solder, work.scale, seed)
    shading = relief(height, max(1, round(work.scale * 0.5)), 1.0 + 0.9 * room)
    worn = Image.blend(
        spread("pits", work.size, seed, max(1.0, work.scale / 5)),
        spread("blotches", work.size, seed, max(0.5, work.scale / 9)),
        0.62,
    )
    low, high = round(16 + 48 * room), round(36 + 88 * room)
    base = tinted(worn, (low, low, low + 1), (high, high, high + 3))
    bright = tinted(worn, (low + 40, low + 40, low + 42), (high + 44, high + 44, high + 48))
    base.paste(bright, (0, 0), solder.point([round(v * 0.75) for v in range(256)]))
    return shaded(base, shading)


def lead_height(mask: Image.Image, solder: Image.Image, scale: float, seed: str) -> Image.Image:
    """Return how the leads stand up from the glass: flat leaves, round edges, swelling solder."""
    leaf = mask.filter(ImageFilter.GaussianBlur(1.1 * scale)).point(
        [round(v * 0.62) for v in range(256)]
    )
    drop = small_blur(solder, 1.7 * scale, 2).point([round(v * 0.5) for v in range(256)])
    rough = ranged(spread("pits", mask.size, f"rough {seed}", max(1.0, scale / 6)), 0, 16)
    return ImageChops.add(ImageChops.add(leaf, drop), rough)
