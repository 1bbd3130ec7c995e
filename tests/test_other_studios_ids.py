"""Every choice of every form, made with a record of another church: refused, never written down."""

from html.parser import HTMLParser
from typing import Any

import pytest
from django.db import connection, transaction
from django.db.models import Model
from django.test.utils import CaptureQueriesContext

from tests.addresses import NO, TABLE, address
from tests.test_hostile_posts import boxes_in
from tests.world import KEY, Records, is_of_a_building, world

__all__ = ["world"]
pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]

# What stands in a form beside what was chosen: the one-use key, and what its boxes showed.
NO_CHOICE = {"key", "as_shown", "csrfmiddlewaretoken"}
WRITES = ("INSERT", "UPDATE")
# The drawing is saved by one of its many buttons, and only looked at by the others.
SAVES = {"act": "save"}

# Of which records a choice must have been found to try this with.
TRIED = {
    "neighbour": {"opening", "panel", "finding", "survey"},
    "foreign": {"opening", "panel", "finding", "survey", "cameprofile", "ratebook"},
}


class Choices(HTMLParser):
    """The boxes of a page by which a record is chosen, each with one choice it offers.

    buttons: the names of its buttons, none of which is pressed.
    """

    def __init__(self) -> None:
        super().__init__()
        self.found: dict[str, str] = {}
        self.buttons: set[str] = set()
        self._select = ""

    def handle_starttag(self, tag, attributes) -> None:
        said = {name: value or "" for name, value in attributes}
        if tag == "select":
            self._select = said.get("name", "")
        elif tag == "button":
            self.buttons.add(said.get("name", ""))
        name = self._select if tag == "option" else said.get("name", "")
        if tag in ("option", "input") and name and name not in NO_CHOICE:
            value = said.get("value", "")
            if KEY.search(value):
                self.found[name] = value

    def handle_endtag(self, tag) -> None:
        if tag == "select":
            self._select = ""


def choices_on(page) -> Choices:
    reader = Choices()
    if page.status_code == 200 and not page.streaming and "html" in page["Content-Type"]:
        reader.feed(page.content.decode())
    return reader


def post(client, place, said) -> tuple[int, str]:
    """The answer's status and what was written; whatever the post did is taken back."""
    with transaction.atomic(), CaptureQueriesContext(connection) as asked:
        response = client.post(place, said)
        transaction.set_rollback(True)
    written = [each["sql"] for each in asked if each["sql"].startswith(WRITES)]
    return response.status_code, "\n".join(written)


def same_kind(records: Records, key: str) -> Any:
    """The one of the records that is of the kind which the row with this key is; None for none."""
    rows = (each for each in records.values() if isinstance(each, Model))
    return next((each for each in rows if type(each).objects.filter(pk=key).exists()), None)


def attacks(client, own, theirs, may_be_theirs):
    """Each form's each choice of a record, made with theirs of its kind.

    may_be_theirs: tells of a record whether it is no secret, and may be chosen.
    """
    for name in TABLE:
        if NO in TABLE[name][1:]:
            continue
        place = address(name, own)
        page = client.get(place)
        choices, filled = choices_on(page), boxes_in(page)
        for button in choices.buttons:
            filled.pop(button, None)
        for box, offered in choices.found.items():
            record = same_kind(theirs, KEY.search(offered)[0])
            what = f"{name}, {box}"
            assert record is not None, f"{what}: they have nothing of this kind"
            if may_be_theirs(record):
                continue
            said = filled | SAVES | {box: KEY.sub(str(record.pk), offered)}
            yield what, record, post(client, place, said)


@pytest.mark.parametrize(("who", "church"), [("neighbour", "next_door"), ("foreign", "abroad")])
def test_no_choice_takes_another_church_s_record(who, church, world):
    def is_the_studio_s(record) -> bool:
        """Kinds, rates and leads are of a studio, at all its buildings."""
        return who == "neighbour" and not is_of_a_building(type(record))

    tried, taken, told = set(), [], []
    client, own = world.clients[who], getattr(world, church)
    for what, record, (status, written) in attacks(client, own, world.here, is_the_studio_s):
        tried.add(record._meta.model_name)
        if record.pk.hex in written or str(record.pk) in written:
            taken.append(what)
        if status not in (404, 422):
            told.append(f"{what}: {status}")
    assert (taken, told) == ([], [])
    # What was meant to be tried was on the pages to be tried with.
    assert tried >= TRIED[who]
