"""Plaques on their windows: held, hanging, bent, eaten, resting on the sill."""

import math
from collections.abc import Callable
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from restoration.demo.pictures.closeview import Subject, lit_from_both_sides
from restoration.demo.pictures.geometry import Point, moved, perspective
from restoration.demo.pictures.hands import inked, laid_on, scale_card
from restoration.demo.pictures.leadwork import Leadwork
from restoration.demo.pictures.light import multiplied, relief, shaded, shadow, small_blur
from restoration.demo.pictures.plates import Plate, dulled, eaten, engraved, tarnished
from restoration.demo.pictures.tabs import drop, smear, tab, torn_tab
from restoration.demo.pictures.textures import Colour, Size, curve, spread, tinted
from restoration.demo.pictures.window import finished

Corner = tuple[int, int]  # (-1 left | 1 right, -1 upper | 1 lower)
CORNERS: tuple[Corner, ...] = ((-1, -1), (1, -1), (1, 1), (-1, 1))


class PlaqueView:
    """A plaque before the foot of its panel, lit by a lamp from the room."""

    def __init__(
        self, subject: Subject, panel: str, plate: Plate, size: Size, seed: str, share: float = 0.56
    ) -> None:
        """share: how much of the picture's width the plate takes."""
        self.plate, self.size, self.seed = plate, size, seed
        self.scale = size[0] * share / plate.width
        x, _ = subject.panel_centre(panel)
        self.centre = (size[0] / 2, size[1] * 0.47)
        work = subject.near(size, self.scale, (x, subject.shape.height - 168))
        self._leads_behind(work)
        self.picture = lit_from_both_sides(work, seed, 0.75, 0.82)
        self.face = dulled(engraved(plate, self.scale, seed), seed)

    def _leads_behind(self, work: Leadwork) -> None:
        """Run two level leads behind the plate, for its tabs to be soldered to."""
        for lower in (-1, 1):
            level = self.corner((0, lower))[1] - lower * 3.0 * self.scale
            y = (level - work.origin[1]) / self.scale
            left = -work.origin[0] / self.scale
            work.came([(left - 20, y - 1), (left + self.size[0] / self.scale + 20, y + 1)], 5.5)

    def corner(self, which: Corner, turn: float = 0.0, about: Corner | None = None) -> Point:
        """Return where a corner of the plate lies when it is turned about one of its corners."""
        half = (self.plate.width * self.scale / 2, self.plate.height * self.scale / 2)
        point = (which[0] * half[0], which[1] * half[1])
        if about is None:
            return moved([point], self.centre, turn)[0]
        pivot = (about[0] * half[0] * 0.93, about[1] * half[1] * 0.88)
        swung = moved([(point[0] - pivot[0], point[1] - pivot[1])], (0, 0), turn)[0]
        return self.centre[0] + pivot[0] + swung[0], self.centre[1] + pivot[1] + swung[1]

    def tabs(self, sound: tuple[Corner, ...], torn: tuple[Corner, ...]) -> None:
        """Solder tabs at corners: sound ones hold, torn ones leave their solder on the lead."""
        for corner in torn:
            smear(self.picture, self.corner(corner), self.scale, self.seed)
        for corner in sound:
            self.tab(self.corner(corner), corner)

    def place(self, turn: float = 0.0, about: Corner | None = None, stand: int = 10) -> None:
        """Lay the plate on the picture, turned clockwise by `turn` degrees."""
        thing = self.face.rotate(-turn, Image.Resampling.BICUBIC, expand=True)
        corners = [self.corner(c, turn, about) for c in CORNERS]
        x = (min(p[0] for p in corners) + max(p[0] for p in corners)) / 2
        y = (min(p[1] for p in corners) + max(p[1] for p in corners)) / 2
        place = (round(x - thing.width / 2), round(y - thing.height / 2))
        alpha = Image.new("L", self.size, 0)
        alpha.paste(thing.getchannel("A"), place)
        self.picture = multiplied(
            self.picture, shadow(alpha, (stand * 2, stand * 2), stand * 2.2, 0.62)
        )
        self.picture.paste(thing.convert("RGB"), place, thing.getchannel("A"))
        edge = ImageChops.subtract(ImageChops.offset(alpha, 2, 2), alpha)
        self.picture = inked(self.picture, edge, (50, 36, 18), 0.8)

    def torn_tab(self, at: Point, toward: float) -> None:
        torn_tab(self.picture, at, toward, self.scale, self.seed)

    def tab(self, at: Point, corner: Corner) -> None:
        tab(self.picture, at, corner, self.scale, self.seed)

    def finished(self, card: bool = True) -> Image.Image:
        if card:
            mm = 50
            strip = scale_card(self.scale, mm, Random(self.seed).uniform(-3, 3))
            place = (round(self.size[0] * 0.05), round(self.size[1] - strip.height * 1.2))
            self.picture = laid_on(self.picture, strip, place, 9)
        return finished(self.picture, self.seed, 0.012, 6)


def hanging(view: PlaqueView, turn: float = 19.0, about: Corner = (1, 1)) -> Image.Image:
    """It hangs by one corner; the other three tabs have let go."""
    left = tuple(c for c in CORNERS if c != about)
    view.tabs((about,), left)
    turn = -turn if about[0] > 0 else turn
    view.place(turn, about, 18)
    for corner, toward in zip(left[:2], (-38.0, 24.0), strict=True):
        x, y = view.corner(corner, turn, about)
        view.torn_tab((x - corner[0] * 14, y - 6), toward + turn)
    view.tab(view.corner(about), about)
    return view.finished()


def partly_held(view: PlaqueView, torn: tuple[Corner, ...]) -> Image.Image:
    """Some tabs have let go; the plate still stands, a little askew."""
    sound = tuple(c for c in CORNERS if c not in torn)
    lean = sum(c[0] * c[1] for c in torn) * 0.9
    view.tabs((), torn)
    view.place(lean, None, 8 + 5 * len(torn))
    for corner in torn:
        x, y = view.corner(corner, lean)
        view.torn_tab((x + corner[0] * 10, y + 8), -14 * corner[0] * corner[1])
    for corner in sound:
        view.tab(view.corner(corner, lean), corner)
    return view.finished()


def held(
    view: PlaqueView, worn: Callable[[Image.Image, str], Image.Image] | None = None
) -> Image.Image:
    """All fixings hold; the plate itself may be worn."""
    if worn is not None:
        view.face = worn(view.face, view.seed)
    view.place(Random(view.seed).uniform(-0.6, 0.6))
    for corner in CORNERS:
        view.tab(view.corner(corner), corner)
    return view.finished()


def bent_end(view: PlaqueView) -> Image.Image:
    """The right end bends toward the room."""
    size = (view.face.width, view.face.height)
    flat = view.face
    fold = round(size[0] * 0.68)
    tip = flat.crop((fold, 0, size[0], size[1]))
    corners: list[Point] = [
        (0, 0),
        (tip.width, tip.height * 0.085),
        (tip.width, tip.height * 0.915),
        (0, tip.height),
    ]
    coefficients = perspective(corners, tip.size)
    swelled = tip.transform(
        tip.size, Image.Transform.PERSPECTIVE, coefficients, Image.Resampling.BICUBIC
    )
    ramp = Image.linear_gradient("L").rotate(90).resize(tip.size)
    colour = ImageChops.screen(swelled.convert("RGB"), tinted(ramp, (0, 0, 0), (92, 84, 64)))
    colour.putalpha(swelled.getchannel("A"))
    whole = flat.copy()
    whole.paste(colour, (fold, 0))
    view.face = whole
    view.place(0.4, None, 16)
    for corner in ((-1, -1), (-1, 1), (1, -1), (1, 1)):
        view.tab(view.corner(corner), corner)
    return view.finished()


def on_one_screw(view: PlaqueView) -> Image.Image:
    """It has turned on the one screw that still holds."""
    about: Corner = (-1, 1)
    _oak_rail(view)
    for corner in CORNERS:
        if corner != about:
            _screw_hole(view, view.corner((corner[0], corner[1])))
    view.place(-27.0, about, 16)
    x, y = view.corner(about)
    _screw_head(view, (x + 5 * view.scale, y - 4.6 * view.scale))
    return view.finished()


def _oak_rail(view: PlaqueView) -> None:
    """Set an oak rail across the picture for the plate to be screwed to."""
    half = round(view.plate.height * view.scale * 0.86)
    top = round(view.centre[1]) - half
    size = (view.size[0], half * 2)
    oak = tinted(spread("wood", size, view.seed, 1.6), (44, 28, 16), (122, 84, 50))
    oak = shaded(oak, relief(spread("wood", size, view.seed, 1.6), 2, 1.1))
    oak.putalpha(255)
    view.picture = laid_on(view.picture, oak, (0, top), 16, 0.6)
    edge = Image.linear_gradient("L").resize((size[0], 18))
    view.picture.paste((188, 150, 104), (0, top), edge.point(lambda v: round((255 - v) * 0.5)))
    clean = Image.new("L", view.size, 0)
    corners = [view.corner(c) for c in CORNERS]
    ImageDraw.Draw(clean).polygon(corners, fill=120)
    view.picture = inked(view.picture, small_blur(clean, 6, 2), (150, 108, 66))


def _screw_hole(view: PlaqueView, at: Point) -> None:
    r = 1.9 * view.scale
    mask = Image.new("L", view.size, 0)
    ImageDraw.Draw(mask).ellipse((at[0] - r, at[1] - r, at[0] + r, at[1] + r), fill=255)
    soft = mask.filter(ImageFilter.GaussianBlur(2))
    view.picture = inked(view.picture, small_blur(mask, 16, 4), (120, 74, 44), 0.5)
    view.picture = inked(view.picture, soft, (12, 10, 9))


def _screw_head(view: PlaqueView, at: Point) -> None:
    r = 3.4 * view.scale
    seat = Image.new("L", view.size, 0)
    ImageDraw.Draw(seat).ellipse(
        (at[0] - r * 1.1, at[1] - r * 1.1, at[0] + r * 1.1, at[1] + r * 1.1), fill=255
    )
    view.picture = inked(view.picture, small_blur(seat, 6, 2), (26, 24, 22), 0.9)
    drop(view.picture, at, r, view.seed)
    slot = Image.new("L", view.size, 0)
    turn = math.radians(32)
    dx, dy = r * 0.8 * math.cos(turn), r * 0.8 * math.sin(turn)
    ImageDraw.Draw(slot).line(
        (at[0] - dx, at[1] - dy, at[0] + dx, at[1] + dy), fill=255, width=round(0.9 * view.scale)
    )
    view.picture = inked(view.picture, slot, (30, 28, 26))


def resting_on_sill(view: PlaqueView) -> Image.Image:
    """Its bead has peeled from whitened lead; it stands on the sill and leans."""
    s = view.scale
    left, top = view.corner((-1, -1))
    mask = Image.new("L", view.size, 0)
    ImageDraw.Draw(mask).rounded_rectangle(
        (left - 5 * s, top - 2 * s, left + 3 * s, top + view.plate.height * s), 3 * s, fill=255
    )
    mask = mask.filter(ImageFilter.GaussianBlur(3))
    white = ImageChops.multiply(
        small_blur(mask, 20, 4), curve(spread("pits", view.size, view.seed, 2.4), 60, 150)
    )
    view.picture = inked(view.picture, white, (226, 226, 218), 0.9)
    bead = tinted(spread("blotches", view.size, view.seed), (176, 176, 168), (232, 232, 226))
    bead = shaded(bead, relief(small_blur(mask, 10, 2), 5, 1.2))
    view.picture = Image.composite(
        bead, view.picture, mask.point([round(v * 0.72) for v in range(256)])
    )
    view.picture = _sill(view)
    view.place(5.0, (1, 1), 14)
    return view.finished(card=False)


def _sill(view: PlaqueView) -> Image.Image:
    level = round(view.corner((1, 1))[1] + 2 * view.scale)
    size = (view.size[0], view.size[1] - level)
    stone = tinted(spread("stone", size, view.seed, 2), (96, 90, 80), (164, 156, 142))
    stone = shaded(stone, relief(spread("pits", size, view.seed, 2), 2, 0.7))
    strip = view.picture.crop((0, level - size[1], view.size[0], level)).transpose(
        Image.Transpose.FLIP_TOP_BOTTOM
    )
    stone = Image.blend(stone, ImageChops.screen(stone, small_blur(strip, 26, 4)), 0.5)
    picture = view.picture.copy()
    picture.paste(stone, (0, level))
    line: Colour = (22, 20, 18)
    ImageDraw.Draw(picture).line((0, level, view.size[0], level), fill=line, width=6)
    return picture


WEAR: dict[str, Callable[[Image.Image, str], Image.Image]] = {
    "corroded-item": tarnished,
    "illegible-inscription": eaten,
}
