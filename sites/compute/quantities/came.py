"""Came: its section and mass by the metre, and how much of it a net of leads takes."""

import math
from dataclasses import dataclass
from typing import Final

from sites.compute.figures import Figures
from sites.compute.quantities.errors import QuantityError
from sites.compute.working import Input, Working

MM2_IN_M2: Final = 1e6
MM_IN_M: Final = 1e3
SECTION_FORMULA: Final = "2 × leaf width × leaf thickness + heart height × heart thickness"
SECTION_SOURCE: Final = (
    "plane geometry, leaf corners square; the leaf of a U is measured from the outer face of its "
    "back, which is its heart"
)
SECTION_PARTS: Final = ("leaf_width", "leaf_thickness", "heart_height", "heart_thickness")
PART_NAMES: Final = {
    "leaf_width": "leaf width",
    "leaf_thickness": "leaf thickness",
    "heart_height": "heart height",
    "heart_thickness": "heart thickness",
}


@dataclass(frozen=True)
class Profile:
    """A came as the studio knows it; lengths in mm, None where not measured.

    key: of the studio's own profile, "" for a came nobody has described.
    shape: H or U. weighed_kg_m: kg a metre of a weighed sample, which outranks the section.
    """

    key: str = ""
    name: str = "came not described"
    shape: str = "H"
    leaf_width_mm: float | None = None
    leaf_thickness_mm: float | None = None
    heart_height_mm: float | None = None
    heart_thickness_mm: float | None = None
    weighed_kg_m: float | None = None
    stick_mm: float | None = None

    def part(self, name: str, figures: Figures) -> tuple[float, Input]:
        """Return one measure of the section in mm, its own or the usual one, with its origin."""
        own = getattr(self, f"{name}_mm")
        if own is None:
            return figures.number(f"came.{name}"), figures.input(f"came.{name}")
        return own, Input(f"{self.name}, {PART_NAMES[name]}", f"{own:g} mm", "measured")


def section_area_mm2(
    leaf_width_mm: float,
    leaf_thickness_mm: float,
    heart_height_mm: float,
    heart_thickness_mm: float,
) -> float:
    """Return the area of a came's section in mm², of an H or a U alike.

    heart_height_mm: clear between the leaves.

    An H is two leaves and the heart between them. A U is the rectangle round it less its mouth:
    leaf × (height + 2t) − (leaf − heart) × height, which comes to the same when the leaf is
    measured from the outer face of the back.

    Raises QuantityError for a measure not above zero, or a heart wider than its leaf.

    Source: plane geometry; the corners of the leaves are taken as square, so a rounded leaf
    weighs less.
    """
    measures = (leaf_width_mm, leaf_thickness_mm, heart_height_mm, heart_thickness_mm)
    for name, measure in zip(SECTION_PARTS, measures, strict=True):
        if not measure > 0:
            raise QuantityError(name, f"The {PART_NAMES[name]} must be above zero.")
    if heart_thickness_mm >= leaf_width_mm:
        raise QuantityError("heart_thickness", "The heart must be thinner than the leaf is wide.")
    return 2 * leaf_width_mm * leaf_thickness_mm + heart_height_mm * heart_thickness_mm


def section_corners(
    shape: str,
    leaf_width_mm: float,
    leaf_thickness_mm: float,
    heart_height_mm: float,
    heart_thickness_mm: float,
) -> tuple[tuple[float, float], ...]:
    """Return the corners of a section in order, in mm from its left foot, to draw it.

    shape: H or U; the back of a U stands on the left. Leaves lie across, the heart upright.
    """
    leaf, thick = leaf_width_mm, leaf_thickness_mm
    near = 0.0 if shape == "U" else (leaf - heart_thickness_mm) / 2
    far = near + heart_thickness_mm
    upper, top = thick + heart_height_mm, 2 * thick + heart_height_mm
    right = ((leaf, 0.0), (leaf, thick), (far, thick), (far, upper), (leaf, upper), (leaf, top))
    left = ((0.0, upper), (near, upper), (near, thick), (0.0, thick)) if near else ()
    return ((0.0, 0.0), *right, (0.0, top), *left)


def kg_a_metre(area_mm2: float, density_kg_m3: float) -> float:
    """Return the mass of a metre of a section in kg."""
    return area_mm2 / MM2_IN_M2 * density_kg_m3


def profile_kg_m(profile: Profile, figures: Figures) -> tuple[float, Working]:
    """Return kg a metre of a profile with its working: as weighed, else from its section.

    Raises QuantityError for a section that cannot be.
    """
    if profile.weighed_kg_m is not None:
        weighed = Input(
            f"{profile.name}, weighed sample", f"{profile.weighed_kg_m:g} kg/m", "measured"
        )
        return profile.weighed_kg_m, Working(
            "as weighed", (weighed,), f"{profile.weighed_kg_m:.4f} kg/m"
        )
    parts = [profile.part(name, figures) for name in SECTION_PARTS]
    area = section_area_mm2(*(measure for measure, _ in parts))
    density = figures.input("came.lead_density")
    mass = kg_a_metre(area, figures.number("came.lead_density"))
    working = Working(
        f"({SECTION_FORMULA}) × density",
        (*(each for _, each in parts), density),
        f"{area:.1f} mm², {mass:.4f} kg/m",
        SECTION_SOURCE,
    )
    return mass, working


def inner_length_mm(pieces: int, area_mm2: float, perimeter_mm: float, edge_factor: float) -> float:
    """Return about how long the leads inside a border are, in mm.

    edge_factor: c, the edge of a mean piece over the root of its area: 4 for squares, 3.722 for
        hexagons, 4.243 for strips twice as long as wide, more in figure work.

    The edges of all pieces count every inner lead twice and the border once:
    (n × c × √(A/n) − P) / 2. One piece has no lead inside.

    Raises QuantityError where the border alone is longer than the edges of so few pieces.

    Source: plane geometry, with every piece taken as of the mean size.
    """
    if pieces < 1:
        raise QuantityError("pieces", f"A panel has at least one piece of glass, not {pieces}.")
    if pieces == 1:
        return 0.0
    inner = (edge_factor * math.sqrt(pieces * area_mm2) - perimeter_mm) / 2
    if inner <= 0:
        raise QuantityError(
            "pieces",
            f"The outline is too long for {pieces} pieces of the usual shape: the leads of this "
            "panel cannot be estimated. Measure them.",
        )
    return inner


def calibrated_factor(pieces: int, area_mm2: float, perimeter_mm: float, inner_mm: float) -> float:
    """Return the edge factor c that one counted rubbing shows: (2L + P) / √(n × A).

    inner_mm: the leads inside the border, measured on the rubbing.

    Raises QuantityError for a rubbing of fewer than two pieces, or without area or leads.

    Source: inner_length_mm solved for c.
    """
    if pieces < 2:
        raise QuantityError("pieces", "A rubbing to calibrate on has at least two pieces.")
    if not (area_mm2 > 0 and inner_mm > 0):
        raise QuantityError("length", "A rubbing to calibrate on has an area and measured leads.")
    return (2 * inner_mm + perimeter_mm) / math.sqrt(pieces * area_mm2)


def expansion_mm(length_mm: float, warming_k: float, per_k: float) -> float:
    """Return how much a length grows when it warms by `warming_k` kelvin, in mm."""
    return length_mm * warming_k * per_k
