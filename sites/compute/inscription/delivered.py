"""The delivered plate against the approved words: line by line, and in each line by letters."""

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import zip_longest


@dataclass(frozen=True)
class Piece:
    """A run of letters that is the same on both, or is not."""

    text: str
    same: bool


@dataclass(frozen=True)
class ComparedLine:
    """One line as approved and as delivered; `None` where there is no such line."""

    number: int
    approved: str | None
    delivered: str | None
    approved_pieces: tuple[Piece, ...]
    delivered_pieces: tuple[Piece, ...]

    @property
    def same(self) -> bool:
        return self.approved == self.delivered


def compare(approved: Sequence[str], delivered: Sequence[str]) -> tuple[ComparedLine, ...]:
    """Return every line of either side with what differs. Capitals, accents and spaces count."""
    return tuple(
        _compared(number, one, other)
        for number, (one, other) in enumerate(zip_longest(approved, delivered), start=1)
    )


def _compared(number: int, approved: str | None, delivered: str | None) -> ComparedLine:
    one, other = approved or "", delivered or ""
    left: list[Piece] = []
    right: list[Piece] = []
    for how, a, b, c, d in SequenceMatcher(None, one, other, autojunk=False).get_opcodes():
        same = how == "equal"
        if one[a:b]:
            left.append(Piece(one[a:b], same))
        if other[c:d]:
            right.append(Piece(other[c:d], same))
    return ComparedLine(number, approved, delivered, tuple(left), tuple(right))
