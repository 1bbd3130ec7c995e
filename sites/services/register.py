"""What follows from the words of an opening, a panel or an item: its order, its old date read."""

from typing import Any

from django.db.models import Model

from sites.compute.dates import parse_old_date
from sites.compute.numbering import opening_order, panel_order
from sites.models import AttachedItem, Opening, Panel


def fill_opening(opening: Opening) -> Opening:
    """Work out what an opening's own words imply: its place in the list and its date of making.

    Returns the same opening, not saved. Raises OldDateError for a date nobody can read.
    """
    opening.number = opening.number.strip()
    opening.order = opening_order(opening.number)
    fill_old_date(opening, "made", opening.made)
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
    fill_old_date(item, "installed", item.installed)
    return item


def old_date_columns(name: str, words: str) -> dict[str, Any]:
    """Return the columns that the date called `name` is read into, from its words as written.

    All are empty for no words. Raises OldDateError for what is no date.
    """
    date = parse_old_date(words) if words.strip() else None
    return {
        f"{name}_edtf": date.edtf if date else "",
        f"{name}_earliest": date.earliest if date else None,
        f"{name}_latest": date.latest if date else None,
    }


def fill_old_date(record: Model, name: str, words: str) -> None:
    """Fill a record's reading of one of its dates, not saved. Raises OldDateError."""
    for column, value in old_date_columns(name, words).items():
        setattr(record, column, value)


def edtf_of(words: str) -> str:
    """Return an old date as EDTF, "" for no words. Raises OldDateError for what is no date."""
    return parse_old_date(words).edtf if words.strip() else ""
