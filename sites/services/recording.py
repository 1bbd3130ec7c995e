"""What every service that records evidence shares: its one refusal, problem by problem."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from sites.errors import SaddlebarError


@dataclass(frozen=True)
class Problem:
    """What is wrong with one value, in the user's words, and what is possible instead.

    field: the name of the value as the service takes it; "" where several of them are at odds.
    """

    field: str
    message: Any  # a str, or a lazily translated one


class NotRecordedError(SaddlebarError):
    """A record is refused: all that is wrong with it, at once.

    A form shows each problem at the box of that name, the import of a folder at its cell, and what
    comes from a phone is answered with them. Nothing was written.
    """

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(str(problem.message) for problem in self.problems))
