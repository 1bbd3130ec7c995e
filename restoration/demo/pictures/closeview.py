"""Close views of a window: the same glass as in the whole, nearer, with light on the leads."""

from dataclasses import dataclass

from PIL import Image

from restoration.demo.pictures.develop import transmitted
from restoration.demo.pictures.geometry import Point
from restoration.demo.pictures.leadwork import Leadwork
from restoration.demo.pictures.light import outdoors
from restoration.demo.pictures.textures import Size
from restoration.demo.pictures.window import Composition, WindowShape


@dataclass(frozen=True)
class Subject:
    """One opening as the camera finds it."""

    number: str
    shape: WindowShape
    compose: Composition

    def near(self, size: Size, scale: float, centre: Point) -> Leadwork:
        """Return its leadwork about a point (mm from the upper left), at pixels for a mm."""
        origin = (size[0] / 2 - centre[0] * scale, size[1] / 2 - centre[1] * scale)
        work = Leadwork(size, scale, origin, self.number)
        self.compose(work, self.shape)
        return work

    def panel_centre(self, panel: str) -> Point:
        """Return the middle of a panel such as 3b: third row from the sill, second light."""
        row, light = int(panel[:-1]), "abc".index(panel[-1])
        outline = self.shape.outlines()[min(light, self.shape.lights - 1)]
        x = (min(x for x, _ in outline) + max(x for x, _ in outline)) / 2
        return x, self.shape.height - (row - 0.5) * self.shape.height / self.shape.rows


def lit_from_both_sides(
    work: Leadwork, seed: str, room: float = 0.5, day: float = 0.95
) -> Image.Image:
    """Return the close view with the day behind it and some light from the room."""
    return transmitted(work, seed, outdoors(work.size, seed, day, 0.3), 0.55, room)
