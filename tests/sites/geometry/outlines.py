"""Outlines at random, within what a glazier could measure, for the properties that hold for all."""

import math

from hypothesis import strategies as st

from sites.compute.geometry import heads
from sites.compute.geometry.outlines import Outline, OutlineSpec, outline_of
from sites.compute.geometry.rings import Ring

WIDTHS = st.floats(150, 6000)
SHARES = st.floats(0.02, 0.98)


@st.composite
def headed_specs(draw: st.DrawFn) -> OutlineSpec:
    """An opening on jambs, its head within what its kind can rise."""
    width, jambs = draw(WIDTHS), draw(st.floats(1, 9000))
    shape = draw(st.sampled_from(["semicircular", "segmental", "two-centred", "four-centred"]))
    share, small = draw(SHARES), None
    if shape == "semicircular":
        rise = width / 2
    elif shape == "segmental":
        rise = max(share, 0.05) * width / 2
    elif shape == "two-centred":
        rise = width * (0.51 + 1.5 * share)
    else:
        small = width * draw(st.floats(0.05, 0.4))
        least, most = heads.four_centred_rises(width, small, math.pi / 3)
        rise = least + (most - least) * min(max(share, 0.02), 0.9)
    return OutlineSpec(shape, width, jambs + rise, springing=jambs, small_radius=small)


@st.composite
def shape_specs(draw: st.DrawFn) -> OutlineSpec:
    """A shape that stands by itself."""
    width = draw(WIDTHS)
    shape = draw(
        st.sampled_from(
            (
                "rectangle",
                "roundel",
                "ellipse",
                "vesica",
                "triangle",
                "curved triangle",
                "foiled",
                "foiled in circle",
            )
        )
    )
    height = None
    if shape in ("rectangle", "ellipse", "vesica", "triangle"):
        height = width * draw(st.floats(1.05, 3.0))
    foils = draw(st.integers(3, 8)) if shape.startswith("foiled") else None
    return OutlineSpec(shape, width, height, foils=foils)


@st.composite
def corner_specs(draw: st.DrawFn) -> OutlineSpec:
    """A ring of points and arcs about a middle, its corners in order."""
    count = draw(st.integers(3, 9))
    corners = []
    for n in range(count):
        angle = math.tau * n / count
        away = draw(st.floats(600, 1500))
        bulge = draw(st.sampled_from([0.0, 0.0, 0.1, -0.05, 0.2]))
        corners.append((away * math.cos(angle), away * math.sin(angle), bulge))
    return OutlineSpec("points", None, None, points=tuple(corners))


def all_specs() -> st.SearchStrategy[OutlineSpec]:
    return st.one_of(headed_specs(), shape_specs(), corner_specs())


def rings() -> st.SearchStrategy[Ring]:
    return all_specs().map(lambda spec: outline_of(spec).ring)


def outlines() -> st.SearchStrategy[Outline]:
    return all_specs().map(outline_of)
