"""Openings, panels, items and fixings are recorded once a key, by all their rules."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal

import pytest

from sites.compute.lengths import Length
from sites.compute.register_data import FixingData, ItemData, OpeningData, PanelData
from sites.keys import uuid7
from sites.models import AttachedItem, Change, Fixing, Opening, Panel
from sites.services.recording import NotRecordedError
from sites.services.register_recording import (
    OPENINGS,
    lay_out_panels,
    record_attached_item,
    record_fixing,
    record_opening,
    record_panel,
)
from tests.factories import AttachedItemFactory, OpeningFactory, PanelFactory

pytestmark = pytest.mark.django_db


def mm(size):
    return Length(f"{size} mm", Decimal(size))


@pytest.fixture
def window(building):
    """What is recorded of a measured window."""
    return OpeningData(
        building=building.pk, number="nII", width=mm(1000), height=mm(2000), lights=2,
        light_widths=(mm(400), mm(500)), made="c. 1931", under_inside="people",
    )  # fmt: skip


@pytest.fixture
def one_of_each(building, window):
    """The recording of each kind of record, its data, other data, and its table."""
    opening = OpeningFactory(building=building)
    item = AttachedItemFactory(opening=opening)
    panel = PanelData(opening=opening.pk, number="3b", width=mm(560), pieces=40)
    plaque = ItemData(opening=opening.pk, number="P9", kind="plaque", installed="1890s")
    tabs = FixingData(
        item=item.pk, kind="soldered tab", count=4, state="sound", holds_on_to="lead",
        cures_on=dt.date(2026, 5, 4),
    )  # fmt: skip
    return {
        "opening": (record_opening, window, replace(window, title="The Sower"), Opening),
        "panel": (record_panel, panel, replace(panel, pieces=41), Panel),
        "item": (record_attached_item, plaque, replace(plaque, donors="x"), AttachedItem),
        "fixing": (record_fixing, tabs, replace(tabs, state="failed"), Fixing),
    }


KINDS = ("opening", "panel", "item", "fixing")


def refused(record, *args):
    """Return the problems for which something is not recorded."""
    with pytest.raises(NotRecordedError) as caught:
        record(*args)
    return {problem.field: str(problem.message) for problem in caught.value.problems}


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_key_with_the_same_data_records_once(one_of_each, user, kind):
    record, data, other, table = one_of_each[kind]
    key, before = uuid7(), table.objects.count()
    made = record(data, key, user)
    assert record(data, key, user) == made
    assert table.objects.count() == before + 1
    assert made.recorded_by == user
    assert "recorded before, with other values" in refused(record, other, key, user)[""]


@pytest.mark.parametrize("kind", KINDS)
def test_a_sending_repeated_after_a_change_changes_nothing(one_of_each, user, kind):
    record, data, other, table = one_of_each[kind]
    made = record(data, uuid7(), user)
    record(other, made.pk, user, was=data)
    record(data, made.pk, user)
    assert refused(record, replace(other, **belongs_nowhere(kind)), made.pk, user)
    assert record(other, made.pk, user, was=data).pk == made.pk
    assert Change.objects.filter(table=table._meta.db_table).count() == 1


@pytest.mark.parametrize("kind", KINDS)
def test_what_was_deleted_does_not_come_back_when_it_is_sent_again(one_of_each, user, kind):
    record, data, _other, table = one_of_each[kind]
    made = record(data, uuid7(), user)
    table.objects.filter(pk=made.pk).delete()
    assert refused(record, data, made.pk, user) == {
        "": "It was recorded, and has been deleted since."
    }
    assert not table.objects.filter(pk=made.pk).exists()


def belongs_nowhere(kind):
    return {{"opening": "building", "fixing": "item"}.get(kind, "opening"): uuid7()}


@pytest.mark.parametrize("kind", KINDS)
def test_what_somebody_else_changed_meanwhile_is_not_written_over(one_of_each, user, kind):
    record, data, other, table = one_of_each[kind]
    made = record(data, uuid7(), user)
    record(other, made.pk, user, was=data)
    third = replace(data, **{"count": 9} if kind == "fixing" else {"number": "Z1"})
    assert "Somebody else saved this" in refused(record, third, made.pk, user, data)[""]
    table.objects.filter(pk=made.pk).delete()
    assert "has been deleted since" in refused(record, third, made.pk, user, other)[""]


@pytest.mark.parametrize("kind", KINDS)
def test_what_belongs_to_nothing_is_refused(one_of_each, user, kind):
    record, data, *_ = one_of_each[kind]
    (field,) = belongs_nowhere(kind)
    lost = refused(record, replace(data, **belongs_nowhere(kind)), uuid7(), user)
    assert lost[field] == f"The {field} is not there any more, or is not named."


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-sNaN", "1E+99"])
def test_a_number_that_is_none_is_refused_and_no_crash(one_of_each, user, number):
    record, data, *_ = one_of_each["item"]
    found = refused(record, replace(data, weighed_kg=Decimal(number)), uuid7(), user)
    assert "is not possible here. Give 0.001 to 99999." in found["weighed_kg"]


def test_a_record_stays_where_it_was_recorded(one_of_each, user):
    record, panel, *_ = one_of_each["panel"]
    made = record(panel, uuid7(), user)
    moved = replace(panel, opening=OpeningFactory().pk)
    assert "stays where it was recorded" in refused(record, moved, made.pk, user, panel)["opening"]


def test_all_that_is_wrong_is_said_at_once(window, user):
    wrong = replace(
        window, number="", foils=9, head="two-centred", springing=mm(2500), made="31/02/1998"
    )
    assert set(refused(record_opening, wrong, uuid7(), user)) == {
        "number", "foils", "springing", "made",
    }  # fmt: skip
    assert not Opening.objects.exists()


def test_a_value_that_is_the_same_keeps_the_words_it_was_written_in(window, user):
    made = record_opening(replace(window, width=Length("1 m", Decimal(1000))), uuid7(), user)
    Opening.objects.filter(pk=made.pk).update(light_widths="400 mm, 500 mm")
    was = OPENINGS.data_of(Opening.objects.get())
    record_opening(replace(was, title="The Sower"), made.pk, user, was=was)
    made.refresh_from_db()
    assert (made.width_typed, made.light_widths) == ("1 m", "400 mm, 500 mm")
    assert made.light_widths_mm == [400.0, 500.0]


def test_openings_stand_in_the_order_of_the_numbering(building, user):
    for number in ("sIII", "NII", "I", " nII ", "nIII", "porch 10", "porch 2"):
        record_opening(OpeningData(building=building.pk, number=number), uuid7(), user)
    numbers = list(building.openings.values_list("number", flat=True))
    assert numbers == ["I", "nII", "nIII", "sIII", "NII", "porch 2", "porch 10"]


def test_an_old_date_is_kept_as_written_and_as_read(window, user):
    opening = record_opening(window, uuid7(), user)
    item = record_attached_item(
        ItemData(opening=opening.pk, number="P1", installed="1890s"), uuid7(), user
    )
    assert (opening.made, opening.made_edtf) == ("c. 1931", "1931~")
    assert (item.installed, item.installed_edtf) == ("1890s", "189X")


def test_panels_are_made_from_the_sill_up(window, user):
    opening = record_opening(window, uuid7(), user)
    lay_out_panels(opening, rows=2)
    record_panel(PanelData(opening=opening.pk, number="A1"), uuid7(), user)
    numbers = list(opening.panels.values_list("number", flat=True))
    assert numbers == ["1a", "1b", "2a", "2b", "A1"]


def test_a_wall_or_a_panel_of_elsewhere_is_refused(window, user):
    wall = refused(record_opening, replace(window, plan_wall=uuid7()), uuid7(), user)
    assert wall == {"plan_wall": "The wall is of another building."}
    opening = record_opening(window, uuid7(), user)
    data = ItemData(opening=opening.pk, number="P1", panel=PanelFactory().pk)
    assert refused(record_attached_item, data, uuid7(), user) == {
        "panel": "The panel is not in this opening."
    }
