"""Costs that several actions share."""

from decimal import Decimal

import pytest

from restoration.models import SharedCost
from tests.restoration.priced import priced_estimate

pytestmark = pytest.mark.django_db

SENT = {"kind": "travel", "description": "Two journeys", "amount": "180", "phase": "1"}


@pytest.fixture
def estimate(building):
    return priced_estimate(building)


def add_url(estimate):
    return f"/estimates/{estimate.pk}/shared-costs/add/"


def test_a_shared_cost_is_added_changed_and_taken_away(owner, estimate):
    response = owner.post(add_url(estimate), SENT)
    assert response["Location"] == f"{estimate.get_absolute_url()}#shared"
    cost = estimate.shared_costs.get(kind="travel")
    edit = f"/shared-costs/{cost.pk}/edit/"
    assert 'value="180"' in owner.get(edit).content.decode()
    owner.post(edit, SENT | {"amount": "95,50", "phase": "2"})
    cost.refresh_from_db()
    assert (cost.amount, cost.phase) == (Decimal("95.5"), 2)
    response = owner.post(f"/shared-costs/{cost.pk}/delete/", follow=True)
    assert "Two journeys is taken away" in response.content.decode()
    assert not SharedCost.objects.filter(pk=cost.pk).exists()


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("amount", "-1", "greater than or equal to 0"),
        ("amount", "10.0050", "2 decimal places at the most"),
        ("amount", "much", "is not a number"),
        ("phase", "0", "greater than or equal to 1"),
        ("kind", "bribes", "Select a valid choice"),
        ("description", "  ", "This must be filled in"),
    ],
)
def test_bad_input_comes_back_with_what_was_typed(owner, estimate, field, value, said):
    response = owner.post(add_url(estimate), SENT | {field: value})
    assert response.status_code == 422
    assert said in response.content.decode()
    assert estimate.shared_costs.count() == 1


def test_who_may(people, client_of, estimate):
    cost = estimate.shared_costs.get()
    for role, user in people.items():
        if role in ("owner", "estimator"):
            continue
        client = client_of(user)
        assert client.post(add_url(estimate), SENT).status_code == 404
        assert client.get(f"/shared-costs/{cost.pk}/edit/").status_code == 404
        assert client.post(f"/shared-costs/{cost.pk}/delete/").status_code == 404
    assert list(estimate.shared_costs.all()) == [cost]


def test_a_delete_is_not_a_link(owner, estimate):
    url = f"/shared-costs/{estimate.shared_costs.get().pk}/delete/"
    assert owner.get(url).status_code == 405
