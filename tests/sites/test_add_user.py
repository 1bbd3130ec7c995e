"""Letting somebody sign in from the command line."""

import re

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse

from sites.models import Change, Membership, User
from tests.factories import BuildingFactory, MembershipFactory, StudioFactory

pytestmark = pytest.mark.django_db


def add(*arguments: object) -> None:
    call_command("add_user", *map(str, arguments))


def test_a_new_person_gets_a_role_at_the_whole_studio_and_a_password_shown_once(capsys):
    studio = StudioFactory(name="Alder")
    add("Ada@Studio.Example", "--name", "Ada Verrier", "--role", "owner", "--studio", studio.name)
    shown = capsys.readouterr().out
    membership = Membership.objects.get()
    assert (membership.user.email, membership.role) == ("ada@studio.example", "owner")
    assert (membership.studio, membership.building) == (studio, None)
    password = re.search(r"shown this once: (\S+)", shown)[1]
    assert len(password) == 20
    assert membership.user.check_password(password)


def test_the_person_can_sign_in_with_the_password_of_the_file(tmp_path, capsys):
    StudioFactory(name="Alder")
    file = tmp_path / "password"
    file.write_text("twelve panes of blue\n")
    add(
        "ada@studio.example", "--name", "Ada", "--role", "owner", "--studio", "Alder",
        "--password-file", file,
    )  # fmt: skip
    assert "twelve" not in capsys.readouterr().out
    client = Client()
    client.post(
        reverse("account_login"),
        {"login": "ada@studio.example", "password": "twelve panes of blue"},
    )
    assert client.session["_auth_user_id"] == str(User.objects.get().pk)


@pytest.mark.parametrize("how", ["name", "name and place", "key"])
def test_a_building_is_named_by_its_name_its_place_or_its_key(how):
    building = BuildingFactory(name="St Bride", place="Testham")
    named = {"name": building.name, "name and place": str(building), "key": building.pk}[how]
    add("cy@parish.example", "--name", "Cy", "--role", "committee", "--building", named)
    assert Membership.objects.get().building == building


def test_a_second_run_changes_the_role_and_leaves_the_password(capsys):
    member = MembershipFactory(role="reader")
    password = member.user.password
    add(member.user.email, "--role", "surveyor", "--building", member.building.pk)
    member.refresh_from_db()
    member.user.refresh_from_db()
    assert (member.role, member.user.password) == ("surveyor", password)
    assert "is now surveyor" in capsys.readouterr().out
    assert Change.objects.get(table="sites_membership").actor == "add_user"


def test_the_same_role_again_changes_nothing(capsys):
    member = MembershipFactory(role="reader")
    add(member.user.email, "--role", "reader", "--building", member.building.pk)
    assert "already" in capsys.readouterr().out
    assert not Change.objects.filter(table="sites_membership").exists()


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["--role", "owner"], "--studio NAME or --building NAME"),
        (["--role", "owner", "--studio", "Nobody"], "There is: Alder"),
        (["--role", "owner", "--building", "Nowhere"], "There is none yet"),
        (["--role", "owner", "--studio", "Alder"], "give their name"),
        (["--role", "committee", "--studio", "Alder"], "sees one building"),
        (
            ["--role", "owner", "--studio", "Alder", "--name", "A", "--password-file", "no"],
            "cannot be read",
        ),
    ],
)
def test_what_is_missing_or_unknown_is_said_and_nobody_is_added(arguments, message):
    StudioFactory(name="Alder")
    with pytest.raises(CommandError, match=message):
        add("ada@studio.example", *arguments)
    assert not User.objects.exists()


@pytest.mark.parametrize("password", ["short", "", "password1234"])
def test_a_poor_password_is_refused(tmp_path, password):
    StudioFactory(name="Alder")
    file = tmp_path / "password"
    file.write_text(password)
    with pytest.raises(CommandError):
        add(
            "ada@studio.example", "--name", "Ada", "--role", "owner", "--studio",
            "Alder", "--password-file", file,
        )  # fmt: skip
    assert not User.objects.exists()


def test_an_address_that_is_none_is_refused():
    StudioFactory(name="Alder")
    with pytest.raises(CommandError, match="valid email"):
        add("ada at studio", "--name", "A", "--role", "owner", "--studio", "Alder")
    assert not User.objects.exists()


def test_a_password_file_for_somebody_who_can_sign_in_is_refused(tmp_path):
    member = MembershipFactory()
    file = tmp_path / "password"
    file.write_text("twelve panes of blue")
    with pytest.raises(CommandError, match="not changed here"):
        add(
            member.user.email, "--role", "owner", "--building", member.building.pk,
            "--password-file", file,
        )  # fmt: skip


def test_two_buildings_of_one_name_are_told_apart_by_their_keys():
    one = BuildingFactory(name="St Bride", place="Testham")
    BuildingFactory(name="St Bride", place="Otherham", studio=one.studio)
    with pytest.raises(CommandError, match=str(one.pk)):
        add("cy@parish.example", "--name", "C", "--role", "reader", "--building", "St Bride")
