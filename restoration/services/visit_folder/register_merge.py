"""The register's rows of a folder, laid over what is registered of the building."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import fields
from typing import Any

from django.db.models import Model

from restoration.compute.visit_folder import layout
from restoration.compute.visit_folder.check_register import wall_of
from restoration.compute.visit_folder.known import KnownOpening, not_known
from restoration.compute.visit_folder.problems import Place, Problem
from restoration.compute.visit_folder.rows import (
    BarRow,
    BuildingRow,
    FixingRow,
    ItemRow,
    OpeningRow,
    PanelRow,
    Row,
    Rows,
    WallRow,
)
from restoration.compute.visit_folder.subjects import grid_of
from restoration.compute.visit_folder.tables import Table
from restoration.services.visit_folder.agreement import agree, as_columns, stated
from sites.compute.problems import Problem as RecordProblem
from sites.compute.problems import once_a_field
from sites.compute.register_data import BarData, FixingData, ItemData, OpeningData, PanelData
from sites.compute.register_rules import item_problems, opening_problems, panel_problems
from sites.models import (
    AttachedItem,
    Bar,
    Building,
    BuildingPerson,
    Fixing,
    OlderNumber,
    Opening,
    Panel,
    PlanWall,
    Studio,
)
from sites.models.building import UNDER_SIDES
from sites.models.choices import HostState
from sites.services.register import fill_item, fill_opening, fill_panel
from sites.services.register_recording import ITEMS, OPENINGS, PANELS

BUILDING_COLUMNS = (
    "address", "country", "kind", "built", "dedication", "protection", "consent_body", "access",
    "currency", "time_zone", "language", "paper", "units", "ritual_east",
)  # fmt: skip
WALL_COLUMNS = ("x1", "y1", "x2", "y2", "bulge")


def columns_in(table: Table[Any], data: type) -> tuple[str, ...]:
    """The values of a record's data that a sheet has columns for, but for what names the row."""
    names = {column.target for column in table.columns} - {"number", "opening", "item", "panel"}
    return tuple(each.name for each in fields(data) if each.name in names)


# The wall and its place on the plan are worked out from words.
OPENING_COLUMNS = tuple(
    name for name in columns_in(layout.OPENINGS, OpeningData) if name not in ("wall", "plan_wall")
)
BAR_COLUMNS = tuple(
    name for name in columns_in(layout.BARS, BarData) if name not in ("light", "height")
)
PANEL_COLUMNS = columns_in(layout.PANELS, PanelData)
ITEM_COLUMNS = columns_in(layout.ITEMS, ItemData)
FIXING_COLUMNS = columns_in(layout.FIXINGS, FixingData)
# What two lines of fixings are told apart by.
FIXING_FACTS = (
    "kind", "count", "state", "holds_on_to", "host_state", "width_mm", "length_mm", "cures_on",
    "product",
)  # fmt: skip

# In this order every row finds what it refers to.
ORDER = (
    Building, BuildingPerson, PlanWall, Opening, OlderNumber, Bar, Panel, AttachedItem, Fixing
)  # fmt: skip


class RegisterMerge:
    """What a folder adds to the register, what it fills in, and where the two are at odds.

    Reads the database and changes nothing in it until `write`.
    """

    def __init__(self, rows: Rows, studio: Studio) -> None:
        self.problems: list[Problem] = []
        self._data_of: dict[str, OpeningData] = {}
        self.new: dict[type[Model], list[Any]] = {model: [] for model in ORDER}
        self._changed: list[tuple[Model, list[str]]] = []
        assert rows.building is not None
        self.building = self._building(rows.building, studio)
        self.openings = {row.number: row for row in self.building.openings.all()}
        self.panels = {
            (row.opening.number, row.number): row
            for row in Panel.objects.filter(opening__building=self.building).select_related(
                "opening"
            )
        }
        self.items = {
            (row.opening.number, row.number): row
            for row in AttachedItem.objects.filter(opening__building=self.building).select_related(
                "opening", "panel"
            )
        }
        older = OlderNumber.objects.filter(opening__building=self.building)
        self._older = set(older.values_list("opening", "number", "system"))
        self._had_panels = {opening for opening, _ in self.panels}
        self._people(rows)
        self.walls = {row.name: row for row in self.building.plan_walls.all()}
        for wall in rows.walls:
            self._wall_of_plan(wall)
        for opening in rows.openings:
            self._opening(opening)
        self._bars(rows.bars)
        for panel in rows.panels:
            self._panel(panel)
        self._grids(rows)
        for item in rows.items:
            self._item(item)
        self._fixings(rows.fixings)

    def write(self) -> None:
        """Save what is new and what is filled in, inside the caller's transaction."""
        for model in ORDER:
            model._default_manager.bulk_create(self.new[model])
        for record, columns in self._changed:
            record.save(update_fields=columns)

    def counts(self) -> dict[str, int]:
        """Return how many rows of each table are new."""
        names = (
            "buildings", "people", "walls", "openings", "older numbers", "bars", "panels", "items",
            "fixings",
        )  # fmt: skip
        return dict(zip(names, (len(self.new[model]) for model in ORDER), strict=True))

    def _agree(self, record: Model, said: dict[str, Any], at: Place) -> None:
        agreement = agree(record, said, at)
        self.problems += agreement.problems
        if agreement.changed:
            self._changed.append((record, agreement.changed))

    def _building(self, row: BuildingRow, studio: Studio) -> Building:
        said = stated(row, BUILDING_COLUMNS)
        there = studio.buildings.filter(name=row.name, place=row.place).first()
        if there is not None:
            self._agree(there, said, row.at)
            return there
        building = Building(studio=studio, name=row.name, place=row.place, **said)
        self.new[Building].append(building)
        return building

    def _people(self, rows: Rows) -> None:
        there = {(row.name, row.role): row for row in self.building.people.all()}
        for row in rows.people:
            said = stated(row, ("email", "phone"))
            person = there.get((row.name, row.role))
            if person is not None:
                self._agree(person, said, row.at)
                continue
            self.new[BuildingPerson].append(
                BuildingPerson(building=self.building, name=row.name, role=row.role, **said)
            )

    def _opening(self, row: OpeningRow) -> None:
        said = stated(row, OPENING_COLUMNS) | _wall(row)
        if row.plan_wall:
            said["plan_wall"] = self.walls.get(row.plan_wall)
            if said["plan_wall"] is None:
                not_named = not_known("Wall", row.plan_wall, self.walls)
                self.problems.append(row.at.problem("plan wall", *not_named))
        opening = self.openings.get(row.number)
        if opening is not None:
            self._agree(opening, said, row.at)
        else:
            opening = Opening(building=self.building, number=row.number, **as_columns(said))
            self.openings[row.number] = opening
            self.new[Opening].append(fill_opening(opening))
        data = self._data_of[row.number] = OPENINGS.data_of(opening)
        self._check(layout.OPENINGS, row, opening_problems(data))
        self._older_numbers(opening, row)

    def _wall_of_plan(self, row: WallRow) -> None:
        said = {f"{name}_mm": value for name, value in stated(row, WALL_COLUMNS[:4]).items()}
        if row.bulge is not None:
            said["bulge"] = row.bulge
        wall = self.walls.get(row.name)
        if wall is not None:
            self._agree(wall, said, row.at)
            return
        order = 1 + max((each.order for each in self.walls.values()), default=0)
        self.walls[row.name] = PlanWall(building=self.building, name=row.name, order=order, **said)
        self.new[PlanWall].append(self.walls[row.name])

    def _bars(self, rows: Iterable[BarRow]) -> None:
        there = {
            (bar.opening.number, bar.light, bar.height_mm): bar
            for bar in Bar.objects.filter(opening__building=self.building).select_related("opening")
        }
        for row in rows:
            height = row.height.mm if row.height else None
            bar = there.get((row.opening, row.light, height))
            said = stated(row, BAR_COLUMNS)
            if bar is not None:
                self._agree(bar, said, row.at)
                continue
            columns = as_columns(said | stated(row, ("light", "height")))
            self.new[Bar].append(Bar(opening=self.openings[row.opening], **columns))

    def _older_numbers(self, opening: Opening, row: OpeningRow) -> None:
        self.new[OlderNumber] += [
            OlderNumber(opening=opening, number=number, system=system)
            for number, system in row.older_numbers or ()
            if (opening.pk, number, system) not in self._older
        ]

    def _panel(self, row: PanelRow) -> None:
        said = stated(row, PANEL_COLUMNS)
        panel = self.panels.get((row.opening, row.number))
        if panel is not None:
            self._agree(panel, said, row.at)
        else:
            panel = self._new_panel(row.opening, row.number, as_columns(said))
        opening = self._opening_data(row.opening)
        self._check(layout.PANELS, row, panel_problems(PANELS.data_of(panel), opening))

    def _opening_data(self, number: str) -> OpeningData:
        if number not in self._data_of:
            self._data_of[number] = OPENINGS.data_of(self.openings[number])
        return self._data_of[number]

    def _check(self, table: Table[Any], row: Row, problems: Iterable[RecordProblem]) -> None:
        """Hold what would be in the register by the rules of its record."""
        self.problems += [table.problem(row, problem) for problem in once_a_field(problems)]

    def _new_panel(self, opening: str, number: str, columns: dict[str, Any]) -> Panel:
        panel = fill_panel(Panel(opening=self.openings[opening], number=number, **columns))
        self.panels[opening, number] = panel
        self.new[Panel].append(panel)
        return panel

    def _grids(self, rows: Rows) -> None:
        """Make the panels of openings that have lights and rows and no panels of their own."""
        listed = {row.opening for row in rows.panels} | self._had_panels
        for row in rows.openings:
            if row.number not in listed:
                for number in grid_of(row):
                    self._new_panel(row.number, number, {})

    def _item(self, row: ItemRow) -> None:
        said = stated(row, ITEM_COLUMNS)
        if row.panel:
            said["panel"] = self.panels[row.opening, row.panel]
        item = self.items.get((row.opening, row.number))
        if item is not None:
            self._agree(item, said, row.at)
        else:
            item = AttachedItem(
                opening=self.openings[row.opening], number=row.number, **as_columns(said)
            )
            self.items[row.opening, row.number] = item
            self.new[AttachedItem].append(fill_item(item))
        opening = self._opening_data(row.opening)
        self._check(layout.ITEMS, row, item_problems(ITEMS.data_of(item), opening))

    def _fixings(self, rows: Iterable[FixingRow]) -> None:
        """Fixings have no number: an item's are all the same as registered, or all new."""
        by_item: dict[tuple[str, str], list[FixingRow]] = defaultdict(list)
        for row in rows:
            by_item[row.opening, row.item].append(row)
        there: dict[Any, list[Fixing]] = defaultdict(list)
        for fixing in Fixing.objects.filter(item__opening__building=self.building):
            there[fixing.item_id].append(fixing)
        for key, fixings in by_item.items():
            item = self.items[key]
            wanted = [
                Fixing(
                    item=item,
                    **{"host_state": HostState.NOT_SEEN} | as_columns(stated(row, FIXING_COLUMNS)),
                )
                for row in fixings
            ]
            if not there[item.pk]:
                self.new[Fixing] += wanted
            elif _counted(there[item.pk]) != _counted(wanted):
                self._fixings_differ(fixings[0], there[item.pk], wanted)

    def _fixings_differ(self, row: FixingRow, there: list[Fixing], wanted: list[Fixing]) -> None:
        what = f"The register says {_shown(there)}, this folder says {_shown(wanted)}."
        possible = "Correct whichever is wrong; fixings seen anew are changed on the item's page."
        self.problems.append(row.at.problem("item", what, possible))


def known_openings(building: Building | None) -> dict[str, KnownOpening]:
    """Return the numbers registered of a building, none for one that is not registered."""
    if building is None:
        return {}
    return {
        opening.number: KnownOpening(
            frozenset(panel.number for panel in opening.panels.all()),
            {
                item.number: item.panel.number if item.panel else ""
                for item in opening.attached_items.all()
            },
            any(opening.people_under(side) for side in UNDER_SIDES),
        )
        for opening in building.openings.prefetch_related("panels", "attached_items__panel")
    }


def _wall(row: OpeningRow) -> dict[str, str]:
    """Return the wall, with its words among those on access where it is none of the four sides."""
    wall, access = wall_of(row)
    return {"wall": wall, "access": access} if row.wall else {}


def _counted(fixings: Iterable[Fixing]) -> Counter[tuple[Any, ...]]:
    return Counter(tuple(getattr(row, name) for name in FIXING_FACTS) for row in fixings)


def _shown(fixings: Iterable[Fixing]) -> str:
    return "; ".join(sorted(str(fixing) for fixing in fixings))
