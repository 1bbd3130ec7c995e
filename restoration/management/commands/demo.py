"""Set the demonstration up: an invented studio, and one church brought home in a folder."""

import tomllib
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandParser

from restoration.demo.judgement import add_judgement
from restoration.services.studios import open_studio
from sites.management.commands.add_user import made_up_password
from sites.models import Building, Membership, Studio, User, VisitFolder
from sites.rules.actor import acting_as

PASSWORD_FILE = "sign-in.txt"


class Command(BaseCommand):
    """`manage.py demo FOLDER`: run again, it only says where to sign in."""

    help = "Set the demonstration up and say how to sign in."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("folder", type=Path, help="where the visit folder and documents go")
        parser.add_argument("--password", default="", help="for all of the demo's people")

    def handle(self, *args: Any, **options: Any) -> None:
        folder: Path = options["folder"]
        scenario = read_scenario()
        if not VisitFolder.objects.filter(studio__name=scenario["name"]).exists():
            self.set_up(folder, scenario, password_for(folder / PASSWORD_FILE, options["password"]))
        self.say_how_to_sign_in(folder, scenario)

    def set_up(self, folder: Path, scenario: dict[str, Any], password: str) -> None:
        with acting_as("demo"):
            studio = open_studio(**studio_fields(scenario))
            people = [person for person in scenario["people"] if person["role"] != "committee"]
            for person in people:
                add_person(studio, person, password)
        visit = folder / "visit"
        call_command("make_visit_folder", str(visit), stdout=self.stdout)
        # Taken in, then judged, then the documents: the report tells what was judged.
        said = {"studio": studio.name, "user": owner_of(scenario)["email"], "stdout": self.stdout}
        call_command("bring_in", str(visit), no_documents=True, **said)
        with acting_as("demo"):
            owner = User.objects.get(email=owner_of(scenario)["email"])
            add_judgement(VisitFolder.objects.get(studio=studio), owner)
        call_command("bring_in", str(visit), out=folder / "documents", **said)
        with acting_as("demo"):
            for person in scenario["people"]:
                if person["role"] == "committee":
                    add_person(studio, person, password, Building.objects.get(studio=studio))

    def say_how_to_sign_in(self, folder: Path, scenario: dict[str, Any]) -> None:
        password = (folder / PASSWORD_FILE).read_text().strip()
        self.stdout.write(f"\nThe documents are in {folder / 'documents'}")
        self.stdout.write(f"\n  {settings.PUBLIC.url}")
        self.stdout.write(f"  sign in as {owner_of(scenario)['email']}")
        self.stdout.write(f"  password   {password}\n")
        others = [p for p in scenario["people"] if p is not owner_of(scenario)]
        for person in others:
            self.stdout.write(f"  ({person['role']}: {person['email']}, the same password)")
        self.stdout.write("")


def read_scenario() -> dict[str, Any]:
    with (settings.BASE_DIR / "fixtures" / "demo" / "studio.toml").open("rb") as file:
        return tomllib.load(file)


def studio_fields(scenario: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in scenario.items() if name != "people"}


def owner_of(scenario: dict[str, Any]) -> dict[str, Any]:
    return next(person for person in scenario["people"] if person["role"] == "owner")


def add_person(
    studio: Studio, person: dict[str, Any], password: str, building: Building | None = None
) -> None:
    user = User.objects.filter(email=person["email"]).first()
    if user is None:
        user = User.objects.create_user(person["email"], password, name=person["name"])
    Membership.objects.get_or_create(
        user=user, studio=studio, building=building, defaults={"role": person["role"]}
    )


def password_for(file: Path, wanted: str) -> str:
    """Return the demo's password, kept in `file` (its owner's alone) before anybody has it.

    A first run that was interrupted left it there: its people have it already.
    """
    if file.exists():
        return file.read_text().strip()
    password = wanted or made_up_password()
    file.parent.mkdir(parents=True, exist_ok=True)
    file.touch(mode=0o600)
    file.write_text(password + "\n")
    return password
