"""Light on and through things: relief shading, bloom, vignette, grain, and the day outside."""

from functools import lru_cache
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from restoration.demo.pictures.geometry import Point, perspective
from restoration.demo.pictures.textures import Colour, Size, clouds, curve, ranged, spread, tinted


def relief(height: Image.Image, reach: int = 2, gain: float = 1.0) -> Image.Image:
    """Return the shading of a height picture lit from the upper left; 128 is a level place."""
    toward = ImageChops.offset(height, reach, reach)
    away = ImageChops.offset(height, -reach, -reach)
    return ImageChops.subtract(away, toward, scale=2.0 / gain, offset=128)


def shaded(surface: Image.Image, shading: Image.Image) -> Image.Image:
    """Return a surface with its relief: dark slopes darker, lit slopes lighter."""
    return ImageChops.overlay(surface, Image.merge("RGB", (shading,) * 3))


def multiplied(picture: Image.Image, grey: Image.Image) -> Image.Image:
    return ImageChops.multiply(picture, Image.merge("RGB", (grey,) * 3))


def small_blur(picture: Image.Image, radius: float, shrink: int = 8) -> Image.Image:
    """Return the picture blurred widely, worked out on a smaller copy."""
    size = (max(2, picture.width // shrink), max(2, picture.height // shrink))
    little = picture.resize(size, Image.Resampling.BOX)
    little = little.filter(ImageFilter.GaussianBlur(max(0.5, radius / shrink)))
    return little.resize(picture.size, Image.Resampling.BILINEAR)


def bloom(picture: Image.Image, strength: float, radius: float) -> Image.Image:
    """Return the picture with the glow that bright glass throws over what is beside it."""
    glow = small_blur(picture, radius)
    glow = glow.point([round(value * strength) for value in range(256)] * 3)
    return ImageChops.screen(picture, glow)


@lru_cache(maxsize=8)
def _radial(size: Size) -> Image.Image:
    return Image.radial_gradient("L").resize(size, Image.Resampling.BICUBIC)


def vignette(picture: Image.Image, strength: float) -> Image.Image:
    """Return the picture with its corners darkened, as every lens does."""
    fall = [round(255 * (1 - strength * (value / 255) ** 2.2)) for value in range(256)]
    return multiplied(picture, _radial(picture.size).point(fall))


def grain(picture: Image.Image, seed: str, strength: float = 7.0) -> Image.Image:
    """Return the picture with the grain of a sensor at a high setting."""
    speckle = spread("grain", picture.size, seed)
    speckle = speckle.point([round(128 + (value - 128) * strength / 46) for value in range(256)])
    layer = Image.merge("RGB", (speckle, speckle, speckle))
    return ImageChops.add(picture, layer, 1.0, -128)


def balanced(picture: Image.Image, red: float, green: float, blue: float) -> Image.Image:
    """Return the picture with each channel multiplied, as a camera's white balance would."""
    table = []
    for gain in (red, green, blue):
        table += [min(255, round(value * gain)) for value in range(256)]
    return picture.point(table)


def graded(picture: Image.Image, gamma: float = 1.0, contrast: float = 0.0) -> Image.Image:
    """Return the picture with a film-like curve."""
    table = []
    for value in range(256):
        at = (value / 255) ** gamma
        bent = at + contrast * (at - 0.5) * at * (1 - at) * 4
        table.append(max(0, min(255, round(bent * 255))))
    return picture.point(table * 3)


def outdoors(size: Size, seed: str, bright: float = 1.0, leafy: float = 0.55) -> Image.Image:
    """Return the blurred daylight behind a window: sky above, trees and roofs below."""
    little = (96, max(24, round(96 * size[1] / size[0])))
    width, height = little
    sky = Image.linear_gradient("L").resize(little).point(lambda v: round(255 - 0.24 * v))
    sky = Image.blend(sky, ranged(clouds(f"sky {seed}", little, (40, 26), 3), 150, 255), 0.45)
    picture = tinted(sky, (70, 84, 104), (255, 254, 250))
    random = Random(f"outdoors {seed}")
    trees = Image.new("L", little, 0)
    draw = ImageDraw.Draw(trees)
    for _ in range(9):
        x, y = random.uniform(0, width), height * random.uniform(1 - leafy * 0.8, 1.1)
        r = width * random.uniform(0.06, 0.2)
        draw.ellipse((x - r, y - r * 1.2, x + r, y + r * 1.6), fill=round(random.uniform(120, 235)))
    draw.rectangle((0, height * (1 - leafy * 0.22), width, height), fill=190)
    leaves = ImageChops.multiply(trees, ranged(clouds(f"leaf {seed}", little, (9, 9), 3), 120, 255))
    leaves = leaves.filter(ImageFilter.GaussianBlur(2.2))
    picture.paste((84, 104, 74), (0, 0), leaves)
    picture = picture.resize(size, Image.Resampling.BICUBIC)
    return picture if bright == 1.0 else balanced(picture, bright, bright, bright)


def looked_at_askew(picture: Image.Image, seed: str, by: float = 0.02) -> Image.Image:
    """Return the picture as a hand-held camera not quite square to the wall would show it."""
    random = Random(f"askew {seed}")
    width, height = picture.size
    lean, tilt = random.uniform(-by, by), random.uniform(-by, by) * 0.7
    up = random.uniform(0.4, 1.0) * by
    corners: list[Point] = [
        (width * max(0.0, -up + tilt) * 0.5, height * max(0.0, lean)),
        (width * (1 - max(0.0, -up - tilt) * 0.5), height * max(0.0, -lean)),
        (width * (1 - up), height * (1 - max(0.0, lean * 0.6))),
        (width * up, height * (1 - max(0.0, -lean * 0.6))),
    ]
    coefficients = perspective(corners, picture.size)
    return picture.transform(
        picture.size, Image.Transform.PERSPECTIVE, coefficients, Image.Resampling.BILINEAR
    )


def shadow(
    mask: Image.Image, offset: tuple[int, int], radius: float, strength: float
) -> Image.Image:
    """Return a multiplier that darkens what lies behind a thing of this mask."""
    cast = ImageChops.offset(small_blur(mask, radius, 4), *offset)
    return cast.point([round(255 - strength * value) for value in range(256)])


def edges(mask: Image.Image, inner: int, low: int = 20, high: int = 200) -> Image.Image:
    """Return the soft band just inside the border of a mask."""
    soft = small_blur(mask, inner, 4)
    return ImageChops.multiply(mask, curve(ImageChops.invert(soft), low, high))


def lit(surface: Image.Image, colour: Colour, mask: Image.Image) -> Image.Image:
    """Return the surface with light of a colour added where the mask is bright."""
    return ImageChops.screen(surface, tinted(mask, (0, 0, 0), colour))
