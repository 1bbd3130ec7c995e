"""Dedication plaques as things: metal, engraving, wear."""

from dataclasses import dataclass
from random import Random
from typing import Final

from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont

from restoration.demo.pictures.hands import inked
from restoration.demo.pictures.letters import font
from restoration.demo.pictures.light import multiplied, relief, shaded, small_blur
from restoration.demo.pictures.textures import Colour, Size, clouds, curve, ranged, spread, tinted

METALS: Final[dict[str, tuple[Colour, Colour]]] = {
    "brass": ((122, 92, 40), (236, 204, 128)),
    "bronze": ((70, 48, 32), (168, 122, 82)),
    "zinc": ((96, 100, 104), (172, 176, 178)),
    "aluminium": ((138, 140, 144), (226, 228, 230)),
    "magnesium": ((112, 114, 116), (198, 200, 200)),
}

LOST_LETTERS: Final = "amerhm"


@dataclass(frozen=True)
class Plate:
    """What a plaque's picture needs to know of it; sizes in millimetres."""

    material: str
    width: float
    height: float
    inscription: str

    def lines(self) -> list[str]:
        """Return the inscription line by line; what can no longer be read was once letters too."""
        return self.inscription.replace("[...]", LOST_LETTERS).split("\n")


def engraved(plate: Plate, px_per_mm: float, seed: str) -> Image.Image:
    """Return the plate as an RGBA picture, seen straight on."""
    size = (round(plate.width * px_per_mm), round(plate.height * px_per_mm))
    metal = _metal(plate.material, size, seed)
    words = _words(plate, size, px_per_mm)
    if plate.material == "bronze":
        metal = _cast(metal, words, px_per_mm)
    else:
        metal = _cut(metal, words, px_per_mm, plate.material)
    metal = _bevelled(metal, px_per_mm)
    corner = Image.new("L", size, 0)
    ImageDraw.Draw(corner).rounded_rectangle(
        (0, 0, size[0] - 1, size[1] - 1), 2.5 * px_per_mm, fill=255
    )
    metal.putalpha(corner)
    return metal


def _metal(material: str, size: Size, seed: str) -> Image.Image:
    dark, light = METALS[material]
    brush = spread("brushed", size, seed, 1.0)
    sheen = _sheen(size, seed)
    metal = tinted(Image.blend(brush, sheen, 0.8), dark, light)
    return multiplied(metal, ranged(spread("blotches", size, f"hand {seed}", 1.6), 214, 258))


def _sheen(size: Size, seed: str) -> Image.Image:
    """Return the broad reflection of a window or a lamp across a flat polished plate."""
    random = Random(f"sheen {seed}")
    little = (48, 32)
    sheet = Image.new("L", little, 92)
    draw = ImageDraw.Draw(sheet)
    x = random.uniform(6, 36)
    draw.polygon([(x, -4), (x + 16, -4), (x + 2, 36), (x - 16, 36)], fill=236)
    draw.polygon([(x + 22, -4), (x + 27, -4), (x + 12, 36), (x + 7, 36)], fill=180)
    return sheet.filter(ImageFilter.GaussianBlur(3.2)).resize(size, Image.Resampling.BICUBIC)


def _words(plate: Plate, size: Size, px_per_mm: float) -> Image.Image:
    """Return the inscription as a mask, a name largest, within a fine border line."""
    sheet = Image.new("L", size, 0)
    draw = ImageDraw.Draw(sheet)
    rim = 3.4 * px_per_mm
    draw.rounded_rectangle(
        (rim, rim, size[0] - rim, size[1] - rim),
        1.6 * px_per_mm,
        outline=255,
        width=max(1, round(0.35 * px_per_mm)),
    )
    lines = plate.lines()
    weights = [1.25 if k == _name_line(lines) else 1.0 for k in range(len(lines))]
    pitch = (size[1] - 4.4 * rim) / (sum(weights) * 1.34)
    y = 2.2 * rim + pitch * 0.1
    for line, weight in zip(lines, weights, strict=True):
        face = "bold" if weight > 1 else "regular"
        letter = _fitted(face, line, pitch * weight, size[0] - 3.6 * rim)
        draw.text(
            (size[0] / 2, y + pitch * weight * 0.62), line, font=letter, fill=255, anchor="mm"
        )
        y += pitch * weight * 1.34
    return sheet


def _name_line(lines: list[str]) -> int:
    """Return which line is cut larger: a name, with more capitals for its length than the rest."""

    def capitals(line: str) -> float:
        if any(c.isdigit() for c in line):
            return 0.0
        return sum(c.isupper() for c in line) / (len(line) + 6)

    return max(range(len(lines)), key=lambda k: capitals(lines[k]))


def _fitted(face: str, text: str, height: float, room: float) -> ImageFont.FreeTypeFont:
    size = max(8, round(height))
    letter = ImageFont.truetype(font(face), size)
    wide = letter.getlength(text)
    if wide > room:
        letter = ImageFont.truetype(font(face), max(8, int(size * room / wide)))
    return letter


def _cut(metal: Image.Image, words: Image.Image, px_per_mm: float, material: str) -> Image.Image:
    """Return the metal with the words engraved and filled with dark wax."""
    lip = max(1, round(px_per_mm * 0.14))
    lit = ImageChops.subtract(ImageChops.offset(words, lip, lip), words)
    fill: Colour = (34, 24, 14) if material == "brass" else (38, 38, 40)
    return inked(inked(metal, lit, (255, 246, 216), 0.55), words, fill, 0.92)


def _cast(metal: Image.Image, words: Image.Image, px_per_mm: float) -> Image.Image:
    """Return the metal with raised letters, their faces rubbed bright."""
    height = words.filter(ImageFilter.GaussianBlur(0.35 * px_per_mm))
    ground = multiplied(metal, ranged(spread("pits", metal.size, "cast", 1.4), 110, 190))
    raised = Image.composite(metal, ground, words)
    return shaded(raised, relief(height, max(1, round(px_per_mm * 0.25)), 1.5))


def _bevelled(metal: Image.Image, px_per_mm: float) -> Image.Image:
    inner = Image.new("L", metal.size, 0)
    edge = round(1.6 * px_per_mm)
    ImageDraw.Draw(inner).rectangle((edge, edge, metal.width - edge, metal.height - edge), fill=255)
    return shaded(
        metal,
        relief(inner.filter(ImageFilter.GaussianBlur(px_per_mm * 0.5)), max(1, edge // 2), 0.8),
    )


def tarnished(plate: Image.Image, seed: str, share: float = 0.75) -> Image.Image:
    """Return the plate with dark tarnish spreading from the top, green at its edges."""
    size = plate.size
    alpha = plate.getchannel("A")
    face = plate.convert("RGB")
    fall = ImageChops.invert(Image.linear_gradient("L").resize(size))
    spots = clouds(f"tarnish {seed}", size, (size[0] // 3, size[1] // 2), 5)
    film = Image.blend(spots, fall, 0.42)
    low = 255 * (1 - share)
    face = inked(face, curve(film, low - 20, low + 60), (84, 54, 34), 0.56)
    rim = ImageChops.multiply(
        curve(film, low - 40, low - 4), ImageChops.invert(curve(film, low, low + 40))
    )
    face = inked(
        face,
        ImageChops.multiply(rim, curve(spread("pits", size, seed, 2), 90, 170)),
        (98, 146, 122),
        0.6,
    )
    face = inked(
        face, curve(spread("pits", size, f"spots {seed}", 1.2), 196, 220), (44, 30, 24), 0.6
    )
    face.putalpha(alpha)
    return face


def eaten(plate: Image.Image, seed: str) -> Image.Image:
    """Return the plate with its right and lower part wasted and its letters gone there."""
    size = plate.size
    face = plate.convert("RGB")
    ramp = Image.linear_gradient("L").rotate(90).resize(size)
    ramp = Image.blend(ramp, Image.linear_gradient("L").resize(size), 0.22)
    rough = clouds(f"eaten {seed}", size, (size[0] // 4, size[1] // 3), 6)
    loss = Image.blend(ramp, rough, 0.36)
    gone = curve(loss, 146, 158)
    crust = tinted(spread("pits", size, seed, 2.2), (104, 106, 102), (206, 206, 198))
    crust = shaded(crust, relief(spread("pits", size, f"crust {seed}", 1.5), 2, 1.6))
    face = Image.composite(crust, face, gone)
    edge = ImageChops.subtract(curve(loss, 138, 150), gone)
    face = inked(face, edge, (52, 50, 48), 0.7)
    holes = curve(loss, 208, 214)
    alpha = ImageChops.multiply(plate.getchannel("A"), ImageChops.invert(holes))
    face.putalpha(alpha)
    return face


def dulled(plate: Image.Image, seed: str) -> Image.Image:
    """Return the plate with fingermarks, old polish in its corners and a grey film."""
    alpha = plate.getchannel("A")
    face = plate.convert("RGB")
    film = curve(spread("blotches", plate.size, f"film {seed}", 1.0), 110, 240)
    face = inked(face, film, (150, 140, 118), 0.28)
    rim = ImageChops.invert(
        small_blur(alpha.crop((6, 6, plate.width - 6, plate.height - 6)).resize(plate.size), 16, 4)
    )
    face = inked(face, rim, (196, 190, 170), 0.3)
    face.putalpha(alpha)
    return face
