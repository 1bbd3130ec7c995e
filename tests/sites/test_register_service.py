"""Openings, panels and items get their order and their read dates as they are saved."""

import pytest

from sites.compute.dates import OldDateError
from sites.models import AttachedItem, Opening, Panel
from sites.services.register import grid_of_panels, save_item, save_opening, save_panel

pytestmark = pytest.mark.django_db


def test_openings_stand_in_the_order_of_the_numbering(building):
    for number in ("sIII", "NII", "I", " nII ", "nIII", "porch 10", "porch 2"):
        save_opening(Opening(building=building, number=number))
    numbers = list(building.openings.values_list("number", flat=True))
    assert numbers == ["I", "nII", "nIII", "sIII", "NII", "porch 2", "porch 10"]


def test_an_old_date_is_kept_as_written_and_as_read(building):
    opening = save_opening(Opening(building=building, number="I", made="c. 1931"))
    item = save_item(AttachedItem(opening=opening, number="P1", installed="1890s"))
    opening.refresh_from_db()
    item.refresh_from_db()
    assert (opening.made, opening.made_edtf) == ("c. 1931", "1931~")
    assert (item.installed, item.installed_edtf) == ("1890s", "189X")


def test_a_date_nobody_can_read_is_refused(building):
    with pytest.raises(OldDateError):
        save_opening(Opening(building=building, number="I", made="31/02/1998"))
    assert not Opening.objects.exists()


def test_panels_are_made_from_the_sill_up(building):
    opening = save_opening(Opening(building=building, number="I"))
    Panel.objects.bulk_create(grid_of_panels(opening, lights=2, rows=2))
    save_panel(Panel(opening=opening, number="A1"))
    numbers = list(opening.panels.values_list("number", flat=True))
    assert numbers == ["1a", "1b", "2a", "2b", "A1"]
