"""A drawn window saved in one piece: the opening, its bars, its panels, what hangs on it."""

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models, transaction
from django.utils.translation import gettext as _

from sites.compute.division import Division
from sites.compute.geometry.rings import Point
from sites.models import AttachedItem, Bar, Opening, Panel
from sites.services.drawing_editor.draft import Draft
from sites.services.drawing_editor.panels import (
    PANEL,
    Leaving,
    cell_sizes,
    fit_to_cell,
    leaving,
    panel_for_cell,
)
from sites.services.register_recording import OPENINGS, OpeningParts
from sites.services.shapes import division_of

BAR_FIELDS: Final = (
    "kind",
    "light",
    "height_typed",
    "height_mm",
    "section",
    "width_typed",
    "width_mm",
    "depth_typed",
    "depth_mm",
    "material",
)
TRACERY_FIELDS: Final = (
    "number",
    "shape",
    "x_mm",
    "y_mm",
    "turn_degrees",
    "foils",
    "points",
    "width_typed",
    "width_mm",
    "height_typed",
    "height_mm",
)
ITEM_FIELDS: Final = (
    "number",
    "kind",
    "inscription",
    "x_mm",
    "y_mm",
    "width_typed",
    "width_mm",
    "height_typed",
    "height_mm",
    "panel_id",
)


class NotSavedError(Exception):
    """The drawing was not saved; the text says why and what can be done."""


class EditConflictError(NotSavedError):
    """Somebody else saved the opening, or something in it, after it was read."""


class NotAgreedError(NotSavedError):
    """Panels would be removed, and the user has not agreed to just these."""


@dataclass(frozen=True)
class Agreement:
    """What the page was drawn from, and the numbers of the panels the user lets go."""

    seen: str
    removed_numbers: str = ""


def version_of(opening: Opening) -> str:
    """Return a digest of all the editor shows and saves of an opening; "" for a new one."""
    if opening._state.adding:
        return ""
    rows: list[Any] = [list(Opening.objects.filter(pk=opening.pk).values_list())]
    for related in (opening.bars, opening.panels, opening.attached_items):
        rows.append(list(related.order_by("pk").values_list()))
    told = json.dumps(rows, cls=DjangoJSONEncoder, sort_keys=True)
    return hashlib.sha256(told.encode()).hexdigest()


def leaving_of(draft: Draft, division: Division) -> Leaving:
    """Return the panels of the opening that its new drawing has no cell for any more."""
    stored = Opening.objects.filter(pk=draft.opening.pk).first()
    if stored is None:
        return Leaving()
    before = cell_sizes(division_of(stored))
    return leaving(stored.panels.all(), before, cell_sizes(division), draft.tracery)


@transaction.atomic
def save_drawing(draft: Draft, division: Division, agreement: Agreement, units: str) -> Opening:
    """Save the drawn window, or nothing of it.

    division: the draft divided. Panels are made for cells without one, with the cell's size in
    `units`; registered ones keep their key, their subject and their pieces.

    Raises EditConflictError, NotAgreedError; NotRecordedError where a rule refuses a record, and
    IntegrityError where the database does.
    """
    opening = draft.opening
    panels: dict[str, Panel] = {}
    before: dict[str, Any] = {}
    if not opening._state.adding:
        stored = Opening.objects.select_for_update().get(pk=opening.pk)
        if version_of(stored) != agreement.seen:
            raise EditConflictError(
                _(
                    "Somebody has changed this opening since you began. What you typed is still "
                    "here, and nothing is saved yet. Look at the opening first; to put your "
                    "drawing in the place of theirs, save again."
                )
            )
        before = cell_sizes(division_of(stored))
        panels = {panel.number: panel for panel in stored.panels.all()}
        gone = leaving(panels.values(), before, cell_sizes(division), draft.tracery)
        _take_leave(gone, agreement)
    OPENINGS.save(opening)
    _save_bars(opening, draft.bars)
    parts = OpeningParts(opening)
    _save_tracery(parts, draft.tracery)
    _save_cells(parts, division, before, units)
    _save_items(parts, draft.items, division)
    return opening


def _take_leave(gone: Leaving, agreement: Agreement) -> None:
    if gone.removed and agreement.removed_numbers != gone.removed_numbers:
        raise NotAgreedError(
            _("Panels would be removed: %s. Agree to that beside the Save button, then save.")
            % gone.removed_numbers
        )
    for panel in gone.removed:
        panel.delete()


def _differs(one: models.Model, other: models.Model, names: Iterable[str]) -> bool:
    return any(getattr(one, name) != getattr(other, name) for name in names)


def _save_bars(opening: Opening, bars: Sequence[Bar]) -> None:
    stored = {bar.pk: bar for bar in opening.bars.all()}
    wanted = {bar.pk for bar in bars}
    changed = [b for b in bars if b.pk in stored and _differs(b, stored[b.pk], BAR_FIELDS)]
    # Two bars may have changed places: those that did go first, and come back under their keys.
    opening.bars.filter(pk__in=[pk for pk in stored if pk not in wanted]).delete()
    opening.bars.filter(pk__in=[bar.pk for bar in changed]).delete()
    for bar in bars:
        if bar.pk not in stored or bar in changed:
            bar.opening = opening
            bar.save(force_insert=True)


def _save_tracery(parts: OpeningParts, tracery: Sequence[Panel]) -> None:
    stored = {panel.pk: panel for panel in parts.opening.panels.all()}
    for panel in tracery:
        known = stored.get(panel.pk)
        panel.opening = parts.opening
        if known is None or _differs(panel, known, TRACERY_FIELDS):
            parts.save_panel(panel)


def _save_cells(
    parts: OpeningParts, division: Division, before: dict[str, Any], units: str
) -> None:
    opening = parts.opening
    known = {panel.number: panel for panel in opening.panels.all()}
    sizes = cell_sizes(division)
    for number in dict.fromkeys(cell.number for cell in division.cells if cell.kind == PANEL):
        panel = known.get(number)
        if panel is None:
            new = Panel(opening=opening, number=number)
            parts.save_panel(panel_for_cell(new, sizes[number], units))
        elif fit_to_cell(panel, before.get(number), sizes[number], units):
            parts.save_panel(panel)


def _save_items(parts: OpeningParts, items: Sequence[AttachedItem], division: Division) -> None:
    opening = parts.opening
    stored = {item.pk: item for item in opening.attached_items.all()}
    panels = {panel.number: panel for panel in opening.panels.all()}
    for item in items:
        item.opening = opening
        if item.x_mm is not None and item.y_mm is not None:
            number = cell_at(division, float(item.x_mm), float(item.y_mm))
            item.panel = panels.get(number)
        known = stored.get(item.pk)
        if known is None or _differs(item, known, ITEM_FIELDS):
            parts.save_item(item)


def cell_at(division: Division, x_mm: float, y_mm: float) -> str:
    """Return the number of the cell a place lies in; tracery before what is behind it; or ""."""
    hits = [cell for cell in division.cells if cell.ring.contains(Point(x_mm, y_mm))]
    hits.sort(key=lambda cell: cell.kind == PANEL)
    return hits[0].number if hits else ""
