"""The one way an opening, a panel, an attached item and a fixing are recorded and changed."""

from collections.abc import Container, Iterator
from functools import cached_property
from typing import TypeVar, cast
from uuid import UUID

from django.db import transaction
from django.db.models import Model

from sites.compute.numbering import panel_grid
from sites.compute.problems import Problem
from sites.compute.register_data import FixingData, ItemData, OpeningData, PanelData
from sites.compute.register_rules import (
    PANEL_ELSEWHERE,
    PANELS_THERE,
    WALL_ELSEWHERE,
    fixing_problems,
    grid_problems,
    item_problems,
    opening_problems,
    panel_problems,
)
from sites.hooks import hooks
from sites.models import AttachedItem, Building, Fixing, Opening, Panel, PlanWall, User
from sites.models.choices import Placement
from sites.services.numbers import today_at
from sites.services.recording import Recording, not_there, raise_for
from sites.services.register import fill_item, fill_opening, fill_panel

PartT = TypeVar("PartT", Panel, AttachedItem)


class Openings(Recording[OpeningData, Opening]):
    model, data_class, parent = Opening, OpeningData, "building"

    def problems(self, data: OpeningData, key: UUID) -> Iterator[Problem]:
        others = Opening.objects.filter(building=data.building).exclude(pk=key)
        taken = set(others.filter(number=data.number).values_list("number", flat=True))
        yield from opening_problems(data, taken)
        yield from not_there(
            Building.objects.filter(pk=cast("UUID", data.building)).exists(), "building"
        )
        walls = PlanWall.objects.filter(pk=cast("UUID", data.plan_wall), building=data.building)
        if data.plan_wall and not walls.exists():
            yield Problem("plan_wall", WALL_ELSEWHERE)

    def fill(self, record: Opening) -> None:
        fill_opening(record)


class OpeningParts:
    """What an opening has in it, read once for as many of its parts as are recorded together."""

    def __init__(self, opening: Opening) -> None:
        self.opening = opening
        self.data = OPENINGS.data_of(opening)

    @cached_property
    def panels(self) -> dict[UUID, str]:
        """The numbers of the panels by their keys."""
        return self._numbers(Panel)

    @cached_property
    def items(self) -> dict[UUID, str]:
        """The numbers of the attached items by their keys."""
        return self._numbers(AttachedItem)

    def panel_problems(self, data: PanelData, key: UUID) -> Iterator[Problem]:
        """Yield what is wrong with a panel of this opening."""
        yield from panel_problems(data, self.data, _others(self.panels, key))

    def item_problems(self, data: ItemData, key: UUID) -> Iterator[Problem]:
        """Yield what is wrong with an attached item of this opening."""
        yield from item_problems(data, self.data, _others(self.items, key))
        if data.panel and data.panel not in self.panels:
            yield Problem("panel", PANEL_ELSEWHERE)

    def save_panel(self, panel: Panel) -> Panel:
        """Save a panel as it is, by all rules. Raises NotRecordedError."""
        raise_for(self.panel_problems(PANELS.data_of(panel), panel.pk))
        return _save(fill_panel(panel), self.panels)

    def save_item(self, item: AttachedItem) -> AttachedItem:
        """Save an attached item as it is, by all rules. Raises NotRecordedError."""
        raise_for(self.item_problems(ITEMS.data_of(item), item.pk))
        return _save(fill_item(item), self.items)

    def _numbers(self, model: type[Model]) -> dict[UUID, str]:
        rows = model._default_manager.filter(opening=self.opening)
        return dict(rows.values_list("pk", "number"))


class Panels(Recording[PanelData, Panel]):
    model, data_class, parent = Panel, PanelData, "opening"

    def problems(self, data: PanelData, key: UUID) -> Iterator[Problem]:
        opening = Opening.objects.filter(pk=cast("UUID", data.opening)).first()
        yield from not_there(opening, "opening")
        if opening:
            yield from OpeningParts(opening).panel_problems(data, key)
        else:
            yield from panel_problems(data, None)

    def fill(self, record: Panel) -> None:
        fill_panel(record)


class Items(Recording[ItemData, AttachedItem]):
    model, data_class, parent = AttachedItem, ItemData, "opening"

    def problems(self, data: ItemData, key: UUID) -> Iterator[Problem]:
        opening = Opening.objects.filter(pk=cast("UUID", data.opening)).first()
        yield from not_there(opening, "opening")
        if opening:
            yield from OpeningParts(opening).item_problems(data, key)
        else:
            yield from item_problems(data, None)

    def fill(self, record: AttachedItem) -> None:
        fill_item(record)

    def follow(self, record: AttachedItem, before: ItemData) -> None:
        if record.is_in_place and before.placement != Placement.IN_PLACE:
            for each in hooks.item_put_back:
                each(record, today_at(record.opening.building))


class Fixings(Recording[FixingData, Fixing]):
    model, data_class, parent = Fixing, FixingData, "item"

    def problems(self, data: FixingData, key: UUID) -> Iterator[Problem]:
        yield from fixing_problems(data)
        yield from not_there(
            AttachedItem.objects.filter(pk=cast("UUID", data.item)).exists(), "item"
        )


OPENINGS, PANELS, ITEMS, FIXINGS = Openings(), Panels(), Items(), Fixings()


def record_opening(
    data: OpeningData, key: UUID, user: User | None, was: OpeningData | None = None
) -> Opening:
    """Make or change an opening and return it; see `Recording.record`. Raises NotRecordedError."""
    return OPENINGS.record(data, key, user, was)


def record_panel(
    data: PanelData, key: UUID, user: User | None, was: PanelData | None = None
) -> Panel:
    """Make or change a panel and return it; see `Recording.record`. Raises NotRecordedError."""
    return PANELS.record(data, key, user, was)


def record_attached_item(
    data: ItemData, key: UUID, user: User | None, was: ItemData | None = None
) -> AttachedItem:
    """Make or change an attached item and return it; see `Recording.record`.

    Raises NotRecordedError.
    """
    return ITEMS.record(data, key, user, was)


def record_fixing(
    data: FixingData, key: UUID, user: User | None, was: FixingData | None = None
) -> Fixing:
    """Make or change a fixing, its state above all, and return it; see `Recording.record`.

    Raises NotRecordedError.
    """
    return FIXINGS.record(data, key, user, was)


@transaction.atomic
def lay_out_panels(opening: Opening, rows: int) -> list[Panel]:
    """Make the panels of so many rows across the opening's lights, from the sill up.

    Raises NotRecordedError where they cannot be lettered, or where the opening has panels.
    """
    parts = OpeningParts(Opening.objects.select_for_update().get(pk=opening.pk))
    there = [Problem("", PANELS_THERE)] if parts.panels else []
    raise_for([*grid_problems(opening.lights, ""), *there])
    numbers = panel_grid(opening.lights, rows)
    return [parts.save_panel(Panel(opening=opening, number=number)) for number in numbers]


def _save(part: PartT, numbers: dict[UUID, str]) -> PartT:
    part.save()
    numbers[part.pk] = part.number
    return part


def _others(numbers: dict[UUID, str], key: UUID) -> Container[str]:
    return {number for pk, number in numbers.items() if pk != key}
