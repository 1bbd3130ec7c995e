"""How the numbers of windows, panels and plaques are read, told where they first stand."""

from collections.abc import Iterable

from django.db.models import Model
from django.utils.translation import gettext as _

from sites.compute.numbering import OPENING, panel_place
from sites.models import AttachedItem, Opening, Panel
from sites.models.choices import ItemKind


def how_numbered(openings: Iterable[Opening], parts: Iterable[Model]) -> str:
    """Return a sentence or two on the numbers that this report uses, and on no others.

    Where no number follows the convention, nothing is said of windows: they have names of
    their own.
    """
    sides = {match["side"] or "" for each in openings if (match := OPENING.fullmatch(each.number))}
    told = [_windows(sides)] if sides else []
    told += _parts(list(parts))
    return " ".join(told)


def _windows(sides: set[str]) -> str:
    named = [_("I is the window in the middle of the altar end")]
    if sides & {"n", "nt", "N"}:
        named.append(_("n is the north side as one faces the altar"))
    if sides & {"s", "st", "S"}:
        named.append(_("s is the south side"))
    if sides & {"w", "W"}:
        named.append(_("w is the west wall"))
    if sides & {"N", "S", "W"}:
        named.append(_("a capital letter is the upper row of windows"))
    return _("Windows are numbered from the altar end: %s.") % "; ".join(named)


def _parts(parts: list[Model]) -> list[str]:
    told = []
    if any(isinstance(part, Panel) and panel_place(part.number) for part in parts):
        told.append(
            _(
                "3b is the third panel up from the sill in the second light from the left, as seen "
                "from inside."
            )
        )
    if any(isinstance(part, AttachedItem) and part.kind == ItemKind.PLAQUE for part in parts):
        told.append(_("P1 is the first plaque of a window."))
    return told
