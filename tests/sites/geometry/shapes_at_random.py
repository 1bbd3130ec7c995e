"""Outlines drawn at random within what can be, for properties that hold of all of them."""

from hypothesis import strategies as st

from sites.compute.geometry.outlines import Outline, OutlineSpec, outline_of

WIDTHS = st.floats(200, 4000)


@st.composite
def specs(draw) -> OutlineSpec:
    """Any outline of the register's list but one by its corners, of believable size."""
    shape = draw(st.sampled_from(sorted(MAKERS)))
    return MAKERS[shape](draw, shape, draw(WIDTHS))


def outlines() -> st.SearchStrategy[Outline]:
    return specs().map(outline_of)


def _headed(low: float, high: float):
    """A head that rises by a share of its span between `low` and `high`."""

    def make(draw, shape: str, width: float) -> OutlineSpec:
        rise = draw(st.floats(low, high)) * width
        jamb = draw(st.floats(1, 5000))
        return OutlineSpec(shape, width, jamb + rise, springing=jamb)

    return make


def _four_centred(draw, shape: str, width: float) -> OutlineSpec:
    rise = draw(st.floats(0.27, 0.32)) * width
    jamb = draw(st.floats(1, 5000))
    small = draw(st.floats(0.1, 0.18)) * width
    return OutlineSpec(shape, width, jamb + rise, springing=jamb, small_radius=small)


def _free(low: float, high: float):
    def make(draw, shape: str, width: float) -> OutlineSpec:
        return OutlineSpec(shape, width, width * draw(st.floats(low, high)))

    return make


def _foiled(draw, shape: str, width: float) -> OutlineSpec:
    return OutlineSpec(shape, width, None, foils=draw(st.integers(3, 8)))


MAKERS = {
    "rectangle": _free(0.2, 4),
    "semicircular": _headed(0.5, 0.5),
    "segmental": _headed(0.02, 0.5),
    "two-centred": _headed(0.5, 2.5),
    "four-centred": _four_centred,
    "roundel": _free(1, 1),
    "ellipse": _free(0.3, 3),
    "vesica": _free(1, 3),
    "triangle": _free(0.3, 3),
    "curved triangle": _free(1, 1),
    "foiled": _foiled,
    "foiled in circle": _foiled,
}
