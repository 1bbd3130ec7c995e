"""Something fell: recorded without a survey, read, listed, its names kept to the office."""

import datetime as dt

import pytest
from django.urls import reverse

from condition.models import Danger, Incident
from condition.services.recording.incidents import IncidentData, record_incident
from sites.keys import uuid7
from sites.models import Change
from sites.services.recording import NotRecordedError
from tests.condition.safety.dangers import known_danger
from tests.factories import DangerFactory

TODAY = dt.date.today()


def words(response) -> str:
    return " ".join(response.content.decode().split())


def typed(**changed) -> dict:
    return {
        "key": "018f0000-0000-7000-8000-000000000001",
        "what_fell": "A quarry from the second light, onto the path",
        "day": TODAY.isoformat(),
        "seen_by": "Mrs Underhay",
        "hurt": "Nobody",
        "must_be_told": "The insurer",
        **changed,
    }


@pytest.fixture
def there(building) -> str:
    return reverse("condition:incident-add", args=[building.pk])


def test_what_fell_is_kept_once_and_listed_at_the_building(surveyor, building, there):
    url = building.get_absolute_url()
    assert surveyor.post(there, typed())["Location"] == f"{url}#incidents"
    surveyor.post(there, typed())
    assert "A quarry from the second light" in words(surveyor.get(url))
    incident = Incident.objects.get()
    assert (incident.hurt, incident.must_be_told) == ("Nobody", "The insurer")
    assert "Mrs Underhay" in words(surveyor.get(incident.get_absolute_url()))


def test_from_a_danger_it_belongs_to_that_danger_and_ends_nothing(surveyor, building, there):
    danger = known_danger(building)
    page = words(surveyor.get(danger.get_absolute_url()))
    assert f"{there}?danger={danger.pk}" in page
    form = words(surveyor.get(f"{there}?danger={danger.pk}"))
    assert f'value="{danger.pk}" selected' in form
    answer = surveyor.post(f"{there}?danger={danger.pk}", typed(danger=str(danger.pk)))
    assert answer["Location"] == danger.get_absolute_url()
    assert "A quarry from the second light" in words(surveyor.get(danger.get_absolute_url()))
    assert Danger.objects.not_ended().get() == danger


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"what_fell": " "}, "This must be filled in."),
        ({"what_fell": "x" * 401}, "at most 400"),
        ({"day": "2999-01-01"}, "That day is still to come."),
        ({"day": "soon"}, "Enter a valid date."),
        ({"danger": "no key"}, "is not a valid"),
    ],
)
def test_what_cannot_be_is_sent_back(surveyor, there, changed, said):
    answer = surveyor.post(there, typed(**changed))
    assert answer.status_code == 422
    assert said in words(answer)
    assert not Incident.objects.exists()


@pytest.mark.parametrize("name", ["not a key", "018f0000-0000-7000-8000-000000000000"])
def test_a_danger_nobody_knows_leads_to_the_plain_form(surveyor, there, name):
    assert surveyor.get(f"{there}?danger={name}").status_code == 200


def test_names_are_for_the_office_and_never_enter_the_history(client_of, people, building):
    data = IncidentData(
        building=building.pk, day=TODAY, what_fell="A bar", seen_by="Mrs Underhay", hurt="Tom Ash"
    )
    incident = record_incident(data, uuid7(), people["surveyor"])
    page = words(client_of(people["committee"]).get(incident.get_absolute_url()))
    assert "A bar" in page
    assert "Underhay" not in page
    assert "Tom Ash" not in page
    Incident.objects.filter(pk=incident.pk).update(hurt="Tom Ash, badly", what_fell="A long bar")
    kept = str(list(Change.objects.filter(table="condition_incident").values()))
    assert "A bar" in kept
    assert "Tom Ash" not in kept
    assert "Underhay" not in kept


def test_a_danger_of_another_building_is_none_of_this_one(people, building):
    other = DangerFactory(what="Bar")
    data = IncidentData(building=building.pk, day=TODAY, what_fell="A bar", danger=other.pk)
    with pytest.raises(NotRecordedError, match="not one of this building"):
        record_incident(data, uuid7(), people["surveyor"])
