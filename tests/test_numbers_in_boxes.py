"""Numbers in boxes: read once for all forms, shown so that they read back, asked about when odd."""

import importlib
import pkgutil
import re
from decimal import Decimal

import pytest
from django import forms
from django.db import models

import condition.forms
import restoration.forms
import sites.forms
from condition.models import WindSite
from restoration.models import SharedCost
from sites.compute.plan.rows import COLUMNS
from sites.forms.base import RecordForm
from sites.forms.fields import CountField, LengthField, NumberField
from sites.forms.plan import PlanForm
from sites.models import CameProfile, Opening, Panel, StudioFigure
from sites.models.plan import PlanWall
from tests import factories
from tests.sites.drawn_windows import WINDOW, boxes_in, drawn, new_url, page_of, url_of
from tests.sites.pages import boxes

# ---- every box -------------------------------------------------------------------------------


def all_forms(form=forms.BaseForm):
    for package in (sites.forms, condition.forms, restoration.forms):
        for module in pkgutil.iter_modules(package.__path__, f"{package.__name__}."):
            importlib.import_module(module.name)
    for each in form.__subclasses__():
        if each.__module__.split(".")[0] in ("sites", "condition", "restoration"):
            yield each
        yield from all_forms(each)


def test_no_box_of_any_form_reads_a_number_in_a_way_of_its_own():
    seen, own = 0, []
    for form in set(all_forms()):
        for name, box in form.base_fields.items():
            if isinstance(box, forms.IntegerField):
                seen += 1
                if not isinstance(box, NumberField | CountField):
                    own.append(f"{form.__name__}.{name}")
    assert own == []
    assert seen > 40


def test_what_a_form_asks_about_is_a_box_of_it():
    asking = [form for form in set(all_forms(RecordForm)) if form.usual]
    assert asking
    for form in asking:
        assert form.usual.keys() <= form.base_fields.keys() | form.lengths.keys()


@pytest.mark.parametrize("text", ["1.250", "1,250", "-12.500", "1.000"])
def test_every_kind_of_box_asks_about_two_readings(text):
    for box in (NumberField(), CountField(), LengthField()):
        with pytest.raises(forms.ValidationError, match=r"can be read as|below zero"):
            box.clean(text)


def test_a_box_for_a_count_takes_whole_numbers_alone():
    assert CountField().clean("1 250") == 1250
    assert CountField().clean("9" * 50) == int("9" * 50)
    for text in ("2.5", "9" * 70):
        with pytest.raises(forms.ValidationError):
            CountField().clean(text)


# ---- what a form shows, posted back ------------------------------------------------------------


UNLIKE_THE_OTHERS = {
    "leaf_thickness_typed",
    *("mullion_typed", "springing_typed", "light_springing_typed", "small_radius_typed"),
}


def filled(record):
    """Fill every number of a record with three decimals where its column has them."""
    columns = {field.name: field for field in record._meta.concrete_fields}
    for name, column in columns.items():
        # A leaf of came as thick as it is wide would be refused, or a mullion as its window.
        if name.endswith("_typed") and name not in UNLIKE_THE_OTHERS:
            changed = {name: "873.125 mm", f"{name.removesuffix('_typed')}_mm": "873.125"}
        elif isinstance(column, models.DecimalField) and not name.endswith("_mm"):
            changed = {name: round(Decimal("1.125"), min(3, column.decimal_places))}
        else:
            changed = {}
        for each, value in changed.items():
            setattr(record, each, value)
    if "lump_sum" in columns:
        record.lump_sum_reason = "Agreed"
    record.save()
    return record


def columns_of(record):
    fresh = type(record)._base_manager.get(pk=record.pk)
    return {field.attname: getattr(fresh, field.attname) for field in fresh._meta.concrete_fields}


@pytest.fixture
def pages(building):
    """Edit pages, each with a record full of numbers that need three decimals."""
    # The dinar has thousandths.
    estimate = factories.EstimateFactory(building=building, rate_book__currency="KWD")
    book, studio = estimate.rate_book, building.studio
    opening = factories.OpeningFactory(building=building, lights=2)
    panel = factories.PanelFactory(opening=opening, pieces=30)
    item = factories.AttachedItemFactory(opening=opening)
    survey = factories.SurveyFactory(building=building)
    book.payment_shares = [["On order", "33.125"], ["On completion", "66.875"]]
    norm = factories.NormFactory(
        rate_book=book, trade=factories.LabourRateFactory(rate_book=book).trade
    )
    solder = factories.MaterialFactory(rate_book=book)
    norm.action_kind.norm_materials.create(
        rate_book=book, material=solder, quantity_per_unit=Decimal("1.125")
    )
    wind = WindSite(building=building, code="EN 1991-1-4", terrain="II", speed_source="Map")
    records = {
        "openings/{}/edit": opening,
        "panels/{}/edit": panel,
        "items/{}/edit": item,
        "items/{}/lettering": item,
        "fixings/{}/edit": factories.FixingFactory(item=item),
        "studio/came-profiles/{}/edit": CameProfile(studio=studio, name="6 mm round"),
        "findings/{}/edit": factories.FindingFactory(
            survey=survey, opening=opening, unit="mm", amount=1
        ),
        "buildings/{}/wind": wind,
        "estimates/{}/edit": estimate,
        "actions/{}/edit": factories.RepairActionFactory(
            estimate=estimate, opening=opening, kind__unit="m2"
        ),
        "shared-costs/{}/edit": factories.SharedCostFactory(estimate=estimate),
        "rate-books/{}/edit": book,
        "labour-rates/{}/edit": factories.LabourRateFactory(rate_book=book, trade="painter"),
        "materials/{}/edit": solder,
        "norms/{}/edit": norm,
    }
    estimate.contingency_reason = "Seen from the floor"
    return {
        f"/{page.format(building.pk if record is wind else filled(record).pk)}/": filled(record)
        for page, record in records.items()
    }


def test_every_form_posted_back_as_it_was_shown_changes_nothing(studio_owner, pages):
    for url, record in pages.items():
        before, shown = columns_of(record), boxes(studio_owner.get(url))
        answer = studio_owner.post(url, shown)
        errors = answer.context["form"].errors if answer.context else None
        assert (url, answer.status_code, errors) == (url, 302, None)
        after = columns_of(record)
        moved = {name for name in before if before[name] != after[name]} - {"order"}
        assert (url, moved) == (url, set())


def test_a_figure_with_three_decimals_is_shown_so_that_it_reads_back(studio_owner, building):
    url = "/studio/figures/sticks.kerf/"
    StudioFigure.objects.create(
        studio=building.studio, key="sticks.kerf", value=Decimal("1.125"), source="Measured"
    )
    shown = boxes(studio_owner.get(url))
    assert shown["value"] == ["1.1250"]
    assert studio_owner.post(url, shown).status_code == 302
    assert StudioFigure.objects.get().value == Decimal("1.125")


def test_the_editor_and_the_plan_posted_back_change_nothing(owner, building):
    opening = drawn(owner, building)
    bar = opening.bars.first()
    Opening.objects.filter(pk=opening.pk).update(springing_mm="2400.125", springing_typed="x")
    type(bar).objects.filter(pk=bar.pk).update(width_mm="31.125", width_typed="31.125 mm")
    wall = PlanWall.objects.create(
        building=building, order=1, name="North", length_typed="1.250 m",
        x1_mm=0, y1_mm=0, x2_mm="12345.67", y2_mm="41000.21",
    )  # fmt: skip
    before = [columns_of(each) for each in (opening, bar)]
    page = page_of(owner, opening)
    assert owner.post(url_of(opening), {**boxes_in(page), "act": "save"}).status_code == 302
    assert [columns_of(each) for each in (opening, bar)] == before
    shown = PlanForm(building, "metric").rows
    # With three decimals, so that its far end is drawn where it is; the fourth keeps one reading.
    assert re.fullmatch(r"16\.\d\d[1-9]0", shown[0].direction)
    lines = {column: [getattr(row, column) for row in shown] for column in COLUMNS}
    assert owner.post(f"/buildings/{building.pk}/plan/edit/", lines).status_code == 302
    kept = PlanWall.objects.get(building=building)
    assert abs(kept.x2_mm - Decimal(wall.x2_mm)) < Decimal("0.5")


# ---- what is asked about before it is kept -----------------------------------------------------


def answers(page):
    """The tick boxes that a page offers, with the value each says yes to."""
    return dict(re.findall(r'type="checkbox"[^>]*name="([^"]+-sure)"\s+value="([^"]+)"', page))


def test_an_opening_of_two_millimetres_is_asked_about_and_nothing_is_lost(owner, building):
    opening = factories.OpeningFactory(building=building)
    url = f"/openings/{opening.pk}/edit/"
    sent = boxes(owner.get(url)) | {"width": "1,9 mm", "height": "2,1 mm", "title": "The Sower"}
    asked = owner.post(url, sent)
    page = asked.content.decode()
    assert asked.status_code == 422
    assert "1.9 mm wide: is that right? Usual is 100 to 20000 mm." in page
    assert boxes(asked)["width"] == ["1,9 mm"]
    assert boxes(asked)["title"] == ["The Sower"]
    assert answers(page) == {"width-sure": "1.9", "height-sure": "2.1"}
    # One of the two is right, and the other was a slip.
    again = boxes(asked) | {"width-sure": "1.9", "height": "2.1 m"}
    assert owner.post(url, again).status_code == 302
    opening.refresh_from_db()
    assert (opening.width_mm, opening.height_mm) == (Decimal("1.9"), 2100)
    # It is recorded now, and not asked about again; another value is.
    assert owner.post(url, boxes(owner.get(url))).status_code == 302
    other = owner.post(url, boxes(owner.get(url)) | {"width": "13 mm", "width-sure": "1.9"})
    assert answers(other.content.decode()) == {"width-sure": "13"}


@pytest.mark.parametrize(
    ("page", "box", "typed", "question"),
    [
        ("openings/add", "height", "21 m", "21000 mm high: is that right?"),
        ("panel", "width", "9", "9 mm wide: is that right?"),
        ("item", "thickness", "0.1 mm", "0.1 mm thick: is that right?"),
        ("item", "weighed_kg", "900", "900 kg in weight: is that right?"),
        ("lettering", "letter_height", "6 m", "6000 mm high: is that right?"),
    ],
)
def test_sizes_are_asked_about_on_their_pages(owner, building, page, box, typed, question):
    item = factories.AttachedItemFactory(opening__building=building)
    panel = factories.PanelFactory(opening=item.opening)
    url = {
        "openings/add": f"/buildings/{building.pk}/openings/add/",
        "panel": f"/panels/{panel.pk}/edit/",
        "item": f"/items/{item.pk}/edit/",
        "lettering": f"/items/{item.pk}/lettering/",
    }[page]
    sent = boxes(owner.get(url)) | {"number": "nX", box: typed}
    asked = owner.post(url, sent)
    assert question in asked.content.decode()
    sure = answers(asked.content.decode())
    assert list(sure) == [f"{box}-sure"]
    assert owner.post(url, boxes(asked) | sure).status_code == 302


def test_a_length_in_inches_is_asked_about_in_inches_too(owner, people, building):
    people["owner"].units = "inch"
    people["owner"].save()
    opening = factories.OpeningFactory(building=building)
    asked = owner.post(f"/openings/{opening.pk}/edit/", {"width": "2 1/2"})
    (error,) = asked.context["form"].errors["width"]
    assert error.startswith('63.5 mm (2 1/2") wide: is that right?')


@pytest.fixture
def euro_estimate(building):
    building.currency, building.language, building.country = "EUR", "de", "DE"
    building.save()
    book = factories.RateBookFactory(studio=building.studio, currency="EUR")
    return factories.EstimateFactory(building=building, rate_book=book)


def test_in_euro_no_sum_is_read_as_a_thousandth_of_itself(owner, euro_estimate):
    url = f"/estimates/{euro_estimate.pk}/shared-costs/add/"
    sent = boxes(owner.get(url)) | {"kind": "access", "description": "Access", "amount": "1.610"}
    asked = owner.post(url, sent)
    assert asked.context["form"].errors["amount"] == [
        "1.610 can be read as 1.61 or as 1610: type 1.61 or 1610."
    ]
    asked = owner.post(url, sent | {"amount": "1,61"})
    assert asked.context["form"].errors["amount"] == [
        "1.61 EUR in all: is that right? Usual is 10 to 2000000 EUR."
    ]
    assert not SharedCost.objects.exists()
    for amount, kept in (("1.132,32", "1132.32"), ("1 132,33", "1132.33"), ("1610", "1610")):
        assert owner.post(url, sent | {"amount": amount}).status_code == 302
        assert SharedCost.objects.filter(amount=kept).exists()
    sure = answers(asked.content.decode())
    assert owner.post(url, boxes(asked) | sure).status_code == 302
    assert SharedCost.objects.filter(amount="1.61").exists()


def test_a_lump_sum_and_an_hourly_rate_are_asked_about(studio_owner, euro_estimate):
    opening = factories.OpeningFactory(building=euro_estimate.building)
    action = factories.RepairActionFactory(estimate=euro_estimate, opening=opening)
    rate = factories.LabourRateFactory(rate_book=euro_estimate.rate_book)
    for url, typed, box in (
        (f"/actions/{action.pk}/edit/", {"lump_sum": "1,2", "lump_sum_reason": "x"}, "lump_sum"),
        (f"/labour-rates/{rate.pk}/edit/", {"hourly": "6000"}, "hourly"),
    ):
        asked = studio_owner.post(url, boxes(studio_owner.get(url)) | typed)
        sure = answers(asked.content.decode())
        assert list(sure) == [f"{box}-sure"]
        assert studio_owner.post(url, boxes(asked) | sure).status_code == 302


def test_the_editor_draws_an_odd_size_and_asks_before_it_keeps_it(owner, building):
    plaque = {"number": "P1", "kind": "plaque", "x": "30", "y": "30", "width": "4", "height": "40"}
    typed = WINDOW | {
        "head": "rectangle", "springing": "", "rows": "", "lights": "1", "mullion": "",
        "width": "60", "height": "90",
        **{f"plaque-0-{name}": text for name, text in plaque.items()},
    }  # fmt: skip
    preview = owner.post(new_url(building, preview=True), typed | {"act": "draw"}).content.decode()
    assert "is that right" not in preview
    assert "<svg" in preview
    asked = owner.post(new_url(building), typed)
    page = asked.content.decode()
    assert asked.status_code == 422
    assert "60 mm wide: is that right?" in page
    sure = answers(page)
    assert sure == {"width-sure": "60", "height-sure": "90", "plaque-0-width-sure": "4"}
    assert owner.post(new_url(building), typed | sure | {"width-sure": "61"}).status_code == 422
    assert not Opening.objects.exists()
    opening = drawn(owner, building, **{**typed, **sure})
    # What is recorded is not asked about again.
    again = {**boxes_in(page_of(owner, opening)), "title": "Another", "act": "save"}
    assert owner.post(url_of(opening), again).status_code == 302
    assert Panel.objects.filter(opening=opening).exists()
