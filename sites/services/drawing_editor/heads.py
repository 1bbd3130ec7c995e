"""Small pictures of the heads a window can have, drawn as every outline here is."""

from functools import cache
from typing import Final

from sites.compute.geometry.outlines import OutlineSpec, outline_of
from sites.models.choices import Head

# A unit is a pixel of a picture about a thumb wide.
WIDTH, HEIGHT = 34.0, 42.0
SPRINGING: Final = {
    Head.SEMICIRCULAR: 25.0,
    Head.SEGMENTAL: 34.0,
    Head.TWO_CENTRED: 16.0,
    Head.FOUR_CENTRED: 31.0,
}
SQUARE: Final = frozenset(
    {Head.ROUNDEL, Head.TRIANGLE, Head.CURVED_TRIANGLE, Head.FOILED, Head.FOILED_IN_CIRCLE}
)
# An outline of corners and arcs, as an example of one.
CORNERS: Final = (
    (0.0, 0.0, 0.0),
    (34.0, 0.0, 0.0),
    (34.0, 30.0, 0.25),
    (22.0, 38.0, 0.0),
    (12.0, 38.0, 0.25),
    (0.0, 30.0, 0.0),
)


@cache
def head_path(head: str) -> str:
    """Return the path of a head's picture, about 34 units wide, y downwards from its foot."""
    if head == Head.OTHER:
        return ""
    height = WIDTH if head in SQUARE else HEIGHT
    spec = OutlineSpec(
        shape=head,
        width=WIDTH,
        height=height,
        springing=SPRINGING.get(Head(head)),
        small_radius=6.0 if head == Head.FOUR_CENTRED else None,
        foils=4 if head in (Head.FOILED, Head.FOILED_IN_CIRCLE) else None,
        points=CORNERS if head == Head.POINTS else (),
    )
    return outline_of(spec).ring.path(flip=True)
