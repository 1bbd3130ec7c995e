"""The plan of a building: read from its rows, drawn, and saved as it is typed or traced."""

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from io import BytesIO
from typing import BinaryIO, Final, cast
from uuid import UUID

from django.conf import settings
from django.db import transaction
from django.db.models import F

from sites.compute.drawing.scales import Room
from sites.compute.drawing.scene import DANGER, PAPER, Badge, Hand
from sites.compute.geometry.rings import Point
from sites.compute.lengths import BareUnit, Length, LengthError, mm_for_box, parse_length
from sites.compute.numbering import Storey
from sites.compute.photographs.limits import Limits
from sites.compute.photographs.renditions import make_renditions
from sites.compute.photographs.turning import turned
from sites.compute.plan.rows import ReadWall, Row, SaidOpening, write_rows
from sites.compute.plan.scene import Drawn, PlanScene, plan_scene
from sites.compute.plan.walls import OnWall, Wall, place_openings
from sites.hooks import Mark
from sites.keys import uuid7
from sites.models import Building, Opening, PlanPicture, PlanWall
from sites.models.choices import Level
from sites.services.stored_files import kept_only_on_success

PAPER_ROOM: Final = Room(170.0, 120.0)
PICTURE_PX: Final = 1600
# Added to places in the order while they change hands: the database holds each to be once.
ASIDE: Final = 10_000
SAME_MM: Final = Decimal("0.5")
STOREYS: Final[dict[str, Storey]] = {
    Level.TRIFORIUM: "triforium",
    Level.CLERESTORY: "clerestory",
}


def walls_of(building: Building) -> list[Wall]:
    """Return the walls of a building's plan in the order they are walked."""
    return [
        Wall(
            str(row.pk),
            row.name,
            Point(float(row.x1_mm), float(row.y1_mm)),
            Point(float(row.x2_mm), float(row.y2_mm)),
            float(row.bulge),
        )
        for row in building.plan_walls.all()
    ]


def openings_along(openings: Iterable[Opening]) -> list[Opening]:
    """Return openings as they are walked past, those without a distance after the others."""
    return sorted(
        openings,
        key=lambda opening: (
            opening.plan_along_mm is None,
            opening.plan_along_mm or 0,
            opening.order,
        ),
    )


def on_wall(opening: Opening) -> OnWall:
    """Return where an opening is said to stand; its level `other` is counted with the main one."""
    along = opening.plan_along_mm
    return OnWall(
        str(opening.pk),
        str(opening.plan_wall_id),
        None if along is None else float(along),
        STOREYS.get(opening.level, "ground"),
    )


def drawn(opening: Opening, mark: Mark | None) -> Drawn:
    """Return an opening as it is asked for on a drawing."""
    width = opening.width_mm
    return Drawn(
        on_wall(opening), opening.number, None if width is None else float(width), badge_of(mark)
    )


def badge_of(mark: Mark | None) -> Badge | None:
    """What stands before a number: danger before class."""
    if mark is None:
        return None
    if mark.hazard:
        return Badge(DANGER)
    return None if mark.urgency is None else Badge("class", mark.urgency)


def plan_scene_of(
    building: Building,
    marks: Mapping[UUID, Mark],
    hand: Hand = PAPER,
    room: Room = PAPER_ROOM,
    east_up: bool = False,
) -> PlanScene | None:
    """Return a building's plan with the marks of its openings, or None where none is drawn.

    room: how large it may become, in units of the hand: millimetres on paper, pixels on a page.
    """
    walls = walls_of(building)
    if not walls:
        return None
    openings = openings_along(building.openings.all())
    asked = [drawn(opening, marks.get(opening.pk)) for opening in openings]
    return plan_scene(walls, asked, hand, room, east_of(building), east_up)


def east_of(building: Building) -> float | None:
    """Return liturgical east in compass degrees, or None where it is not recorded."""
    return None if building.ritual_east is None else float(building.ritual_east)


def rows_of(building: Building, bare_unit: BareUnit) -> list[Row]:
    """Return the plan as it is typed, for a reader with their own bare unit."""
    walls = walls_of(building)
    lengths = [
        _still_said(row.length_typed, Decimal(str(wall.chord)), bare_unit)
        for row, wall in zip(building.plan_walls.all(), walls, strict=True)
    ]
    here: dict[str, list[Opening]] = {wall.key: [] for wall in walls}
    for opening in openings_along(building.openings.filter(plan_wall__isnull=False)):
        here[str(opening.plan_wall_id)].append(opening)
    named = [[_said(opening, bare_unit) for opening in here[wall.key]] for wall in walls]
    return write_rows(walls, lengths, named)


def _said(opening: Opening, bare_unit: BareUnit) -> SaidOpening:
    mm, typed = opening.plan_along_mm, opening.plan_along_typed
    if mm is None or not typed:
        return SaidOpening(opening.number)
    return SaidOpening(
        opening.number, Length(_still_said(typed, mm, bare_unit) or mm_for_box(mm), mm)
    )


def _still_said(typed: str, mm: Decimal, bare_unit: BareUnit) -> str:
    """What was typed, where this reader would read it as it is drawn; else nothing."""
    try:
        return typed if abs(parse_length(typed, bare_unit).mm - mm) <= SAME_MM else ""
    except LengthError:
        return ""


def save_plan(building: Building, walls: Sequence[ReadWall], ritual_east: Decimal | None) -> None:
    """Replace a building's plan by the walls read, with the openings named on them.

    Openings not named any more have no place. Raises KeyError for one the building has not.
    """
    with transaction.atomic():
        Building.objects.select_for_update().get(pk=building.pk)
        building.ritual_east = ritual_east
        building.save(update_fields=["ritual_east"])
        rows = _save_walls(building, walls)
        _save_places(building, walls, rows)


def _save_walls(building: Building, walls: Sequence[ReadWall]) -> list[PlanWall]:
    there = [*building.plan_walls.all()]
    for row in there[len(walls) :]:
        row.delete()
    there = there[: len(walls)]
    if [row.order for row in there] != [*range(1, len(there) + 1)]:
        building.plan_walls.update(order=F("order") + ASIDE)
    saved = []
    for place, read in enumerate(walls):
        row = there[place] if place < len(there) else PlanWall(building=building)
        if _fill(row, read, place + 1):
            row.save()
        saved.append(row)
    return saved


def _fill(row: PlanWall, read: ReadWall, order: int) -> bool:
    """Write a wall into its row, and return whether that changed anything."""
    wall = read.wall
    values = {
        "order": order,
        "name": wall.name,
        "x1_mm": _hundredths(wall.start.x),
        "y1_mm": _hundredths(wall.start.y),
        "x2_mm": _hundredths(wall.end.x),
        "y2_mm": _hundredths(wall.end.y),
        "bulge": Decimal(str(wall.bulge)),
        "length_typed": read.length_typed,
    }
    changed = row._state.adding or any(getattr(row, key) != said for key, said in values.items())
    for key, said in values.items():
        setattr(row, key, said)
    return changed


def _save_places(building: Building, walls: Sequence[ReadWall], rows: Sequence[PlanWall]) -> None:
    openings = {opening.number: opening for opening in building.openings.all()}
    there = place_openings(
        [read.wall for read in walls],
        [
            OnWall(said.number, read.wall.key, float(said.along.mm) if said.along else None)
            for read in walls
            for said in read.openings
        ],
    )
    alongs = {placed.key: _hundredths(placed.along) for placed in there}
    for read, row in zip(walls, rows, strict=True):
        for said in read.openings:
            opening = openings.pop(said.number)
            typed = said.along.typed if said.along else ""
            mm = said.along.mm if said.along else alongs[said.number]
            _place(opening, row, typed, mm)
    for opening in openings.values():
        _place(opening, None, "", None)


def _place(opening: Opening, wall: PlanWall | None, typed: str, mm: Decimal | None) -> None:
    now = (wall.pk if wall else None, typed, mm)
    if now == (opening.plan_wall_id, opening.plan_along_typed, opening.plan_along_mm):
        return
    opening.plan_wall, opening.plan_along_typed, opening.plan_along_mm = wall, typed, mm
    opening.save(update_fields=["plan_wall", "plan_along_typed", "plan_along_mm"])


def _hundredths(mm: float) -> Decimal:
    return Decimal(f"{mm:.2f}")


def keep_picture(building: Building, file: BinaryIO, quarters_left: int = 0) -> PlanPicture:
    """Keep a picture to trace the plan from, re-encoded, in the place of any older one.

    quarters_left: how many quarter turns to the left bring north to its top.

    Raises PhotographRefused or PhotographDamaged, in the user's words, for what is no picture.
    Not to be called inside a transaction: the file could then outlive its row.
    """
    limits = Limits(
        max_pixels=settings.PHOTOGRAPH_MAX_PIXELS, max_bytes=settings.PHOTOGRAPH_MAX_BYTES
    )
    copy = turned(make_renditions(file, (PICTURE_PX,), limits).all[0], quarters_left)
    picture = PlanPicture(
        building=building,
        sha256=hashlib.sha256(copy.jpeg).hexdigest(),
        width_px=copy.width_px,
        height_px=copy.height_px,
    )
    with kept_only_on_success() as stored, transaction.atomic(durable=True):
        Building.objects.select_for_update().get(pk=building.pk)
        storage = picture.file.storage
        name = f"plans/{building.studio_id.hex}/{uuid7().hex}.jpg"
        picture.file = stored.save(storage, name, BytesIO(copy.jpeg))
        for older in PlanPicture.objects.filter(building=building):
            remove_picture(older)
        picture.save(force_insert=True)
    return picture


def remove_picture(picture: PlanPicture) -> None:
    """Take a picture away; its file goes once the row is gone for good."""
    storage, name = picture.file.storage, cast("str", picture.file.name)
    with transaction.atomic():
        picture.delete()
        transaction.on_commit(lambda: storage.delete(name))


def lay_picture(
    picture: PlanPicture, mm_per_px: Decimal, left_mm: Decimal, top_mm: Decimal
) -> None:
    """Keep how a picture lies under the plan: mm to a pixel, and where its upper left corner is."""
    picture.mm_per_px, picture.left_mm, picture.top_mm = mm_per_px, left_mm, top_mm
    picture.save(update_fields=["mm_per_px", "left_mm", "top_mm"])
