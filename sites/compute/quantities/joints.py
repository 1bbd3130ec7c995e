"""Soldered joints of a leaded panel, counted from its pieces."""

import math
from dataclasses import dataclass
from typing import Final

from sites.compute.quantities.errors import QuantityError
from sites.compute.working import Input, Origin, Working

FORMULA: Final = (
    "junctions of three leads = 2 × (pieces − 1 − ringed pieces) − 2 × crossings; joints = these "
    "+ crossings + one for each ring; the bench solders both faces"
)
SOURCE: Final = "Euler's formula for a plane graph: nodes − edges + faces = 1 + parts"
HOLDS_NOT: Final = (
    "It does not hold where a lead ends blind, where more than four leads meet at one point, or "
    "where several pieces together are ringed by one: count those by hand."
)


@dataclass(frozen=True)
class Joints:
    """Joints of one face. The border's own corners, `corners`, are soldered besides.

    threes: where a lead ends against another. crossings: where two run through each other.
    rings: where the came round a ringed piece closes.
    """

    threes: int
    crossings: int
    rings: int
    corners: int
    crossings_origin: Origin
    working: Working

    @property
    def one_face(self) -> int:
        return self.threes + self.crossings + self.rings

    @property
    def both_faces(self) -> int:
        return 2 * self.one_face

    @property
    def estimated(self) -> bool:
        return self.crossings_origin == "estimated"


def junctions(pieces: int, crossings: int = 0, ringed: int = 0) -> int:
    """Return how many nodes of a leaded net join three leads or more, corners left out.

    pieces: of glass, the ringed ones among them.
    crossings: nodes at which four leads meet.
    ringed: pieces that stand wholly within one other piece.

    Derivation: let the net with its border have V nodes, E edges and, with the outside, n + 1
    faces; each ring that hangs free is a part of its own, so V − E + n + 1 = 2 + ringed. A free
    ring has as many nodes as edges and falls out of both sides. Every other node but the corners
    has three leads, or four at a crossing; a corner has two. With 2E = 3T + 4X + 2C and
    V = T + X + C this leaves T + 2X = 2(n − 1 − ringed): a crossing stands for two threes.

    Raises QuantityError, naming the field, for numbers no panel can have.

    Source: Euler's formula for plane graphs; T + 2X is checked on random nets in the tests.
    """
    _check(pieces, crossings, ringed)
    return 2 * (pieces - 1 - ringed) - crossings


def lattice_crossings(pieces: int, ringed: int = 0) -> int:
    """Return the crossings of the squarest lattice of so many panes parallel to the border.

    a × b panes have (a − 1)(b − 1) = n − a − b + 1 crossings, and a + b is least at a = b. A
    lattice set diagonally has some more, where its leads meet on the border.
    """
    return max(math.floor((math.sqrt(pieces - ringed) - 1) ** 2 + 1e-9), 0)


def count_joints(
    pieces: int,
    crossings: int | None = None,
    ringed: int | None = None,
    *,
    lattice: bool = False,
    corners: int = 0,
) -> Joints:
    """Return the joints of a panel with the working.

    crossings: None where nobody counted them. They are then none, or in a lattice those of the
        squarest one, marked estimated.
    corners: of the border, which are told apart from the joints.

    Raises QuantityError, naming the field, for numbers no panel can have.
    """
    loose = ringed or 0
    origin: Origin = "entered"
    if crossings is None:
        origin = "estimated" if lattice else "default"
        crossings = lattice_crossings(pieces, loose) if lattice and pieces > 0 else 0
    all_of_net = junctions(pieces, crossings, loose)
    threes = all_of_net - crossings
    inputs = (
        Input("pieces", f"{pieces}", "entered"),
        Input("crossings of two leads", f"{crossings}", origin, _whence(origin)),
        Input("pieces ringed by one other", f"{loose}", "default" if ringed is None else "entered"),
    )
    total = all_of_net + loose
    result = f"{total} on one face, {2 * total} on both"
    if corners:
        result += f"; the {corners} corners of the border besides"
    working = Working(FORMULA, inputs, result, SOURCE, HOLDS_NOT)
    return Joints(threes, crossings, loose, corners, origin, working)


def _whence(origin: Origin) -> str:
    if origin == "estimated":
        return "not counted; those of the squarest lattice of so many panes"
    return "not counted; taken as none" if origin == "default" else ""


def _check(pieces: int, crossings: int, ringed: int) -> None:
    if pieces < 1:
        raise QuantityError("pieces", f"A panel has at least one piece of glass, not {pieces}.")
    if ringed < 0 or ringed > pieces - 1:
        raise QuantityError(
            "ringed_pieces",
            f"Of {pieces} pieces at most {pieces - 1} can be ringed by another, not {ringed}.",
        )
    most = pieces - 1 - ringed
    if crossings < 0 or crossings > most:
        raise QuantityError(
            "crossings",
            f"{pieces} pieces leave room for at most {most} crossings of two leads, "
            f"not {crossings}.",
        )
