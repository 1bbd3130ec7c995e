"""Every form posted with what no honest person types: a refusal or a page, never an error."""

from html.parser import HTMLParser

import pytest
from django.db import transaction
from django.test import Client

from tests.addresses import NO, TABLE, address
from tests.properties import LONG
from tests.world import everybody, records

__all__ = ["everybody", "records"]
pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]

HOSTILE = (
    "NaN",
    "-1e999",
    "x" * 5000,
    "a\x00b",
    "9" * 40,
    "[[[1e308, NaN], {}], null]",
    "[" * 3000,
    "01890000-0000-7000-8000-000000000000",
    "½″ ‮ 🪟 <script>alert(1)</script>",
    "0000-00-00",
    "{}",
    "-0",
)
# As many at a time as the suite has patience for; the long run posts each of them in each box.
EVERY = LONG


class Boxes(HTMLParser):
    """The boxes of a page's forms by name, with what stands in them."""

    def __init__(self) -> None:
        super().__init__()
        self.filled: dict[str, str] = {}
        self._select = ""
        self._text = ""

    def handle_starttag(self, tag, attributes) -> None:
        said = {name: value or "" for name, value in attributes}
        name = said.get("name", "")
        if tag == "input" and name and said.get("type") not in ("file", "submit"):
            if said.get("type") in ("checkbox", "radio") and "checked" not in said:
                self.filled.setdefault(name, "")
            else:
                self.filled[name] = said.get("value", "")
        elif tag == "select":
            self._select = name
            self.filled.setdefault(name, "")
        elif tag == "option" and "selected" in said:
            self.filled[self._select] = said.get("value", "")
        elif tag == "textarea":
            self._text = name
            self.filled.setdefault(name, "")
        elif tag == "button" and name:
            self.filled.setdefault(name, said.get("value", ""))

    def handle_data(self, data) -> None:
        if self._text:
            self.filled[self._text] += data

    def handle_endtag(self, tag) -> None:
        if tag == "textarea":
            self._text = ""


def boxes_of(client: Client, place: str) -> dict[str, str]:
    return boxes_in(client.get(place))


def boxes_in(page) -> dict[str, str]:
    """What stands in the boxes of an answer's forms; nothing for what is no page."""
    reader = Boxes()
    if page.status_code == 200 and not page.streaming and "html" in page["Content-Type"]:
        reader.feed(page.content.decode())
    reader.filled.pop("csrfmiddlewaretoken", None)
    return reader.filled


def post(client: Client, place: str, said: dict[str, str]) -> int:
    """The answer's status; whatever the post did is taken back."""
    with transaction.atomic():
        response = client.post(place, said)
        if response.streaming:
            b"".join(response)
        transaction.set_rollback(True)
    return int(response.status_code)


@pytest.mark.parametrize("name", [name for name in TABLE if TABLE[name][2] != NO])
def test_no_post_is_an_error(name, records, everybody):
    place = address(name, records)
    client = Client()
    client.force_login(everybody["studio"])
    filled = boxes_of(client, place)
    found = []
    for place_of_box, box in enumerate(filled):
        values = HOSTILE if EVERY else [HOSTILE[(place_of_box + len(name)) % len(HOSTILE)]]
        for value in values:
            code = post(client, place, {**filled, box: value})
            found += [f"{box}={value[:20]!r}: {code}"] if code >= 500 else []
    for value in HOSTILE if EVERY else HOSTILE[:2]:
        code = post(client, place, dict.fromkeys(filled, value))
        found += [f"all={value[:20]!r}: {code}"] if code >= 500 else []
    assert found == []
