"""Grain, streaks, stone, metal and rust, made from seeded noise so that each picture repeats."""

from functools import lru_cache
from random import Random
from typing import Final

from PIL import Image, ImageFilter, ImageOps

Size = tuple[int, int]
Colour = tuple[int, int, int]

TILE: Final = 1024
# The coarsest grain of each soft texture, across and down in pixels, and how often it is halved.
SOFT_TEXTURES: Final[dict[str, tuple[Size, int]]] = {
    "streaks": ((34, 420), 4),
    "reamy": ((300, 90), 4),
    "brushed": ((900, 3), 3),
    "pits": ((22, 22), 3),
    "blotches": ((330, 330), 5),
    "wood": ((900, 26), 5),
}


def noise(seed: int | str, size: Size) -> Image.Image:
    """Return white noise, one value a pixel."""
    return Image.frombytes("L", size, Random(f"noise {seed}").randbytes(size[0] * size[1]))


def clouds(seed: int | str, size: Size, cell: Size, octaves: int = 4) -> Image.Image:
    """Return soft noise stretched to the full range; `cell` is its coarsest grain in pixels."""
    width, height = size
    total: Image.Image | None = None
    for octave in range(octaves):
        across = max(2, round(width * 2**octave / cell[0]))
        down = max(2, round(height * 2**octave / cell[1]))
        if across > width or down > height:
            across, down = min(across, width), min(down, height)
        layer = noise(f"{seed} {octave}", (across, down)).resize(size, Image.Resampling.BICUBIC)
        total = layer if total is None else Image.blend(total, layer, 0.34)
    assert total is not None
    return ImageOps.autocontrast(total, cutoff=1)


@lru_cache(maxsize=64)
def tile(kind: str) -> Image.Image:
    """Return a reusable square of texture by name. Raises KeyError for a name unknown."""
    square = (TILE, TILE)
    if kind == "seeds":
        return _seeds(square)
    if kind == "grain":
        return noise(kind, square).filter(ImageFilter.GaussianBlur(0.7))
    if kind == "stone":
        return Image.blend(
            clouds(kind, square, (420, 420), 3), clouds("sand", square, (7, 7), 2), 0.4
        )
    cell, octaves = SOFT_TEXTURES[kind]
    return clouds(kind, square, cell, octaves)


def _seeds(size: Size) -> Image.Image:
    """Return the little bubbles of mouth-blown glass, as light spots on mid grey."""
    random = Random("seeds")
    sheet = Image.new("L", size, 128)
    for _ in range(420):
        x, y, length = random.randrange(size[0]), random.randrange(size[1]), random.randrange(2, 9)
        sheet.paste(random.choice((96, 176, 190)), (x, y, x + random.randrange(1, 4), y + length))
    return sheet.filter(ImageFilter.GaussianBlur(0.8))


@lru_cache(maxsize=32)
def _seamless(kind: str, turn: bool) -> Image.Image:
    """Return the tile with its mirror images, so that it can be cut anywhere without a seam."""
    source = tile(kind).transpose(Image.Transpose.ROTATE_90) if turn else tile(kind)
    sheet = Image.new("L", (2 * TILE, 2 * TILE))
    for left, across in ((0, source), (TILE, ImageOps.mirror(source))):
        sheet.paste(across, (left, 0))
        sheet.paste(ImageOps.flip(across), (left, TILE))
    return sheet


def spread(
    kind: str, size: Size, seed: int | str, scale: float = 1.0, turn: bool = False
) -> Image.Image:
    """Return a texture that fills `size`, cut from its tile at a place that the seed gives."""
    random = Random(f"spread {kind} {seed}")
    source = _seamless(kind, turn)
    scale = max(scale, size[0] / source.width, size[1] / source.height)
    need = (max(1, int(size[0] / scale)), max(1, int(size[1] / scale)))
    left, top = (
        random.randint(0, source.width - need[0]),
        random.randint(0, source.height - need[1]),
    )
    patch = source.crop((left, top, left + need[0], top + need[1]))
    return patch if patch.size == size else patch.resize(size, Image.Resampling.BILINEAR)


def ranged(texture: Image.Image, low: float, high: float) -> Image.Image:
    """Return the texture with its values mapped on to low..high (0-255)."""
    return texture.point([_byte(low + (high - low) * value / 255) for value in range(256)])


def curve(texture: Image.Image, low: float, high: float) -> Image.Image:
    """Return a mask: 0 below `low`, 255 above `high` (0-255), a ramp between."""
    reach = max(1e-6, high - low)
    return texture.point([_byte((value - low) / reach * 255) for value in range(256)])


def tinted(
    texture: Image.Image, dark: Colour, light: Colour, mid: Colour | None = None
) -> Image.Image:
    """Return the grey texture as a range of colours."""
    return ImageOps.colorize(texture, dark, light, mid)


def _byte(value: float) -> int:
    return max(0, min(255, round(value)))
