"""Rate books: the studio's own figures, changed in the open and never shown to others."""

import datetime as dt
import uuid
from decimal import Decimal

import pytest

from restoration.models import LabourRate, Material, Norm, NormMaterial, RateBook
from restoration.services.pricing import price
from restoration.services.rate_books import copy_rate_book
from tests.factories import (
    ActionKindFactory,
    LabourRateFactory,
    MembershipFactory,
    NormFactory,
    RateBookFactory,
)
from tests.restoration.priced import priced_estimate

pytestmark = pytest.mark.django_db


@pytest.fixture
def studio(building):
    return building.studio


@pytest.fixture
def book(studio):
    return RateBookFactory(
        studio=studio, name="Rates 2026", payment_shares=[["On order", "100"]], valid_days=45
    )


@pytest.fixture
def kind(studio):
    return ActionKindFactory(studio=studio, name="Replace a tie", unit="tie")


@pytest.fixture
def glazier(book):
    return LabourRateFactory(rate_book=book, trade="glazier", hourly=Decimal("58.5"))


@pytest.fixture
def wire(book):
    return Material.objects.create(
        rate_book=book, code="wire", name="Copper wire", unit="m", price=Decimal("0.085"), waste=15
    )


def norm(book, kind, wire):
    made = NormFactory(rate_book=book, action_kind=kind)
    NormMaterial.objects.create(
        rate_book=book, action_kind=kind, material=wire, quantity_per_unit=Decimal("0.3")
    )
    return made


def figures(**fields):
    return {
        "name": "Rates 2026",
        "valid_from": "2026-01-05",
        "currency": "EUR",
        "valid_days": "60",
        "overhead": "18",
        "profit": "9,5",
        "contingency": "15",
        "tax_name": "Sales tax",
        "tax": "6.5",
        "stage_1": "On order",
        "share_1": "30",
        "stage_3": "At the end",
        "share_3": "70",
        **fields,
    }


def test_the_books_are_listed_newest_first(studio_owner, studio, book):
    RateBookFactory(studio=studio, name="Rates 2027", valid_from=dt.date(2027, 1, 1))
    RateBookFactory(name="Of another studio")
    text = studio_owner.get("/rate-books/").content.decode()
    assert text.index("Rates 2027") < text.index("Rates 2026")
    assert "Of another studio" not in text


def test_a_book_shows_its_labour_norms_materials_and_percentages(
    studio_owner, book, kind, glazier, wire
):
    norm(book, kind, wire)
    without = ActionKindFactory(studio=book.studio, name="Gild the frame")
    text = studio_owner.get(book.get_absolute_url()).content.decode()
    assert "58.50" in text
    assert "0.085" in text, "a price finer than the smallest coin keeps all its places"
    assert "0.3 m Copper wire" in text
    assert "Put your own in their place before you quote" in text
    assert f"?kind={without.pk}" in text
    assert "15\N{NO-BREAK SPACE}%" in text


def test_a_kind_two_trades_work_at_names_its_materials_once(studio_owner, book, kind, wire):
    norm(book, kind, wire)
    NormFactory(rate_book=book, action_kind=kind, trade="conservator")
    text = studio_owner.get(book.get_absolute_url()).content.decode()
    assert text.count("0.3 m Copper wire") == 1


def test_a_new_book_begins_with_all_figures_of_an_older_one(
    studio_owner, studio, book, kind, glazier, wire
):
    norm(book, kind, wire)
    sent = {"based_on": book.pk, "name": "Rates 2027", "valid_from": "2027-01-01"}
    response = studio_owner.post("/rate-books/add/", sent)
    made = RateBook.objects.get(name="Rates 2027")
    assert response["Location"] == made.get_absolute_url()
    assert made.overhead == book.overhead
    assert (made.payment_shares, made.valid_days) == (book.payment_shares, 45)
    assert made.labour_rates.get().hourly == Decimal("58.5")
    assert made.norms.get().hours_per_unit == book.norms.get().hours_per_unit
    use = made.norm_materials.get()
    assert use.material.rate_book == made
    assert use.quantity_per_unit == Decimal("0.3")
    glazier.hourly = 99
    glazier.save()
    assert made.labour_rates.get().hourly == Decimal("58.5")


def test_a_copy_prices_an_estimate_the_same(building):
    estimate = priced_estimate(building)
    before = price(estimate)
    estimate.rate_book = copy_rate_book(
        estimate.rate_book, name="Next year", valid_from=dt.date(2027, 1, 1)
    )
    estimate.save()
    assert price(estimate) == before


def test_a_name_taken_already_is_said(studio_owner, book):
    sent = {"based_on": book.pk, "name": "Rates 2026", "valid_from": "2027-01-01"}
    response = studio_owner.post("/rate-books/add/", sent)
    assert response.status_code == 422
    assert RateBook.objects.count() == 1


def test_a_book_of_another_studio_is_no_beginning(studio_owner, book):
    sent = {"based_on": RateBookFactory().pk, "name": "Mine", "valid_from": "2027-01-01"}
    assert studio_owner.post("/rate-books/add/", sent).status_code == 422


def test_percentages_and_payment_are_changed(studio_owner, book):
    response = studio_owner.post(f"/rate-books/{book.pk}/edit/", figures(), follow=True)
    assert "No estimate is priced with it yet" in response.content.decode()
    book.refresh_from_db()
    assert book.currency == "EUR"
    assert book.profit == Decimal("9.5")
    assert book.payment_shares == [["On order", "30"], ["At the end", "70"]]


def test_changing_a_book_says_what_follows_and_what_stays(studio_owner, building):
    book = priced_estimate(building).rate_book
    sent = figures(name=book.name)
    response = studio_owner.post(f"/rate-books/{book.pk}/edit/", sent, follow=True)
    text = response.content.decode()
    assert "1 estimate priced with it follows; issued quotes stay as they are" in text


@pytest.mark.parametrize(
    ("fields", "box", "said"),
    [
        ({"currency": "XXQ"}, "currency", "Select a valid choice"),
        ({"overhead": "101"}, "overhead", "less than or equal to 100"),
        ({"tax": "a little"}, "tax", "is not a number"),
        ({"valid_days": "0"}, "valid_days", "greater than or equal to 1"),
        ({"share_3": "60"}, "stage_1", "They must come to 100 % exactly"),
        ({"share_3": ""}, "share_3", "Say what share is paid then"),
        ({"stage_3": ""}, "stage_3", "Say when this share is paid"),
        ({"stage_1": "", "share_1": "", "stage_3": "", "share_3": ""}, "stage_1", "one payment"),
        ({"name": " "}, "name", "must be filled in"),
    ],
)
def test_what_cannot_be_is_said_beside_its_box(studio_owner, book, fields, box, said):
    response = studio_owner.post(f"/rate-books/{book.pk}/edit/", figures(**fields))
    assert response.status_code == 422
    assert box in response.context["form"].errors
    assert said in response.content.decode()
    book.refresh_from_db()
    assert book.payment_shares == [["On order", "100"]]


def test_a_trade_is_added_and_its_new_name_goes_to_the_norms(studio_owner, book, kind, glazier):
    made = NormFactory(rate_book=book, action_kind=kind, trade="glazier")
    url = f"/rate-books/{book.pk}/labour-rates/add/"
    assert studio_owner.post(url, {"trade": "mason", "hourly": "64"}).status_code == 302
    assert book.labour_rates.count() == 2
    twice = studio_owner.post(url, {"trade": "mason", "hourly": "70"})
    assert twice.status_code == 422
    edit = f"/labour-rates/{glazier.pk}/edit/"
    response = studio_owner.post(edit, {"trade": "leadworker", "hourly": "59.25"})
    assert response["Location"] == f"{book.get_absolute_url()}#labour"
    made.refresh_from_db()
    assert made.labour_rate.trade == "leadworker"
    glazier.refresh_from_db()
    assert glazier.hourly == Decimal("59.25")


def test_a_material_is_added_and_changed_with_a_code_of_its_own(studio_owner, book, wire):
    url = f"/rate-books/{book.pk}/materials/add/"
    sent = {"name": "Copper wire", "unit": "m", "price": "0.9", "waste": "10"}
    assert studio_owner.post(url, sent).status_code == 302
    assert studio_owner.post(url, sent).status_code == 302
    codes = set(book.materials.values_list("code", flat=True))
    assert codes == {"wire", "copper-wire", "copper-wire-2"}
    studio_owner.post(f"/materials/{wire.pk}/edit/", sent | {"waste": "101"})
    wire.refresh_from_db()
    assert wire.waste == 15
    studio_owner.post(f"/materials/{wire.pk}/edit/", sent)
    wire.refresh_from_db()
    assert (wire.code, wire.price, wire.waste) == ("wire", Decimal("0.9"), 10)


def test_a_norm_is_changed_with_what_it_uses(studio_owner, book, kind, glazier, wire):
    made = norm(book, kind, wire)
    solder = Material.objects.create(
        rate_book=book, code="solder", name="Solder", unit="kg", price=46, waste=10
    )
    sent = {
        "labour_rate": glazier.pk,
        "hours_per_unit": "0,35",
        "setup_hours": "0.5",
        f"use_{wire.pk}": "0.4",
        "material_1": solder.pk,
        "quantity_1": "0.006",
    }
    response = studio_owner.post(f"/norms/{made.pk}/edit/", sent)
    assert response["Location"] == f"{book.get_absolute_url()}#norms"
    made.refresh_from_db()
    assert made.hours_per_unit == Decimal("0.35")
    uses = dict(book.norm_materials.values_list("material__code", "quantity_per_unit"))
    assert uses == {"wire": Decimal("0.4"), "solder": Decimal("0.006")}
    sent = {
        "labour_rate": glazier.pk,
        "hours_per_unit": "1",
        "setup_hours": "0",
        f"use_{wire.pk}": "",
    }
    studio_owner.post(f"/norms/{made.pk}/edit/", sent)
    assert not book.norm_materials.filter(material=wire).exists()


@pytest.mark.parametrize(
    ("fields", "box"),
    [
        ({"material_1": "WIRE"}, "quantity_1"),
        ({"quantity_2": "1"}, "material_2"),
        ({"hours_per_unit": "-1"}, "hours_per_unit"),
        ({"labour_rate": "alchemist"}, "labour_rate"),
    ],
)
def test_half_a_material_or_a_strange_trade_is_said(
    studio_owner, book, kind, glazier, wire, fields, box
):
    made = NormFactory(rate_book=book, action_kind=kind)
    sent = {"labour_rate": glazier.pk, "hours_per_unit": "1", "setup_hours": "0"}
    fields = {name: wire.pk if value == "WIRE" else value for name, value in fields.items()}
    response = studio_owner.post(f"/norms/{made.pk}/edit/", sent | fields)
    assert response.status_code == 422
    assert box in response.context["form"].errors


def test_a_norm_is_added_once_a_trade(studio_owner, book, kind, glazier):
    url = f"/rate-books/{book.pk}/norms/add/"
    shown = studio_owner.get(f"{url}?kind={kind.pk}")
    assert shown.context["form"]["action_kind"].value() == str(kind.pk)
    sent = {
        "action_kind": kind.pk,
        "labour_rate": glazier.pk,
        "hours_per_unit": "0.3",
        "setup_hours": "0.5",
    }
    assert studio_owner.post(url, sent).status_code == 302
    assert studio_owner.post(url, sent).status_code == 422
    assert Norm.objects.get().action_kind == kind


def test_rates_are_for_those_who_price_for_the_whole_studio(
    people, client_of, studio, book, kind, glazier, wire
):
    made = norm(book, kind, wire)
    addresses = [
        book.get_absolute_url(),
        f"/rate-books/{book.pk}/edit/",
        f"/rate-books/{book.pk}/labour-rates/add/",
        f"/rate-books/{book.pk}/materials/add/",
        f"/rate-books/{book.pk}/norms/add/",
        f"/labour-rates/{glazier.pk}/edit/",
        f"/materials/{wire.pk}/edit/",
        f"/norms/{made.pk}/edit/",
    ]
    whole = {
        role: MembershipFactory(studio=studio, building=None, role=role).user
        for role in ("owner", "estimator", "surveyor", "reader")
    }
    for address in addresses:
        got = {role: client_of(user).get(address).status_code for role, user in whole.items()}
        assert got == {"owner": 200, "estimator": 200, "surveyor": 404, "reader": 404}
        for user in people.values():
            response = client_of(user).get(address)
            assert response.status_code == 404
            assert "58.5" not in response.content.decode()


def test_the_list_is_for_those_who_price_for_the_whole_studio(people, client_of, studio, book):
    for address in ("/rate-books/", "/rate-books/add/"):
        assert client_of(people["estimator"]).get(address).status_code == 403
        assert client_of(people["committee"]).get(address).status_code == 403
        assert "Rates 2026" not in client_of(people["stranger"]).get(address).content.decode()


def test_what_there_is_not(studio_owner):
    nowhere = uuid.uuid4()
    for part in ("rate-books", "labour-rates", "materials", "norms"):
        assert studio_owner.get(f"/{part}/{nowhere}/edit/").status_code == 404


def test_queries_do_not_grow_with_the_book(studio_owner, book, count_queries):
    def fill(times):
        for number in range(times):
            LabourRateFactory(rate_book=book, trade=f"trade {LabourRate.objects.count()}")
            wire = Material.objects.create(
                rate_book=book, code=f"w{times}-{number}", name="Wire", unit="m", price=1, waste=0
            )
            norm(book, ActionKindFactory(studio=book.studio), wire)
            ActionKindFactory(studio=book.studio)

    fill(2)
    few = count_queries(lambda: studio_owner.get(book.get_absolute_url()))
    fill(6)
    assert count_queries(lambda: studio_owner.get(book.get_absolute_url())) == few
