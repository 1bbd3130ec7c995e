"""What `manage.py verify_documents` reads: each room adds its own kinds of thing to one list.

They are added in a room's `AppConfig.ready`, and read in the order they were added.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from sites.models import Building


@dataclass
class Found:
    """What reading one thing has shown, in sentences: what is wrong with it, what was mended."""

    wrong: list[str] = field(default_factory=list)
    mended: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Check:
    """One kind of thing that is read.

    what: its name in the plural. rows: yields each of them, those of one building where one is
        given; never all in memory at once. read: reads one. name: what it is called in the list.
    """

    what: str
    rows: Callable[[Building | None], Iterable[Any]]
    read: Callable[[Any], Found]
    name: Callable[[Any], str] = str


checks: list[Check] = []
