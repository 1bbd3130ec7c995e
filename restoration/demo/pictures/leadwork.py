"""A leaded net drawn piece by piece: later pieces lie over earlier ones, ringed by came."""

import math
from collections.abc import Callable, Iterable, Sequence
from random import Random
from typing import Final

from PIL import Image, ImageChops, ImageDraw

from restoration.demo.pictures.geometry import Point, Ring, bezier, ellipse, smooth
from restoration.demo.pictures.palette import glass
from restoration.demo.pictures.textures import Colour

FINE: Final = 2  # leads and painted lines are drawn on a sheet this many times finer
LEAD_SWELL: Final = 1.25  # leads look wider than they are: halation and grime
MARKS: Final = 251

ColourOf = Callable[[int, Point], str]


class Leadwork:
    """Sheets of one picture: glass colours, leads, solder and painted lines, in pixels."""

    def __init__(self, size: tuple[int, int], scale: float, origin: Point, seed: str) -> None:
        """scale: pixels for a millimetre. origin: where (0 mm, 0 mm) lies, in pixels."""
        self.size, self.scale, self.origin = size, scale, origin
        self.random = Random(f"leadwork {seed}")
        self._blobs = Random(f"blobs {seed}")  # apart, so that a close view has the same glass
        self.pieces: list[Ring] = []
        self.tints: list[Colour] = []
        self.joints: list[Point] = []  # in pixels of the picture; some lie under later pieces
        fine = (size[0] * FINE, size[1] * FINE)
        self.colours = Image.new("RGB", size, (30, 30, 34))
        self.marks = Image.new("L", size, 0)  # which piece is seen where, by mark_of(number)
        self.leads = Image.new("L", fine, 0)
        self.solder = Image.new("L", fine, 0)
        self.paint = Image.new("L", fine, 255)
        self._draw_colours = ImageDraw.Draw(self.colours)
        self._draw_marks = ImageDraw.Draw(self.marks)
        self._draw_leads = ImageDraw.Draw(self.leads)
        self._draw_solder = ImageDraw.Draw(self.solder)
        self._draw_paint = ImageDraw.Draw(self.paint)

    def at(self, points: Iterable[Point], factor: int = 1) -> list[Point]:
        """Return points in pixels of the sheet that is `factor` times finer."""
        scale, (left, top) = self.scale * factor, self.origin
        return [(x * scale + left * factor, y * scale + top * factor) for x, y in points]

    def piece(
        self,
        ring: Sequence[Point],
        tint: str | Colour,
        lead_mm: float = 6.0,
        joints: Iterable[Point] = (),
        joined: bool = True,
    ) -> None:
        """Set in a piece of glass with the came round it; the leads that meet it are joined."""
        if len(ring) < 3:
            return
        colour = glass(self.random, tint) if isinstance(tint, str) else tint
        self.pieces.append(list(ring))
        self.tints.append(colour)
        near, fine = self.at(ring), self.at(ring, FINE)
        if self._out_of_sight(near):
            return
        met = self._meeting(fine) if joined else []
        self._draw_colours.polygon(near, fill=colour)
        self._draw_marks.polygon(near, fill=mark_of(len(self.pieces) - 1))
        self._draw_leads.polygon(fine, fill=0)
        self._draw_solder.polygon(fine, fill=0)
        self._draw_paint.polygon(fine, fill=255)
        width = max(1, round(lead_mm * LEAD_SWELL * self.scale * FINE))
        self._draw_leads.line([*fine, fine[0], fine[1]], fill=255, width=width, joint="curve")
        for x, y in [*met, *self.at(joints, FINE)]:
            self._blob(x, y, width)

    def tessera(self, rings: Iterable[Ring], tint: ColourOf, lead_mm: float = 5.0) -> None:
        """Set in a ground of many pieces; `tint` names the glass of each from its centre."""
        for number, ring in enumerate(rings):
            if len(ring) >= 3:
                self.piece(ring, tint(number, middle(ring)), lead_mm, joints=ring, joined=False)

    def came(self, line: Sequence[Point], lead_mm: float = 5.0) -> None:
        """Lay a came along a line, across whatever is there."""
        fine = self.at(line, FINE)
        width = max(1, round(lead_mm * LEAD_SWELL * self.scale * FINE))
        self._draw_leads.line(fine, fill=255, width=width, joint="curve")
        for x, y in (fine[0], fine[-1]):
            self._blob(x, y, width)

    def stroke(
        self, line: Sequence[Point], width_mm: float, dark: int = 40, taper: bool = True
    ) -> None:
        """Paint a brush line, thin at its ends."""
        fine = self.at(line, FINE)
        if self._out_of_sight(self.at(line)):
            return
        if len(fine) < 12 and taper:
            fine = smooth(fine, steps=4 if self.scale < 1.5 else 10)
        self._draw_paint.polygon(
            ribbon(fine, max(1.0, width_mm * self.scale * FINE), taper), fill=dark
        )

    def arc(self, start: Point, by: Point, end: Point, width_mm: float, dark: int = 40) -> None:
        """Paint a curved brush line that leans toward the point `by`."""
        self.stroke(bezier([start, by, end]), width_mm, dark)

    def wash(self, ring: Sequence[Point], dark: int = 150) -> None:
        """Paint a flat thin wash over a shape."""
        self._draw_paint.polygon(self.at(ring, FINE), fill=dark)

    def piece_near(self, pixel: Point, least_mm2: float = 900.0) -> int:
        """Return the number of a large enough piece that is seen nearest a pixel."""
        for reach in range(0, max(self.size), 12):
            for turn in range(0, 360, 30):
                x = int(pixel[0] + reach * math.cos(math.radians(turn)))
                y = int(pixel[1] + reach * math.sin(math.radians(turn)))
                if 0 <= x < self.size[0] and 0 <= y < self.size[1]:
                    found = self._topmost(value_at(self.marks, x, y), (x, y))
                    if found is not None and ring_area(self.pieces[found]) >= least_mm2:
                        return found
        return len(self.pieces) - 1

    def seen(self, number: int) -> Image.Image:
        """Return a mask of where a piece is seen, later pieces left out."""
        mask = Image.new("L", self.size, 0)
        ImageDraw.Draw(mask).polygon(self.at(self.pieces[number]), fill=255)
        mark = mark_of(number)
        own = self.marks.point([255 if value == mark else 0 for value in range(256)])
        return ImageChops.multiply(mask, own)

    def _topmost(self, mark: int, pixel: Point) -> int | None:
        x = (pixel[0] - self.origin[0]) / self.scale
        y = (pixel[1] - self.origin[1]) / self.scale
        for number in range(len(self.pieces) - 1, -1, -1):
            if mark_of(number) == mark and holds(self.pieces[number], (x, y)):
                return number
        return None

    def _out_of_sight(self, near: Sequence[Point]) -> bool:
        margin = 20 * self.scale
        return (
            max(x for x, _ in near) < -margin
            or max(y for _, y in near) < -margin
            or min(x for x, _ in near) > self.size[0] + margin
            or min(y for _, y in near) > self.size[1] + margin
        )

    def _blob(self, x: float, y: float, width: int) -> None:
        """Melt a drop of solder on a joint, a little out of round."""
        self.joints.append((x / FINE, y / FINE))
        turn, flat = self._blobs.uniform(0, 180), self._blobs.uniform(0.62, 0.95)
        r = width * self._blobs.uniform(0.66, 0.84)
        drop = [
            (px * self._blobs.uniform(0.94, 1.06), py * self._blobs.uniform(0.94, 1.06))
            for px, py in ellipse((0, 0), r, r * flat, turn, 14)
        ]
        ring = [
            (x + px, y + py) for px, py in (smooth(drop, True, 3) if self.scale > 1.5 else drop)
        ]
        self._draw_leads.polygon(ring, fill=255)
        self._draw_solder.polygon(ring, fill=255)

    def _meeting(self, ring: Sequence[Point]) -> list[Point]:
        """Return where leads already laid cross a new outline (in fine pixels)."""
        sheet = self.leads.load()
        assert sheet is not None
        width, height = self.leads.size
        step = max(3.0, 2.5 * self.scale * FINE)
        found: list[Point] = []
        inside_lead = False
        for (x1, y1), (x2, y2) in zip(ring, [*ring[1:], ring[0]], strict=True):
            count = max(1, int(math.hypot(x2 - x1, y2 - y1) / step))
            for k in range(count):
                x, y = x1 + (x2 - x1) * k / count, y1 + (y2 - y1) * k / count
                if not (0 <= x < width and 0 <= y < height):
                    continue
                here = sheet[int(x), int(y)] == 255
                if here and not inside_lead:
                    found.append((x, y))
                inside_lead = here
        return found


def middle(ring: Sequence[Point]) -> Point:
    return sum(x for x, _ in ring) / len(ring), sum(y for _, y in ring) / len(ring)


def mark_of(number: int) -> int:
    """Return the grey value that marks a piece; the ground between is 0."""
    return 1 + number * 97 % MARKS


def ring_area(ring: Sequence[Point]) -> float:
    return (
        abs(
            sum(
                x1 * y2 - x2 * y1
                for (x1, y1), (x2, y2) in zip(ring, [*ring[1:], ring[0]], strict=True)
            )
        )
        / 2
    )


def holds(ring: Sequence[Point], point: Point) -> bool:
    """Return whether a point lies inside a ring."""
    x, y = point
    inside = False
    for (x1, y1), (x2, y2) in zip(ring, [*ring[1:], ring[0]], strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
            inside = not inside
    return inside


def ribbon(line: Sequence[Point], width: float, taper: bool = True) -> Ring:
    """Return the outline of a brush line of a greatest width."""
    count = len(line) - 1
    upper: Ring = []
    lower: Ring = []
    for k, (x, y) in enumerate(line):
        (x1, y1), (x2, y2) = line[max(k - 1, 0)], line[min(k + 1, count)]
        length = math.hypot(x2 - x1, y2 - y1) or 1.0
        swell = max(0.12, math.sin(math.pi * k / count) ** 0.6) if taper else 1.0
        nx, ny = -(y2 - y1) / length * width * swell / 2, (x2 - x1) / length * width * swell / 2
        upper.append((x + nx, y + ny))
        lower.append((x - nx, y - ny))
    return upper + lower[::-1]


def value_at(sheet: Image.Image, x: float, y: float) -> int:
    """Return the value of one pixel of a grey sheet."""
    value = sheet.getpixel((int(x), int(y)))
    if not isinstance(value, int):
        raise TypeError("only a grey sheet has one value for a pixel")
    return value
