"""Two people open the same page: the second to save is told what the first one changed."""

from dataclasses import dataclass
from typing import Any

import pytest
from django.db.models import Model

from sites.models import Opening, Panel
from tests import factories
from tests.sites.pages import boxes

pytestmark = pytest.mark.django_db

CHANGED = "This was changed while you had it open, by somebody else"


@dataclass(frozen=True)
class Kind:
    """An edit page; a box the first person changes, and another the second one changes.

    said: the label the first box goes by; shown: how its new value is told.
    """

    address: str
    first: tuple[str, str]
    said: str
    second: tuple[str, str]
    shown: str = ""


KINDS = {
    "finding": Kind("findings/{}/edit", ("note", "Worse now"), "Note", ("position", "Sill")),
    "finding's danger": Kind(
        "findings/{}/edit", ("answer", "now"), "Can it come down?", ("note", "x"), "Now"
    ),
    "estimate": Kind("estimates/{}/edit", ("title", "Repairs 2027"), "Title", ("exclusions", "x")),
    "opening": Kind(
        "openings/{}/edit", ("title", "Good Shepherd"), "Subject of", ("width", "873 mm")
    ),
    "opening's length": Kind("openings/{}/edit", ("width", "34 in"), "Width", ("title", "Angel")),
    "survey": Kind("surveys/{}/edit", ("weather", "Dull, dry"), "Weather", ("limits", "Tower")),
    "action": Kind("actions/{}/edit", ("quantity", "7"), "Quantity", ("scope", "Resolder")),
    "shared cost": Kind("shared-costs/{}/edit", ("amount", "910.5"), "Cost to", ("phase", "2")),
    "building": Kind("buildings/{}/edit", ("dedication", "St Alban"), "Dedication", ("built", "x")),
    "item": Kind("items/{}/edit", ("inscription", "IN MEMORY"), "Inscription", ("donors", "x")),
    "photograph": Kind("photographs/{}/edit", ("caption", "Lower left"), "Caption", ("place", "")),
    "person": Kind("people/{}/edit", ("phone", "555 0100"), "Telephone", ("role", "treasurer")),
    "panel": Kind("panels/{}/edit", ("subject", "Lamb"), "What it shows", ("pieces", "31")),
    "fixing": Kind("fixings/{}/edit", ("count", "3"), "How many", ("holds_on_to", "saddle bar")),
    "labour rate": Kind("labour-rates/{}/edit", ("hourly", "71"), "An hour", ("trade", "painter")),
    "material": Kind("materials/{}/edit", ("price", "33"), "Price", ("waste", "7")),
    "norm": Kind("norms/{}/edit", ("hours_per_unit", "0.3"), "Hours a unit", ("setup_hours", "1")),
    "rate book": Kind("rate-books/{}/edit", ("tax", "6"), "Tax", ("valid_days", "60")),
}


@pytest.fixture
def record_of(building):
    """A function from a kind to a record of it at the building."""

    def make(name: str) -> Model:
        estimate = factories.EstimateFactory(building=building)
        opening = factories.OpeningFactory(building=building)
        item = factories.AttachedItemFactory(opening=opening)
        survey = factories.SurveyFactory(building=building)
        book = estimate.rate_book
        factories.LabourRateFactory(rate_book=book, trade="painter" if name == "norm" else "dalles")
        making: dict[str, Any] = {
            "finding": lambda: factories.FindingFactory(survey=survey, opening=opening),
            "estimate": lambda: estimate,
            "opening": lambda: opening,
            "survey": lambda: survey,
            "action": lambda: factories.RepairActionFactory(estimate=estimate, opening=opening),
            "shared cost": lambda: factories.SharedCostFactory(estimate=estimate),
            "building": lambda: building,
            "item": lambda: item,
            "photograph": lambda: factories.PhotographFactory(
                building=building, survey=survey, opening=opening
            ),
            "person": lambda: factories.BuildingPersonFactory(building=building),
            "panel": lambda: factories.PanelFactory(opening=opening),
            "fixing": lambda: factories.FixingFactory(item=item),
            "labour rate": lambda: factories.LabourRateFactory(rate_book=book),
            "material": lambda: factories.MaterialFactory(rate_book=book),
            "norm": lambda: factories.NormFactory(rate_book=book, trade="glazier"),
            "rate book": lambda: book,
        }
        return making[name.partition("'")[0]]()

    return make


@pytest.mark.parametrize("name", KINDS)
def test_the_second_to_save_is_told_and_loses_nothing(studio_owner, record_of, name, files):
    kind = KINDS[name]
    url = f"/{kind.address.format(record_of(name).pk)}/"
    opened = boxes(studio_owner.get(url))
    (first, new), (second, other) = kind.first, kind.second
    assert studio_owner.post(url, opened | {first: [new]}).status_code == 302
    told = studio_owner.post(url, opened | {second: [other]})
    assert told.status_code == 422
    errors = list(told.context["form"].non_field_errors())
    assert CHANGED in errors[0]
    (said,) = errors[1:]
    assert said.startswith(kind.said)
    assert (kind.shown or new) in said
    # Nothing of the second person is stored yet, and the page has both in its boxes.
    stored = boxes(studio_owner.get(url))
    assert stored.get(second) == opened.get(second)
    again = boxes(told)
    assert again.get(second, [""]) == [other]
    assert studio_owner.post(url, again).status_code == 302
    stored = boxes(studio_owner.get(url))
    assert (stored.get(first, [""]), stored.get(second, [""])) == ([new], [other])


@pytest.mark.parametrize("name", KINDS)
def test_a_page_nobody_else_touched_saves_at_once(studio_owner, record_of, name, files):
    kind = KINDS[name]
    url = f"/{kind.address.format(record_of(name).pk)}/"
    box, new = kind.first
    assert studio_owner.post(url, boxes(studio_owner.get(url)) | {box: [new]}).status_code == 302
    # Saved twice from the same page (a double tap) is no quarrel with oneself.
    opened = boxes(studio_owner.get(url)) | {kind.second[0]: [kind.second[1]]}
    assert [studio_owner.post(url, opened).status_code for _ in "ab"] == [302, 302]


@pytest.mark.both_engines
def test_two_who_change_the_same_box_are_told_and_the_second_may_insist(owner, building):
    opening = factories.OpeningFactory(building=building, title="Angel")
    url = f"/openings/{opening.pk}/edit/"
    opened = boxes(owner.get(url))
    owner.post(url, opened | {"title": "Good Shepherd"})
    told = owner.post(url, opened | {"title": "Two angels"})
    assert "Subject of the window is now “Good Shepherd”. Your own entry still stands below." in (
        told.context["form"].non_field_errors()
    )
    assert boxes(told)["title"] == ["Two angels"]
    assert owner.post(url, boxes(told)).status_code == 302
    assert Opening.objects.get(pk=opening.pk).title == "Two angels"


def test_two_who_want_the_same_are_not_held_up(owner, building):
    opening = factories.OpeningFactory(building=building)
    url = f"/openings/{opening.pk}/edit/"
    opened = boxes(owner.get(url)) | {"title": "Angel"}
    assert [owner.post(url, opened).status_code for _ in range(2)] == [302, 302]


@pytest.mark.parametrize(
    ("name", "box", "typed"),
    [
        ("shared cost", "amount", "95,50"),
        ("opening", "width", " 87.30 cm"),
        ("opening", "made", "1887 "),
        ("norm", "hours_per_unit", "0,30"),
        ("rate book", "tax", "6,0"),
    ],
)
def test_a_double_tap_is_no_quarrel_however_it_is_written(
    studio_owner, record_of, name, box, typed
):
    url = f"/{KINDS[name].address.format(record_of(name).pk)}/"
    sent = boxes(studio_owner.get(url)) | {box: [typed]}
    assert [studio_owner.post(url, sent).status_code for _ in range(2)] == [302, 302]


def test_a_box_to_be_mended_does_not_hide_what_changed_in_it(owner, building):
    opening = factories.OpeningFactory(building=building)
    url = f"/openings/{opening.pk}/edit/"
    opened = boxes(owner.get(url))
    owner.post(url, opened | {"width": "873 mm"})
    told = owner.post(url, opened | {"width": "8 ells"})
    assert "Width is now “873 mm”. Your own entry still stands below." in (
        told.context["form"].non_field_errors()
    )


def test_three_changes_in_a_row_are_each_told(owner, building):
    opening = factories.OpeningFactory(building=building)
    url = f"/openings/{opening.pk}/edit/"
    opened = boxes(owner.get(url))
    Opening.objects.filter(pk=opening.pk).update(title="One")
    told = owner.post(url, opened)
    Opening.objects.filter(pk=opening.pk).update(title="Two")
    once_more = owner.post(url, boxes(told))
    assert "Subject of the window is now “Two”." in once_more.context["form"].non_field_errors()


@pytest.mark.both_engines
def test_what_a_material_is_used_for_meanwhile_is_not_taken_away(studio_owner, building):
    book = factories.EstimateFactory(building=building).rate_book
    factories.LabourRateFactory(rate_book=book, trade="glazier")
    norm = factories.NormFactory(rate_book=book)
    solder = factories.MaterialFactory(rate_book=book, name="Solder")
    url = f"/norms/{norm.pk}/edit/"
    opened = boxes(studio_owner.get(url))
    studio_owner.post(url, opened | {"material_1": str(solder.pk), "quantity_1": "0.02"})
    told = studio_owner.post(url, opened | {"setup_hours": "2"})
    assert told.status_code == 422
    assert studio_owner.post(url, boxes(told)).status_code == 302
    assert str(book.norm_materials.get().quantity_per_unit.normalize()) == "0.02"


@pytest.mark.both_engines
def test_an_other_s_save_between_reading_and_writing_is_not_undone(owner, building, monkeypatch):
    panel = factories.PanelFactory(opening=factories.OpeningFactory(building=building))
    url = f"/panels/{panel.pk}/edit/"
    opened = boxes(owner.get(url))
    from_form = Panel.full_clean

    def overtake(self, *args, **kwargs):
        Panel.objects.filter(pk=panel.pk).update(subject="Lamb")
        return from_form(self, *args, **kwargs)

    monkeypatch.setattr(Panel, "full_clean", overtake)
    told = owner.post(url, opened | {"pieces": "31"})
    monkeypatch.undo()
    assert told.status_code == 422
    assert "at the very same moment" in told.context["form"].non_field_errors()[0]
    panel.refresh_from_db()
    assert (panel.subject, panel.pieces) == ("Lamb", None)
    named = owner.post(url, boxes(told))
    assert "What it shows is now “Lamb”." in named.context["form"].non_field_errors()
    assert owner.post(url, boxes(named)).status_code == 302
    panel.refresh_from_db()
    assert (panel.subject, panel.pieces) == ("Lamb", 31)


@pytest.mark.parametrize("sent", [None, "", "nonsense", "title:", ":" * 40, "title:zz\x00"])
def test_a_page_sent_without_what_it_showed_saves_as_it_is(owner, building, sent):
    opening = factories.OpeningFactory(building=building)
    url = f"/openings/{opening.pk}/edit/"
    opened = boxes(owner.get(url)) | {"title": "Angel"}
    del opened["as_shown"]
    Opening.objects.filter(pk=opening.pk).update(title="Lamb")
    held = {} if sent is None else {"as_shown": sent}
    assert owner.post(url, opened | held).status_code == 302
    assert Opening.objects.get(pk=opening.pk).title == "Angel"


def test_a_new_record_carries_no_such_box(owner, building):
    assert "as_shown" not in boxes(owner.get(f"/buildings/{building.pk}/openings/add/"))
