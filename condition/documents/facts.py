"""What the register knows of an opening or an attached item, as lines of a small table."""

from collections.abc import Iterator
from typing import Any, cast

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from condition.documents.cautions import is_memorial
from condition.documents.snapshot import ItemEntry, Named
from sites.compute.fixings.verdict import Verdict
from sites.documents.words import lines, locale_of, placement_words, size_words
from sites.models import AttachedItem, Fixing, Opening
from sites.models.choices import (
    Head,
    HostState,
    Level,
    Material,
    ProtectiveGlazing,
    Wall,
)


def opening_facts(opening: Opening) -> list[Named]:
    """Return what is known of an opening, leaving out what is not, in the order of reading."""
    return [Named(name, value) for name, value in _of_opening(opening) if value]


def _of_opening(opening: Opening) -> Iterator[tuple[str, str]]:
    width, height = (
        (opening.width_typed, opening.width_mm),
        (opening.height_typed, opening.height_mm),
    )
    yield _("Size"), size_words((width, height))
    yield _("Sill above floor"), size_words(((opening.sill_height_typed, opening.sill_height_mm),))
    yield _("Place"), _wall(opening)
    yield _("Form"), _form(opening)
    yield _("Glass made"), opening.made
    yield _("Maker"), opening.maker
    yield _("Protective glazing"), _glazing(opening)
    yield _("Older numbers"), "; ".join(str(older) for older in opening.older_numbers.all())
    yield _("Who can be under it"), opening.under_words


def _wall(opening: Opening) -> str:
    wall = "" if opening.wall == Wall.OTHER else _("%s wall") % opening.get_wall_display()
    level = "" if opening.level == Level.OTHER else str(opening.get_level_display()).lower()
    return ", ".join(part for part in (wall, level) if part)


def _form(opening: Opening) -> str:
    lights = ngettext("%d light", "%d lights", opening.lights) % opening.lights
    panels: int = cast(Any, opening).panel_count
    parts = [
        lights,
        ngettext("%d panel", "%d panels", panels) % panels if panels else "",
        "" if opening.head == Head.OTHER else str(opening.get_head_display()).lower(),
    ]
    return ", ".join(part for part in parts if part)


def _glazing(opening: Opening) -> str:
    if opening.protective_glazing == ProtectiveGlazing.UNKNOWN:
        return ""
    return str(opening.get_protective_glazing_display())


def item_entry(item: AttachedItem, verdict: Verdict) -> ItemEntry:
    """Return an attached item with its inscription, letter by letter, its fixings and what they
    are reckoned to carry."""
    # What is not in its place hangs over nobody, and nothing holds it there.
    recorded = item.is_in_place and verdict.standing != "nothing recorded"
    return ItemEntry(
        id=str(item.pk),
        number=item.number,
        kind=str(item.get_kind_display()),
        facts=[Named(name, value) for name, value in _of_item(item) if value],
        inscription=lines(item.inscription),
        fixings=[_fixing(fixing) for fixing in item.fixings.all()],
        holding=_holding(verdict) if recorded else "",
        may_fall=recorded and verdict.danger,
        memorial=is_memorial(item),
    )


def _holding(verdict: Verdict) -> str:
    """What its fixings are reckoned to carry, and that this is a screening."""
    told = [verdict.words, verdict.support]
    told.append(_("A screening figure, not a design: licensed practice decides."))
    return " ".join(sentence for sentence in told if sentence)


def _of_item(item: AttachedItem) -> Iterator[tuple[str, str]]:
    where = placement_words(item, locale_of(item.opening.building))
    yield _("Where it is"), "" if item.is_in_place else where
    yield _("On panel"), item.panel.number if item.panel else ""
    yield _("Material"), "" if item.material == Material.UNKNOWN else item.get_material_display()
    sides = (
        (item.width_typed, item.width_mm),
        (item.height_typed, item.height_mm),
        (item.thickness_typed, item.thickness_mm),
    )
    yield _("Size"), size_words(sides)
    yield _("In memory of"), item.memorial_of
    yield _("Given by"), item.donors
    yield _("Installed"), item.installed


def _fixing(fixing: Fixing) -> str:
    """`2 × soldered tab, failed; fixed to lead came (weak)`."""
    host = str(fixing.get_holds_on_to_display()).lower()
    state = str(fixing.get_host_state_display()).lower()
    if fixing.host_state != HostState.NOT_SEEN:
        host = f"{host} ({state})"
    return _("%(count)d × %(kind)s, %(state)s; fixed to %(host)s") % {
        "count": fixing.count,
        "kind": str(fixing.get_kind_display()).lower(),
        "state": str(fixing.get_state_display()).lower(),
        "host": host,
    }
