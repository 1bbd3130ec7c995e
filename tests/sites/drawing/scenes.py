"""Ten openings to draw: each head, a traceried window, a rose, and shapes without a head."""

import math

from sites.compute.division import BarSpec, OpeningSpec, TracerySpec, divide
from sites.compute.drawing.elevation import Registered
from sites.compute.drawing.fitting import Elevation
from sites.compute.drawing.items import Attached
from sites.compute.drawing.pins import Wanted
from sites.compute.drawing.scene import DANGER, Badge
from sites.compute.geometry.outlines import OutlineSpec

HEADED = {
    "rectangle": (1800, None),
    "semicircular": (2200, 1600),
    "segmental": (2000, 1800),
    "two-centred": (2600, 1560),
    "four-centred": (2300, 1850),
}


def bars(*heights: float, kind: str = "saddle bar") -> tuple[BarSpec, ...]:
    return tuple(BarSpec(f"{kind} {height}", kind, height) for height in heights)


def headed(shape: str) -> OpeningSpec:
    height, springing = HEADED[shape]
    return OpeningSpec(
        OutlineSpec(
            shape,
            1200,
            height,
            springing=springing,
            small_radius=240 if shape == "four-centred" else None,
        ),
        lights=2,
        mullion=90,
        bars=bars(300, 900, 1500) + bars(600, 1200, kind="division bar"),
    )


def foiled(number: str, foils: int, size: float, x: float, y: float) -> TracerySpec:
    return TracerySpec(f"t{number}", number, "foiled in circle", size, size, x, y, foils=foils)


TRACERY = OpeningSpec(
    OutlineSpec("two-centred", 2400, 4600, springing=2520),
    lights=3,
    mullion=100,
    light_head="two-centred",
    light_springing=2000,
    bars=bars(*range(350, 2000, 350)) + bars(875, 1575, kind="T-bar"),
    tracery=(
        foiled("A1", 4, 440, 760, 3020),
        foiled("A2", 4, 440, 1640, 3020),
        foiled("B1", 6, 760, 1200, 3650),
    ),
)
ROSE = OpeningSpec(
    OutlineSpec("roundel", 3000, 3000),
    tracery=tuple(
        TracerySpec(
            f"tA{place + 1}",
            f"A{place + 1}",
            "roundel",
            640,
            640,
            1500 + 1050 * math.sin(place * math.pi / 4),
            1500 + 1050 * math.cos(place * math.pi / 4),
        )
        for place in range(8)
    ),
)

SPECS: dict[str, OpeningSpec] = {
    **{shape: headed(shape) for shape in HEADED},
    "tracery": TRACERY,
    "rose": ROSE,
    "ellipse": OpeningSpec(OutlineSpec("ellipse", 900, 1300), bars=bars(650, kind="division bar")),
    "vesica": OpeningSpec(OutlineSpec("vesica", 800, 1200)),
    "narrow": OpeningSpec(
        OutlineSpec("two-centred", 400, 4200, springing=3850),
        bars=bars(*range(600, 3700, 600), kind="division bar"),
    ),
}


def elevation(name: str) -> Elevation:
    """The opening with all its panels registered, a plaque on a panel and one on its own place."""
    division = divide(SPECS[name])
    cells = [cell for cell in division.cells if name != "rose" or cell.kind == "tracery"]
    panels = [Registered(f"key {cell.number}", cell.number) for cell in cells]
    middle = division.outline.ring.box.middle
    items = [
        Attached("item P1", "P1", panels[0].key, 200, 90),
        Attached("item P2", "P2", None, 240, 100, middle.x, 500),
    ]
    return Elevation(division, panels, items, to_scale=True)


def badges(of: Elevation) -> dict[str, Badge]:
    """Danger on the first panel, a class on the last, and danger on the first item."""
    keys = [panel.key for panel in of.panels]
    return {
        keys[-1]: Badge("class", 2),
        keys[0]: Badge(DANGER),
        of.items[0].key: Badge(DANGER),
    }


def pins(of: Elevation) -> list[Wanted]:
    """Nine findings of panels and three of items."""
    keys = [panel.key for panel in of.panels]
    some = [Wanted(keys[n % len(keys)], str(n + 1), strong=n % 3 == 0) for n in range(9)]
    first, second = (item.key for item in of.items)
    return [*some, Wanted(first, "40"), Wanted(first, "41", True), Wanted(second, "104")]
