"""One repair action: by hand, with its reasons, its step and its cautions."""

from decimal import Decimal

import pytest
from django.db import IntegrityError

from restoration.forms.actions import ActionForm
from restoration.models import RepairAction
from restoration.services import estimates as service
from tests.factories import (
    ActionKindFactory,
    AttachedItemFactory,
    FindingFactory,
    OpeningFactory,
    PanelFactory,
    RepairActionFactory,
)
from tests.restoration.priced import priced_estimate

pytestmark = pytest.mark.django_db


@pytest.fixture
def estimate(building):
    return priced_estimate(building)


@pytest.fixture
def panel(building):
    return PanelFactory(opening=OpeningFactory(building=building, number="sIV"), number="2b")


@pytest.fixture
def kind(building):
    return ActionKindFactory(
        studio=building.studio, name="Replace a tie", unit="tie", cautions=["work-at-height"]
    )


def add_url(estimate):
    return f"/estimates/{estimate.pk}/actions/add/"


def sent(kind, where, **fields):
    return {
        "where": where.pk,
        "kind": kind.pk,
        "quantity": "3",
        "difficulty": "1",
        "option": "must",
        "phase": "1",
        **fields,
    }


def test_an_action_is_added_with_the_next_number(owner, estimate, kind, panel):
    response = owner.post(add_url(estimate), sent(kind, panel, quantity="2,0"))
    made = estimate.actions.get(kind=kind)
    assert response.status_code == 302
    assert response["Location"] == f"{estimate.get_absolute_url()}#action-{made.pk}"
    assert (made.opening, made.panel, made.attached_item) == (panel.opening, panel, None)
    assert made.quantity == Decimal("2")
    first = estimate.actions.exclude(pk=made.pk).get()
    assert made.number == first.number + 1


def test_an_action_may_be_on_an_item_or_the_whole_window(owner, estimate, kind, building):
    item = AttachedItemFactory(opening=OpeningFactory(building=building))
    owner.post(add_url(estimate), sent(kind, item))
    owner.post(add_url(estimate), sent(kind, item.opening))
    on_item, on_opening = estimate.actions.filter(kind=kind).order_by("number")
    assert (on_item.attached_item, on_item.panel) == (item, None)
    assert on_opening.attached_item is None
    assert on_opening.opening == item.opening


def test_a_place_or_kind_of_elsewhere_is_no_choice(owner, estimate, kind, panel):
    response = owner.post(add_url(estimate), sent(ActionKindFactory(), OpeningFactory()))
    assert response.status_code == 422
    assert set(response.context["form"].errors) == {"where", "kind"}
    assert estimate.actions.count() == 1


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("quantity", "some", "is not a number"),
        ("quantity", "-1", "-1 is not possible here. Give 0.001 to 1000000."),
        ("quantity", "0", "0 is not possible here."),
        ("quantity", "1.5", "1.5 is no whole number of ties. Give a whole number."),
        ("difficulty", "11", "11 is not possible here. Give 0.1 to 10."),
        ("phase", "0", "0 is not possible here. Give 1 to 99."),
        ("phase", "100", "100 is not possible here."),
        ("lump_sum", "10.0050", "2 decimal places at the most"),
        ("lump_sum", "100", "Say why a lump sum stands"),
        ("lump_sum_reason", "agreed", "Enter the lump sum, or empty the reason"),
    ],
)
def test_what_cannot_be_is_said_beside_its_box_and_kept(
    owner, estimate, kind, panel, field, value, said
):
    data = sent(kind, panel, scope="Two new ties.", **{field: value})
    response = owner.post(add_url(estimate), data)
    text = response.content.decode()
    assert response.status_code == 422
    assert said in text
    assert f'value="{value}"' in text
    assert "Two new ties." in text
    wrong = response.context["form"].errors
    assert wrong
    assert all(f'href="#id_{name}"' in text for name in wrong)
    assert estimate.actions.count() == 1


def test_a_missing_quantity_is_allowed_and_named_later(owner, estimate, kind, panel):
    assert owner.post(add_url(estimate), sent(kind, panel, quantity="")).status_code == 302
    assert estimate.actions.get(kind=kind).quantity is None


def test_from_a_finding_its_place_its_reason_and_its_urgency_are_filled_in(owner, estimate, panel):
    finding = FindingFactory(
        survey=estimate.survey, opening=panel.opening, panel=panel, urgency_class=3
    )
    response = owner.get(f"{add_url(estimate)}?finding={finding.pk}")
    form = response.context["form"]
    assert form["where"].value() == str(panel.pk)
    assert form["findings"].value() == [finding.pk]
    assert form["option"].value() == "must"


@pytest.mark.parametrize("query", ["?finding=nonsense", "?kind=nonsense", "?finding=&kind="])
def test_an_odd_address_fills_in_nothing(owner, estimate, query):
    assert owner.get(add_url(estimate) + query).status_code == 200


def test_a_finding_elsewhere_is_no_reason_for_the_work(owner, estimate, kind, panel, building):
    finding = FindingFactory(survey=estimate.survey, opening=panel.opening)
    other = OpeningFactory(building=building)
    url = f"{add_url(estimate)}?finding={finding.pk}"
    response = owner.post(url, sent(kind, other, findings=[finding.pk]))
    assert response.status_code == 422
    assert "is at another opening than the work" in response.content.decode()
    assert owner.post(url, sent(kind, panel, findings=[finding.pk])).status_code == 302
    assert list(estimate.actions.get(kind=kind).findings.all()) == [finding]


def test_htmx_asks_for_what_is_to_be_known_of_a_kind_of_work(owner, estimate, kind):
    response = owner.get(f"{add_url(estimate)}?kind={kind.pk}", headers={"HX-Request": "true"})
    text = response.content.decode()
    assert "<html" not in text
    assert kind.plain in text
    assert "Work at height" in text
    assert 'aria-current="step">Repair in place' in text
    assert "ties" in text


def test_the_page_of_an_action_carries_its_step_and_its_cautions(owner, estimate, kind, panel):
    action = RepairActionFactory(estimate=estimate, kind=kind, opening=panel.opening, panel=panel)
    text = owner.get(f"/actions/{action.pk}/edit/").content.decode()
    assert "Replace a tie, sIV 2b" in text
    assert "Access is planned, put up and inspected" in text
    assert 'aria-current="step">Repair in place' in text


def test_an_action_is_changed_and_moved(owner, estimate, kind, panel, building):
    action = RepairActionFactory(estimate=estimate, kind=kind, opening=panel.opening, panel=panel)
    elsewhere = OpeningFactory(building=building)
    response = owner.post(
        f"/actions/{action.pk}/edit/",
        sent(kind, elsewhere, phase="2", lump_sum="250", lump_sum_reason="as agreed"),
    )
    assert response.status_code == 302
    action.refresh_from_db()
    assert (action.opening, action.panel, action.phase) == (elsewhere, None, 2)
    assert (action.lump_sum, action.lump_sum_reason) == (250, "as agreed")


def test_an_action_keeps_reasons_from_an_earlier_survey(owner, building, estimate, kind):
    earlier = FindingFactory(survey__building=building)
    action = RepairActionFactory(estimate=estimate, kind=kind, opening=earlier.opening)
    action.findings.add(earlier)
    url = f"/actions/{action.pk}/edit/"
    assert owner.get(url).context["form"]["findings"].value() == [earlier.pk]
    owner.post(url, sent(kind, earlier.opening, findings=[earlier.pk]))
    assert list(action.findings.all()) == [earlier]
    owner.post(url, sent(kind, earlier.opening))
    assert not action.findings.exists()


def test_an_action_is_taken_out(owner, estimate):
    action = estimate.actions.get()
    response = owner.post(f"/actions/{action.pk}/delete/", follow=True)
    assert "is taken out of the estimate" in response.content.decode()
    assert not estimate.actions.exists()


def test_two_people_adding_at_once_both_succeed_or_are_told(
    owner, estimate, kind, panel, monkeypatch
):
    """The number was taken between reading it and saving: an error of the form, not of the page."""
    taken = estimate.actions.get().number
    counting = "restoration.services.action_recording.next_action_number"
    monkeypatch.setattr(counting, lambda estimate: taken)
    response = owner.post(add_url(estimate), sent(kind, panel))
    assert response.status_code == 422
    assert "somebody may have changed the same thing" in response.content.decode()
    monkeypatch.undo()
    assert owner.post(add_url(estimate), sent(kind, panel)).status_code == 302
    assert service.next_action_number is not None
    with pytest.raises(IntegrityError):
        RepairActionFactory(estimate=estimate, number=taken)


def test_who_may_change_actions(people, client_of, estimate, kind, panel):
    action = estimate.actions.get()
    for role, user in people.items():
        client = client_of(user)
        if role in ("owner", "estimator"):
            assert client.get(add_url(estimate)).status_code == 200
            continue
        assert client.post(add_url(estimate), sent(kind, panel)).status_code == 404
        assert client.post(f"/actions/{action.pk}/edit/", {}).status_code == 404
        assert client.post(f"/actions/{action.pk}/delete/").status_code == 404
    assert RepairAction.objects.get() == action


def test_a_delete_is_not_a_link(owner, estimate):
    assert owner.get(f"/actions/{estimate.actions.get().pk}/delete/").status_code == 405


def test_the_form_takes_a_level_number_of_queries(estimate, building, user, count_queries):
    def draw():
        form = ActionForm(estimate=estimate, user=user)
        assert str(form["where"])
        assert str(form["kind"])

    draw()
    few = count_queries(draw)
    for _ in range(5):
        opening = OpeningFactory(building=building)
        PanelFactory(opening=opening)
        AttachedItemFactory(opening=opening)
    assert count_queries(draw) == few
