"""Let somebody sign in, with a role at a whole studio or at one building."""

import secrets
from pathlib import Path
from typing import Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.core.validators import validate_email
from django.db import transaction

from sites.compute.roles import ROLES
from sites.models import Building, Membership, Studio, User
from sites.rules.actor import acting_as

# 20 letters and figures without those that are mistaken for one another: 112 bits.
LETTERS = "abcdefghijkmnpqrstuvwxyzABCDEFGHJKLMNPQRSTUVWXYZ23456789"
PASSWORD_LENGTH = 20


class Command(BaseCommand):
    """`manage.py add_user EMAIL`: a second run adds or changes the role, never the password."""

    help = "Let somebody sign in, with a role at a whole studio or at one building."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("email")
        parser.add_argument("--name", default="", help="as it is shown; needed for a new person")
        parser.add_argument("--role", required=True, choices=sorted(ROLES))
        parser.add_argument("--studio", default="", help="the studio's name: a role at all of it")
        parser.add_argument(
            "--building", default="", help='"Name, Place" or the key: a role at this one only'
        )
        parser.add_argument(
            "--password-file", type=Path, help="its first line; without it a password is made up"
        )

    @transaction.atomic
    def handle(self, *args: Any, **options: Any) -> None:
        email = options["email"].strip().lower()
        studio, building = place(options["studio"], options["building"])
        if options["role"] == "committee" and building is None:
            raise CommandError("A committee member sees one building: name it with --building.")
        with acting_as("add_user"):
            user = User.objects.filter(email=email).first()
            if user is None:
                user = self.add(email, options["name"].strip(), options["password_file"])
            elif options["password_file"]:
                raise CommandError(f"{email} signs in already; the password is not changed here.")
            self.give_role(user, options["role"], studio, building)

    def add(self, email: str, name: str, password_file: Path | None) -> User:
        if not name:
            raise CommandError(f"{email} is new here: give their name with --name.")
        password = read_password(password_file) if password_file else made_up_password()
        user = User(email=email, name=name)
        try:
            validate_email(email)
            validate_password(password, user)
        except ValidationError as problem:
            raise CommandError(" ".join(problem.messages)) from problem
        user = User.objects.create_user(email, password, name=name)
        if not password_file:
            self.stdout.write(f"Password of {email}, shown this once: {password}")
        return user

    def give_role(self, user: User, role: str, studio: Studio, building: Building | None) -> None:
        where = building or studio
        membership = Membership.objects.filter(user=user, studio=studio, building=building).first()
        if membership is None:
            Membership.objects.create(user=user, studio=studio, building=building, role=role)
            self.stdout.write(f"{user.email} is {role} at {where}.")
        elif membership.role == role:
            self.stdout.write(f"{user.email} was {role} at {where} already.")
        else:
            before, membership.role = membership.role, role
            membership.save(update_fields=["role"])
            self.stdout.write(f"{user.email} is now {role} at {where}, and was {before}.")


def place(studio_name: str, building_name: str) -> tuple[Studio, Building | None]:
    """Return the studio, and the building where one is named. Raises CommandError for neither."""
    if not studio_name and not building_name:
        raise CommandError("Say where the role holds: --studio NAME or --building NAME.")
    studio = studio_called(studio_name) if studio_name else None
    if not building_name:
        assert studio is not None
        return studio, None
    building = building_called(building_name, studio)
    return building.studio, building


def studio_called(name: str) -> Studio:
    studio = Studio.objects.filter(name=name.strip()).first()
    if studio is None:
        raise CommandError(f'No studio is called "{name}". {known(Studio.objects.all())}')
    return studio


def building_called(name: str, studio: Studio | None) -> Building:
    """Return the building of this name and place, name or key. Raises CommandError unless one."""
    buildings = Building.objects.select_related("studio")
    if studio is not None:
        buildings = buildings.filter(studio=studio)
    found = [
        building
        for building in buildings
        if name.strip() in (str(building), building.name, str(building.pk))
    ]
    if len(found) == 1:
        return found[0]
    if found:
        keys = ", ".join(f"{building} ({building.pk})" for building in found)
        raise CommandError(f'Several buildings are called "{name}": give the key. {keys}')
    raise CommandError(f'No building is called "{name}". {known(buildings)}')


def known(rows: Any) -> str:
    """Name what there is, so that a slip of the keyboard is seen."""
    names = [str(row) for row in rows[:12]]
    return f"There is: {'; '.join(names)}." if names else "There is none yet."


def read_password(path: Path) -> str:
    try:
        lines = path.read_text("utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as problem:
        raise CommandError(f"The password file cannot be read: {problem}") from problem
    if not lines or not lines[0]:
        raise CommandError("The password file's first line is empty.")
    return lines[0]


def made_up_password() -> str:
    return "".join(secrets.choice(LETTERS) for _ in range(PASSWORD_LENGTH))
