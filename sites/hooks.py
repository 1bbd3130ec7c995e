"""Where the upper rooms add to the register's pages, so that the register need not know of them.

They register in their `AppConfig.ready`; a page asks each registered function when it is drawn, and
a service calls those that follow from a change.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Final, NamedTuple
from uuid import UUID

from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from sites.models import AttachedItem, Building, Opening, Panel
from sites.web import AppRequest

# A section of a lower order is a notice: what can hurt someone comes before everything else.
FIRST_BELOW: Final = 10


class Section(NamedTuple):
    """A part of a page: where it stands among the others, its template and its own context."""

    order: int
    template: str
    context: dict[str, Any]


class PlacedSection(NamedTuple):
    """A section as it was rendered, with its place among the others."""

    order: int
    html: SafeString

    @property
    def comes_first(self) -> bool:
        """Whether it stands above everything the register itself shows."""
        return self.order < FIRST_BELOW


class Action(NamedTuple):
    """A link in the head of a page. The first of the lowest order is the page's one button."""

    order: int
    url: str
    text: str


@dataclass(frozen=True)
class Mark:
    """What stands beside a number in a list or on a drawing: the worst class, and danger."""

    urgency: int | None = None
    word: str = ""
    hazard: bool = False
    findings: int = 0


Marks = Mapping[UUID, Mark]


@dataclass
class Hooks:
    """The functions registered for each page."""

    building_sections: list[Callable[[AppRequest, Building], Section | None]] = field(
        default_factory=list
    )
    opening_sections: list[Callable[[AppRequest, Opening], Section | None]] = field(
        default_factory=list
    )
    item_sections: list[Callable[[AppRequest, AttachedItem], Section | None]] = field(
        default_factory=list
    )
    panel_sections: list[Callable[[AppRequest, Panel], Section | None]] = field(
        default_factory=list
    )
    building_actions: list[Callable[[AppRequest, Building], Action | None]] = field(
        default_factory=list
    )
    opening_actions: list[Callable[[AppRequest, Opening], Action | None]] = field(
        default_factory=list
    )
    item_actions: list[Callable[[AppRequest, AttachedItem], Action | None]] = field(
        default_factory=list
    )
    # Marks by key: of buildings in a list, of a building's openings, of an opening's parts.
    building_marks: list[Callable[[AppRequest, list[Building]], Marks]] = field(
        default_factory=list
    )
    opening_marks: list[Callable[[AppRequest, Building], Marks]] = field(default_factory=list)
    part_marks: list[Callable[[AppRequest, Opening], Marks]] = field(default_factory=list)
    # Called as an item that was not in its place hangs there again, with the day.
    item_put_back: list[Callable[[AttachedItem, date], None]] = field(default_factory=list)


hooks = Hooks()


def sections_of(
    makers: Iterable[Callable[[AppRequest, Any], Section | None]], request: AppRequest, record: Any
) -> list[PlacedSection]:
    """Return the sections that have something to show, rendered, in their order.

    Each is rendered with its own context alone, so that no name of one page leaks into it.
    """
    made = [section for maker in makers if (section := maker(request, record)) is not None]
    made.sort(key=lambda section: section.order)
    return [
        PlacedSection(
            section.order, render_to_string(section.template, section.context, request=request)
        )
        for section in made
    ]


def actions_of(
    makers: Iterable[Callable[[AppRequest, Any], Action | None]], request: AppRequest, record: Any
) -> list[Action]:
    """Return the links offered to this user, in their order."""
    made = (maker(request, record) for maker in makers)
    return sorted((action for action in made if action is not None), key=lambda a: a.order)


def marks_of(
    makers: Iterable[Callable[[AppRequest, Any], Marks]], request: AppRequest, record: Any
) -> dict[UUID, Mark]:
    """Return the marks of all makers; where two mark the same thing, the later one counts."""
    return {key: mark for maker in makers for key, mark in maker(request, record).items()}
