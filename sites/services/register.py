"""What follows from the words of an opening, a panel or an item: its order, its old date read."""

from sites.compute.dates import parse_old_date
from sites.compute.numbering import opening_order, panel_order
from sites.models import AttachedItem, Opening, Panel


def fill_opening(opening: Opening) -> Opening:
    """Work out what an opening's own words imply: its place in the list and its date of making.

    Returns the same opening, not saved. Raises OldDateError for a date nobody can read.
    """
    opening.number = opening.number.strip()
    opening.order = opening_order(opening.number)
    opening.made_edtf = edtf_of(opening.made)
    return opening


def fill_panel(panel: Panel) -> Panel:
    """Work out a panel's place in its opening. Returns the same panel, not saved."""
    panel.number = panel.number.strip()
    panel.order = panel_order(panel.number)
    return panel


def fill_item(item: AttachedItem) -> AttachedItem:
    """Work out when an item was installed. Returns the same item, not saved.

    Raises OldDateError for a date nobody can read.
    """
    item.number = item.number.strip()
    item.installed_edtf = edtf_of(item.installed)
    return item


def edtf_of(words: str) -> str:
    """Return an old date as EDTF, "" for no words. Raises OldDateError for what is no date."""
    return parse_old_date(words).edtf if words.strip() else ""
