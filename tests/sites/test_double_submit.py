"""A page for a new record sent twice makes one record; sent with other content, another one."""

from dataclasses import dataclass, field
from uuid import UUID, uuid4

import pytest
from django.apps import apps
from django.core.files.uploadedfile import SimpleUploadedFile

from sites.forms.base import RecordForm
from sites.forms.idempotency import key_for
from sites.keys import uuid7, uuid7_from
from sites.models import Opening
from tests import factories
from tests.sites.pages import boxes

pytestmark = pytest.mark.django_db


@dataclass(frozen=True)
class Page:
    """A page that adds: its address, the model, what is typed, and a box to type otherwise."""

    address: str
    model: str
    typed: dict[str, str]
    other: dict[str, str] = field(default_factory=dict)


PAGES = {
    "action": Page(
        "estimates/{estimate}/actions/add",
        "restoration.RepairAction",
        {"where": "{opening}", "kind": "{action_kind}", "quantity": "4"},
        {"quantity": "5"},
    ),
    "shared cost": Page(
        "estimates/{estimate}/shared-costs/add",
        "restoration.SharedCost",
        {"kind": "travel", "description": "Two journeys", "amount": "180", "phase": "1"},
        {"amount": "90"},
    ),
    "estimate": Page(
        "buildings/{building}/estimates/add",
        "restoration.Estimate",
        {"title": "North aisle"},
        {"title": "South aisle"},
    ),
    "survey": Page(
        "buildings/{building}/surveys/add",
        "condition.Survey",
        {"surveyors": "A. Surveyor"},
        {"weather": "Dull"},
    ),
    "inspection": Page(
        "surveys/{survey}/inspections/add",
        "condition.Inspection",
        {"opening": "{opening}", "outcome": "nothing found", "side": "inside"},
        {"side": "outside"},
    ),
    "building": Page(
        "buildings/add",
        "sites.Building",
        {"name": "St Alban", "place": "Testham"},
        {"name": "St Bride"},
    ),
    "opening": Page(
        "buildings/{building}/openings/add", "sites.Opening", {"number": "sV"}, {"number": "sVI"}
    ),
    "panel": Page(
        "openings/{opening}/panels/add", "sites.Panel", {"number": "1a"}, {"number": "1b"}
    ),
    "item": Page(
        "openings/{opening}/items/add", "sites.AttachedItem", {"number": "P8"}, {"number": "P9"}
    ),
    "fixing": Page(
        "items/{item}/fixings/add",
        "sites.Fixing",
        {"kind": "screw", "count": "3", "state": "sound", "holds_on_to": "lead"},
        {"state": "failed"},
    ),
    "person": Page(
        "buildings/{building}/people/add",
        "sites.BuildingPerson",
        {"name": "Warden", "role": "warden"},
        {"role": "treasurer"},
    ),
    "rate book": Page(
        "rate-books/add", "restoration.RateBook", {"name": "Rates 2031"}, {"name": "Rates 2032"}
    ),
    "labour rate": Page(
        "rate-books/{book}/labour-rates/add",
        "restoration.LabourRate",
        {"trade": "painter", "hourly": "70"},
        {"trade": "mason"},
    ),
    "material": Page(
        "rate-books/{book}/materials/add",
        "restoration.Material",
        {"name": "Putty", "unit": "kg", "price": "9", "waste": "0"},
        {"name": "Came"},
    ),
    "norm": Page(
        "rate-books/{book}/norms/add",
        "restoration.Norm",
        {
            "action_kind": "{action_kind}",
            "labour_rate": "{glazier}",
            "hours_per_unit": "1",
            "setup_hours": "0",
        },
        {"labour_rate": "{cutter}"},
    ),
}


@pytest.fixture
def known(building):
    """Keys of what stands there already, by name, for addresses and boxes."""
    estimate = factories.EstimateFactory(building=building)
    opening = factories.OpeningFactory(building=building)
    rates = {
        trade: factories.LabourRateFactory(rate_book=estimate.rate_book, trade=trade).pk
        for trade in ("glazier", "cutter")
    }
    return {
        **rates,
        "building": building.pk,
        "estimate": estimate.pk,
        "book": estimate.rate_book_id,
        "opening": opening.pk,
        "item": factories.AttachedItemFactory(opening=opening).pk,
        "survey": factories.SurveyFactory(building=building).pk,
        "action_kind": factories.ActionKindFactory(studio=building.studio).pk,
    }


@pytest.fixture
def opened(studio_owner, known):
    """A function from a page to its address and what it sends once it is filled in."""

    def open_page(page):
        url = f"/{page.address.format(**known)}/"
        typed = {name: [text.format(**known)] for name, text in page.typed.items()}
        return url, boxes(studio_owner.get(url)) | typed

    return open_page


def rows_of(page):
    return apps.get_model(page.model).objects


@pytest.mark.parametrize("name", PAGES)
def test_sent_twice_it_is_one_record_and_the_answer_is_the_same(studio_owner, opened, name):
    page = PAGES[name]
    url, sent = opened(page)
    before = rows_of(page).count()
    first, second = (studio_owner.post(url, sent, follow=True) for _ in range(2))
    assert first.redirect_chain == second.redirect_chain != []
    assert [str(said) for said in first.context["messages"]] == [
        str(said) for said in second.context["messages"]
    ]
    assert (first.status_code, rows_of(page).count()) == (200, before + 1)


@pytest.mark.parametrize("name", PAGES)
def test_gone_back_to_and_changed_it_is_a_second_record(studio_owner, opened, known, name):
    page = PAGES[name]
    url, sent = opened(page)
    before = rows_of(page).count()
    changed = sent | {box: [text.format(**known)] for box, text in page.other.items()}
    for content in (sent, changed, sent, changed):
        assert studio_owner.post(url, content).status_code == 302
    assert rows_of(page).count() == before + 2


def test_either_button_of_the_same_page_saves_once(owner, building):
    url = f"/buildings/{building.pk}/openings/add/"
    sent = boxes(owner.get(url)) | {"number": "sV"}
    assert owner.post(url, sent | {"another": "1"}).url == url
    assert owner.post(url, sent).status_code == 302
    assert Opening.objects.filter(number="sV").count() == 1


def test_add_another_opens_a_page_with_a_key_of_its_own(owner, building):
    url = f"/buildings/{building.pk}/openings/add/"
    first = boxes(owner.get(url))
    second = boxes(owner.post(url, first | {"number": "sV", "another": "1"}, follow=True))
    assert first["key"] != second["key"]


def test_a_page_to_be_mended_keeps_its_key_and_is_saved_once(owner, building):
    url = f"/buildings/{building.pk}/openings/add/"
    sent = boxes(owner.get(url)) | {"number": [""]}
    mended = boxes(owner.post(url, sent)) | {"number": ["sV"]}
    assert mended["key"] == sent["key"]
    assert [owner.post(url, mended).status_code for _ in range(2)] == [302, 302]
    assert Opening.objects.filter(number="sV").count() == 1


@pytest.mark.both_engines
def test_the_same_page_sent_to_two_buildings_makes_one_in_each(studio_owner, building):
    other = factories.BuildingFactory(studio=building.studio)
    sent = boxes(studio_owner.get(f"/buildings/{building.pk}/openings/add/")) | {"number": "sV"}
    answers = [
        studio_owner.post(f"/buildings/{each.pk}/openings/add/", sent).url
        for each in (building, other)
    ]
    made = Opening.objects.filter(number="sV")
    assert {each.get_absolute_url() for each in made} == set(answers)
    assert {each.building for each in made} == {building, other}


def test_a_key_in_use_for_something_else_is_neither_taken_nor_told(owner, building):
    secret = factories.OpeningFactory(number="secret")
    url = f"/buildings/{building.pk}/openings/add/"
    for key in (secret.pk, building.pk):
        sent = boxes(owner.get(url)) | {"number": f"s-{str(key)[-6:]}", "key": str(key)}
        answer = owner.post(url, sent)
        assert answer.status_code == 302
        assert str(key) not in answer.url
    secret.refresh_from_db()
    assert secret.number == "secret"
    assert building.openings.count() == 2


@pytest.mark.parametrize("key", ["", "nonsense", "0" * 400, "{}", "\x00", "-1"])
@pytest.mark.both_engines
def test_a_key_that_is_none_is_no_crash(owner, building, key):
    url = f"/buildings/{building.pk}/openings/add/"
    assert owner.post(url, boxes(owner.get(url)) | {"number": "sV", "key": key}).status_code == 302
    assert building.openings.get().pk.version == 7


@pytest.mark.both_engines
def test_the_second_of_two_at_once_finds_what_the_first_saved(owner, building, monkeypatch):
    url = f"/buildings/{building.pk}/people/add/"
    sent = boxes(owner.get(url)) | {"name": "Warden", "role": "warden"}
    first = owner.post(url, sent)
    asked = []

    def too_early(form):
        """The first time it is asked, the other request has not finished."""
        asked.append(form)
        return len(asked) > 1 and was_saved(form)

    was_saved = RecordForm.saved_before
    monkeypatch.setattr(RecordForm, "saved_before", too_early)
    second = owner.post(url, sent)
    assert (second.status_code, second.url) == (302, first.url)
    assert len(asked) == 2
    assert building.people.count() == 1


def test_another_file_of_the_same_name_is_other_content():
    page = uuid7()

    def key_with(content: bytes) -> UUID:
        file = SimpleUploadedFile("IMG_0001.jpg", content)
        return key_for(page, Opening(), {"number": "sV"}, {"photograph": file}, ())

    assert key_with(b"one") == key_with(b"one")
    assert key_with(b"one") != key_with(b"two")


@pytest.mark.published("RFC 9562, section 5.7: layout of UUID version 7")
def test_a_key_made_from_a_page_s_key_and_content_is_a_version_7_of_the_same_time():
    page = uuid7()
    made = uuid7_from(page, b"content")
    assert (made.version, made.variant) == (7, "specified in RFC 4122")
    assert made.int >> 80 == page.int >> 80
    assert made == uuid7_from(page, b"content")
    others = {uuid7_from(page, b"contents"), uuid7_from(uuid7(), b"content"), page}
    assert made not in others
    assert uuid7_from(uuid4(), b"").version == 7
    assert uuid7_from(UUID(int=0), b"").version == 7
