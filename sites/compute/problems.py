"""What is wrong with one value of a record: the words every path that records it shows."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Problem:
    """What is wrong with one value, in the user's words, and what is possible instead.

    field: the name of the value as the service takes it; "" where several of them are at odds.
    """

    field: str
    message: Any  # a str, or a lazily translated one


def once_a_field(problems: Iterable[Problem]) -> list[Problem]:
    """Return the first problem of each field, and all of those that belong to no single one."""
    first: dict[tuple[str, str], Problem] = {}
    for problem in problems:
        first.setdefault((problem.field, "" if problem.field else str(problem.message)), problem)
    return list(first.values())
