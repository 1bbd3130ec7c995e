"""What holds an attached item: how many fixings still do, and what they can carry."""

from collections.abc import Iterable
from dataclasses import dataclass

SOUND = "sound"
FAILED = "failed"


@dataclass(frozen=True)
class FixingTally:
    """Counts of one item's fixings by what is known of them."""

    total: int
    sound: int
    failed: int

    @property
    def not_known(self) -> int:
        """Not seen, or new and still curing: neither counts on to hold."""
        return self.total - self.sound - self.failed


def tally(fixings: Iterable[tuple[int, str]]) -> FixingTally:
    """Return the counts over (how many, state) pairs."""
    pairs = list(fixings)
    return FixingTally(
        total=sum(count for count, _ in pairs),
        sound=sum(count for count, state in pairs if state == SOUND),
        failed=sum(count for count, state in pairs if state == FAILED),
    )
