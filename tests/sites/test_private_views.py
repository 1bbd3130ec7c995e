"""What keeps one person's account and pages to themselves."""

import pytest
from allauth.account.models import EmailAddress

from tests.factories import BuildingFactory, MembershipFactory, StudioFactory, UserFactory


@pytest.mark.parametrize("action", ["action_add", "action_primary", "action_send"])
def test_nobody_adds_or_changes_a_sign_in_address(reader, people, action):
    before = EmailAddress.objects.count()
    response = reader.post("/accounts/email/", {action: "", "email": "owner@studio.example"})
    assert response.status_code == 405
    assert EmailAddress.objects.count() == before
    people["reader"].refresh_from_db()
    assert people["reader"].email == "reader@studio.example"


def test_ones_own_address_is_shown(reader):
    assert "reader@studio.example" in reader.get("/accounts/email/").content.decode()


@pytest.mark.parametrize("path", ["", "abc/", "abc:def-1/"])
def test_no_link_confirms_an_address(client, reader, db, path):
    for each in (client, reader):
        assert each.get(f"/accounts/confirm-email/{path}").status_code == 404
        assert each.post(f"/accounts/confirm-email/{path}").status_code == 404


def test_a_page_of_somebody_signed_in_is_asked_for_again(reader, building):
    for url in ("/", building.get_absolute_url()):
        assert reader.get(url)["Cache-Control"] == "private, no-cache"


def test_a_head_request_is_answered_like_a_page(reader, building):
    response = reader.head(building.get_absolute_url())
    assert response.status_code == 200
    assert response.content == b""


def test_a_nul_in_a_search_finds_nothing_and_breaks_nothing(studio_owner):
    assert studio_owner.get("/buildings/", {"q": "\x00"}).status_code == 200


def test_a_role_at_another_studios_building_does_not_shut_out_of_ones_own(client_of, db):
    user = UserFactory()
    MembershipFactory(building=BuildingFactory(studio__name="AAA"), role="reader", user=user)
    MembershipFactory(studio=StudioFactory(name="ZZZ"), building=None, role="owner", user=user)
    response = client_of(user).get("/studio/")
    assert response.status_code == 200
    assert "ZZZ" in response.content.decode()
