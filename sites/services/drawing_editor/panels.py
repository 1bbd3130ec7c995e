"""The panels a drawing asks for beside those that are registered."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Final, NamedTuple

from sites.compute.division import Division
from sites.compute.geometry.rings import Box
from sites.compute.lengths import parse_length
from sites.models import Panel
from sites.services.drawing_editor.writing import bare_unit, written

# A size within this of the cell as it was drawn before had been taken from the drawing.
SAME_MM: Final = 1.0
PANEL: Final = "panel"


class CellSize(NamedTuple):
    """How wide and how high a cell is over all, in millimetres."""

    width: float
    height: float


@dataclass
class Leaving:
    """Panels without a cell: those that had one, and nothing hangs on, go; the others stay."""

    removed: list[Panel] = field(default_factory=list)
    kept: list[Panel] = field(default_factory=list)

    @property
    def removed_numbers(self) -> str:
        """The numbers to agree to, as one text."""
        return ", ".join(panel.number for panel in self.removed)


def cell_sizes(division: Division) -> dict[str, CellSize]:
    """Return the size of each cell by its number."""
    boxes: dict[str, list[Box]] = {}
    for cell in division.cells:
        boxes.setdefault(cell.number, []).append(cell.ring.box)
    return {
        number: CellSize(
            max(box.right for box in parts) - min(box.left for box in parts),
            max(box.top for box in parts) - min(box.bottom for box in parts),
        )
        for number, parts in boxes.items()
    }


def leaving(
    panels: Iterable[Panel],
    before: Iterable[str],
    after: Iterable[str],
    tracery: Iterable[Panel] = (),
) -> Leaving:
    """Return which panels leave the drawing. before, after: numbers with a cell then and now.

    tracery: those drawn as tracery lights, under whatever number they have by now. A panel
    that had no cell before either is never removed.
    """
    gone = Leaving()
    had_one, have_one = set(before), set(after)
    drawn = {panel.pk for panel in tracery}
    for panel in panels:
        if panel.number in have_one or panel.pk in drawn:
            continue
        goes = panel.number in had_one and not hangs_on(panel)
        (gone.removed if goes else gone.kept).append(panel)
    return gone


def hangs_on(panel: Panel) -> bool:
    """Whether anything is recorded of the panel elsewhere: findings, work, photographs, items."""
    return any(
        relation.related_model._base_manager.filter(**{relation.field.name: panel}).exists()
        for relation in Panel._meta.related_objects
    )


def fit_to_cell(panel: Panel, before: CellSize | None, now: CellSize, units: str) -> bool:
    """Give a panel the size of its cell where it has none, or had the size of its old one.

    A size somebody measured stays. Returns whether anything changed.
    """
    changed = False
    for name in ("width", "height"):
        mm: Decimal | None = getattr(panel, f"{name}_mm")
        drawn = getattr(before, name) if before else None
        follows = mm is None or (drawn is not None and abs(float(mm) - drawn) <= SAME_MM)
        if follows and (mm is None or abs(float(mm) - getattr(now, name)) > SAME_MM):
            _set_length(panel, name, getattr(now, name), units)
            changed = True
    return changed


def panel_for_cell(panel: Panel, size: CellSize, units: str) -> Panel:
    """Fill a new panel with the size of its cell."""
    fit_to_cell(panel, None, size, units)
    return panel


def _set_length(panel: Panel, name: str, mm: float, units: str) -> None:
    typed = written(max(mm, 1.0), units)
    setattr(panel, f"{name}_typed", typed)
    setattr(panel, f"{name}_mm", parse_length(typed, bare_unit(units)).mm)
