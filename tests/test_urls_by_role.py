"""Every address, for everybody, read and posted to: an address without a row in the table fails.

The table is `tests/addresses.py`. What one may not know of, one is not shown a word of either.
"""

from contextlib import nullcontext
from unittest import mock

import pytest
from django.db import transaction
from django.test import Client

from sites.compute.roles import READ_COSTS, READ_PEOPLE, READ_QUOTES, ROLES
from tests.addresses import COLUMNS, SIGNED, SIGNING_IN, TABLE, address, names, records_of, view_of
from tests.world import SUMS_THERE, everything_in, world

__all__ = ["world"]
pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]

NOTHING = "01890000-0000-7000-8000-000000000000"
DRAWING = "django.template.backends.django.Template.render"
PAGE_POLICY = ("script-src 'self'", "frame-ancestors 'none'", "base-uri 'none'")


def test_every_address_has_a_row_and_every_row_an_address_and_a_letter_for_each_column():
    addresses = {name for name in names() if not name.startswith(SIGNING_IN)} - SIGNED
    assert addresses == {view_of(name) for name in TABLE}
    wrong = [
        name
        for name, (_, *letters) in TABLE.items()
        if any(len(each) != len(COLUMNS) or set(each) - set("ofnm") for each in letters)
    ]
    assert wrong == []


def answer(client: Client, method: str, place: str):
    """What a GET or an empty POST is answered; whatever it changed is taken back.

    The page that answers a POST is not drawn: it is the one that was read, with its refusals, and
    tests/test_hostile_posts.py draws it.
    """
    drawn = nullcontext() if method == "GET" else mock.patch(DRAWING, return_value="")
    with transaction.atomic(), drawn:
        response = getattr(client, method.lower())(place)
        if response.streaming:
            response.getvalue()  # a file is closed once it is read
        transaction.set_rollback(True)
    return response


def outcome(response) -> str:
    """The table's letter for an answer; the status where it has none."""
    code = response.status_code
    if code in (200, 302, 303, 422):
        return "sign-in" if "/accounts/login/" in response.get("Location", "") else "o"
    return {403: "f", 404: "n", 405: "m"}.get(code, str(code))


def lacking_in(response) -> list[str]:
    """What an answer lacks that nobody else may see, store, frame or run anything in."""
    policy = response.get("Content-Security-Policy", "")
    is_page = "html" in response.get("Content-Type", "")
    wrong = [] if "default-src 'none'" in policy else [f"policy {policy!r}"]
    wrong += [part for part in PAGE_POLICY if is_page and part not in policy]
    wrong += [word for word in ("unsafe-eval", "http:", "*") if word in policy]
    wrong += ["unsafe-inline"] if is_page and "unsafe-inline" in policy else []
    cache = response.get("Cache-Control", "")
    # A picture may be kept by the browser of who has seen it; a page or a document is asked for.
    kept = response.get("Content-Type", "").startswith("image/") or "no-" in cache
    wrong += [] if "private" in cache and kept else [f"cache {cache!r}"]
    wrong += [] if response.get("X-Content-Type-Options") == "nosniff" else ["sniffing"]
    wrong += [] if response.get("X-Frame-Options") == "DENY" else ["framing"]
    wrong += [] if response.get("Referrer-Policy") == "same-origin" else ["referrer"]
    return wrong


def betrayed_to(column: str, response, world) -> list[str]:
    """What an answer shows that the column's role at the building does not let them read."""
    may = ROLES.get("owner" if column == "studio" else column, frozenset())
    quoted, shared = map(str, SUMS_THERE)
    secrets = {
        READ_QUOTES: [quoted, world.here["quote"].number],
        READ_COSTS: [shared, *(str(world.here[kind].pk) for kind in ("estimate", "action"))],
        READ_PEOPLE: [world.here["person"].name],
    }
    # Sums stand in boxes without what parts their thousands on paper.
    text = everything_in(response).replace(",", "")
    hidden = [
        secret for ability, known in secrets.items() if ability not in may for secret in known
    ]
    return [each for each in hidden if each in text]


@pytest.mark.parametrize("name", TABLE)
def test_each_gets_what_the_table_says_and_every_answer_keeps_to_itself(name, world):
    place = address(name, world.here)
    got = {"GET": [], "POST": []}
    exposed = {}
    for method, letters in got.items():
        for column in COLUMNS:
            response = answer(world.clients[column], method, place)
            letters.append(outcome(response))
            if lacking := lacking_in(response):
                exposed[f"{method} by {column}"] = [response.status_code, *lacking]
            if betrayed := betrayed_to(column, response, world):
                exposed[f"{method} by {column}"] = betrayed
    _, reading, posting = TABLE[name]
    assert ("".join(got["GET"]), "".join(got["POST"])) == (reading, posting)
    assert exposed == {}


def test_prices_and_people_are_shown_to_those_who_may_read_them(world):
    """So that none of them shown to others says something."""
    quoted, shared = (f"{each:,}" for each in SUMS_THERE)
    shown = everything_in(world.clients["owner"].get(address("sites:building", world.here)))
    assert quoted in shown
    assert world.here["person"].name in shown
    estimate = address("restoration:estimate", world.here)
    assert shared in everything_in(world.clients["estimator"].get(estimate))


def test_nobody_gets_anywhere_without_signing_in(world):
    client = Client()
    reached = [
        f"{method} {name}"
        for name in TABLE
        for method in ("GET", "POST")
        if outcome(answer(client, method, address(name, world.here))) != "sign-in"
    ]
    assert reached == []


def test_a_key_of_nothing_is_not_known(world):
    known = []
    for name in TABLE:
        for record in records_of(name):
            place = address(name, world.here).replace(str(world.here[record].pk), NOTHING)
            for method in ("GET", "POST"):
                code = answer(world.clients["owner"], method, place).status_code
                known += [f"{method} {place}: {code}"] if code not in (404, 405) else []
    assert known == []
