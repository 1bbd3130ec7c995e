"""The studio's table of dangers by kind, on its pages."""

import pytest
from django.urls import reverse

from condition.models import DangerRow
from restoration.services.studios import open_studio
from tests.condition.safety.dangers import known_danger
from tests.factories import BuildingFactory, MembershipFactory


@pytest.fixture
def studio(db):
    return open_studio("Larkmoor", currency="GBP")


@pytest.fixture
def owner_client(studio, client):
    client.force_login(MembershipFactory(studio=studio, building=None, role="owner").user)
    return client


@pytest.fixture
def row(studio) -> DangerRow:
    return studio.danger_rows.get(code="plaque")


def words(response) -> str:
    return " ".join(response.content.decode().split())


def typed(row: DangerRow, **changed) -> dict:
    names = ("asked_when", "held_words", "clear_words", "end_words", "committee_words")
    return {
        "name": row.name,
        **{name: getattr(row, name) for name in names},
        "held_by": row.held_by,
        "holds_on": row.holds_on,
        "judges": row.judges,
        "takers_end": row.takers_end,
        "floor_ends": row.floor_ends,
        **changed,
    }


def url(row: DangerRow) -> str:
    return reverse("condition:danger-row-edit", args=[row.pk])


def test_the_table_is_listed_in_its_order_with_the_kinds_each_row_is_for(owner_client, studio):
    page = words(owner_client.get(reverse("condition:danger-rows")))
    names = [row.name for row in studio.danger_rows.all()]
    places = [page.index(name.replace("’", "’")) for name in names]
    assert places == sorted(places)
    assert "Common practice, no published source" in page


def test_what_the_studio_ticks_decides_what_holds_an_open_danger(owner_client, studio, row):
    building = BuildingFactory(studio=studio)
    kind = studio.finding_kinds.get(code="loose-item")
    danger = known_danger(building, kind=kind, made_safe="webbing to the bar")
    assert danger.state_on().is_held
    answer = owner_client.post(url(row), typed(row, holds_on=["frame", "stone"]))
    assert answer["Location"] == f"{reverse('condition:danger-rows')}#row-{row.pk}"
    again = type(danger).objects.with_facts().get(pk=danger.pk)
    assert not again.state_on().is_held


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"judges": []}, "Say who may judge it"),
        ({"holds_on": []}, "Say what it must hold on to"),
        ({"held_by": ["told"]}, "told is not one of the available choices"),
        ({"held_by": ["kept clear"]}, "kept clear is not one of the available choices"),
        ({"name": " "}, "This must be filled in."),
        ({"floor_ends": ["by magic"]}, "by magic is not one of the available choices"),
    ],
)
def test_a_row_that_makes_no_sense_is_sent_back(owner_client, row, changed, said):
    before = DangerRow.objects.values().get(pk=row.pk)
    answer = owner_client.post(url(row), typed(row, **changed))
    assert answer.status_code == 422
    assert said in words(answer)
    assert DangerRow.objects.values().get(pk=row.pk) == before


def test_the_page_of_the_studio_leads_to_the_table(owner_client):
    page = words(owner_client.get(reverse("sites:studio-edit")))
    assert reverse("condition:danger-rows") in page
