"""Who has no role at a building is shown nothing of it, on whatever page they may open.

They are an owner, a member of the committee and a reader of another building of the same studio,
and an owner of the whole of another studio. What is looked for stands in `tests/world.py`.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.db.models import Model
from django.http import QueryDict
from django.urls import reverse

from condition.photo_urls import signed_url
from restoration.services.today import LISTS
from tests.addresses import TABLE, address, records_of
from tests.test_hostile_posts import boxes_in
from tests.world import (
    KEY,
    WORD,
    Marks,
    Records,
    World,
    digest_of_tables,
    everything_in,
    is_of_a_building,
    world,
)

__all__ = ["world"]
pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]

# Each outsider, and which church of the world is theirs.
OUTSIDERS = {
    "neighbour": "next_door",
    "committee next door": "next_door",
    "reader next door": "next_door",
    "foreign": "abroad",
}
# What a page may be asked for by its query, and the kinds of record it may name. A name of a kind
# of record needs no line.
NAMED_OTHERWISE = {
    "with": ("survey", "photograph"),
    "on": ("photograph",),
    "kind": ("finding_kind", "action_kind"),
    "continues": ("finding",),
    "where": ("opening", "panel", "item"),
    "part": ("panel", "item"),
}
# What else is looked up there, or among the boxes of a form before it was sent.
NO_RECORD = {
    "q",
    "page",
    "list",
    "which",
    "numerals",
    "wrong",
    "from",
    "scale",
    "download",
    "side",
    "extent",
    "amount",
    "unit",
    "of_total",
    "subject_change",
    "codes",
    "height",
    "below",
    "title",
    "straight",
    "outcome",
    "seen_from",
    "reason",
    "within",
    "act",
    "agreed",
    "accept",
    "undo",
    "typed",
}
every_outsider = pytest.mark.parametrize("outsider", OUTSIDERS)


def marks_for(world: World, outsider: str) -> Marks:
    return world.marks_of_the_studio if outsider == "foreign" else world.marks


def lists_to_read() -> list[str]:
    """The addresses on which records of many buildings stand together, and a search for the word.

    The search box shows again what was looked for, so that is a part of the word.
    """
    buildings = reverse("sites:buildings")
    return [
        "/",
        *(f"/?list={name}" for name in LISTS),
        buildings,
        f"{buildings}?q={WORD[1:]}",
        f"{buildings}?q={WORD[:-1].upper()}",
    ]


@contextmanager
def asked_of_the_query() -> Iterator[set[str]]:
    """The names that a view looks up in the query of an address, filled in as it does."""
    asked: set[str] = set()

    def noting(method):
        def look_up(query, name):
            asked.add(name)
            return method(query, name)

        return look_up

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(QueryDict, "__getitem__", noting(QueryDict.__getitem__))
        patch.setattr(QueryDict, "__contains__", noting(dict.__contains__), raising=False)
        yield asked


def queries_naming(world: World, name: str) -> list[tuple[str, str]]:
    """Queries of this name that name a record of the first church, each with the key it names."""
    kinds = [] if name in NO_RECORD else NAMED_OTHERWISE.get(name, (name,))
    return [(f"?{name}={world.here[kind].pk}", world.here[kind].pk.hex) for kind in kinds]


def shown_on_own_pages(world: World, outsider: str) -> tuple[list[str], int]:
    """Where something of the first church stands on a page the outsider opens; how many opened."""
    client, own = world.clients[outsider], getattr(world, OUTSIDERS[outsider])
    marks = marks_for(world, outsider)
    found, opened = [], 0
    for name in TABLE:
        place = address(name, own)
        with asked_of_the_query() as asked:
            response = client.get(place)
        opened += response.status_code == 200
        found += [f"{name}: {each}" for each in marks.in_answer(response)]
        unknown = asked - NO_RECORD - set(NAMED_OTHERWISE) - set(world.here)
        found += [f"{name}: what does ?{each}= name?" for each in unknown]
        for query, key in (
            pair for each in asked - unknown for pair in queries_naming(world, each)
        ):
            answer = client.get(place + query)
            found += [f"{name}{query}: {each}" for each in marks.in_answer(answer, {key})]
    return found, opened


@every_outsider
def test_no_page_of_their_own_shows_anything_of_the_building(outsider, world):
    found, opened = shown_on_own_pages(world, outsider)
    assert found == []
    assert opened >= (25 if "next door" in outsider else 70)


def test_who_may_read_the_building_finds_it_in_every_list(world):
    client = world.clients["owner"]
    assert [
        place for place in lists_to_read() if WORD not in everything_in(client.get(place))
    ] == []


@every_outsider
def test_no_list_and_no_search_shows_anything_of_the_building(outsider, world):
    client, marks = world.clients[outsider], marks_for(world, outsider)
    found = []
    for place in lists_to_read():
        for headers in ({}, {"HX-Request": "true"}):
            response = client.get(place, headers=headers)
            found += [f"{place} {headers}: {each}" for each in marks.in_answer(response)]
    assert found == []


@pytest.fixture(scope="module")
def pages(world) -> dict[str, tuple[Any, str]]:
    """What an owner of the studio is answered at each address of the first church, and its text."""
    client = world.clients["studio"]
    answers = {name: client.get(address(name, world.here)) for name in TABLE}
    return {name: (answer, everything_in(answer)) for name, answer in answers.items()}


def test_the_word_stands_on_every_page_and_in_every_file_of_the_building(pages, world):
    """So its absence elsewhere says something."""
    shown = {
        name: text
        for name, (answer, text) in pages.items()
        if any(is_of_a_building(type(world.here[kind])) for kind in records_of(name))
        and answer.status_code == 200
        and not answer["Content-Type"].startswith("image/")
    }
    assert len(shown) > 60
    assert [name for name, text in shown.items() if WORD not in text] == []


def places_with_its_keys(world: World, name: str, own: Records) -> list[str]:
    """The address with keys of the first church: with all, or with one beside one's own."""
    kinds = [kind for kind in records_of(name) if isinstance(world.here[kind], Model)]
    mixed = product(*[[(kind, world.here), (kind, own)] for kind in kinds])
    with_its = [each for each in mixed if any(whose is world.here for _, whose in each)]
    return [address(name, own | {kind: whose[kind] for kind, whose in each}) for each in with_its]


def files_kept() -> list[tuple[str, bytes]]:
    kept = [file for file in Path(settings.MEDIA_ROOT).rglob("*") if file.is_file()]
    return sorted((str(file), file.read_bytes()) for file in kept)


@every_outsider
def test_no_key_of_the_building_is_answered_or_lets_anything_be_changed(outsider, world, pages):
    client, own = world.clients[outsider], getattr(world, OUTSIDERS[outsider])
    marks = marks_for(world, outsider)
    tables, files, wrong = digest_of_tables(), files_kept(), []
    for name in TABLE:
        for place in places_with_its_keys(world, name, own):
            sent = {key.replace("-", "") for key in KEY.findall(place)}
            # Of their own survey they may know that there is one.
            refusals = (403, 404, 405) if own["survey"].pk.hex in sent else (404, 405)
            for response in (client.get(place), client.post(place, boxes_in(pages[name][0]))):
                code = response.status_code
                wrong += [f"{place}: {code}"] if code not in refusals else []
                wrong += [f"{place}: {each}" for each in marks.in_answer(response, sent)]
    assert wrong == []
    now = digest_of_tables()
    assert [name for name in tables if tables[name] != now[name]] == []
    assert files_kept() == files


@pytest.mark.parametrize("whose", ["next_door", "abroad"])
def test_the_address_of_one_s_own_picture_opens_no_other(whose, world):
    """Whoever holds a signed address may open it, so each must be good for its picture alone."""
    own, here = getattr(world, whose)["measured"], world.here["measured"]
    url, its_url = (signed_url(each.pk, 1600, each.building.studio_id) for each in (own, here))
    client = world.clients["foreign"]
    assert [len(client.get(each).getvalue()) > 1000 for each in (url, its_url)] == [True, True]
    other_picture = url.replace(str(own.pk), str(here.pk))
    other_studio = other_picture.replace(own.building.studio_id.hex, here.building.studio_id.hex)
    found = [client.get(each).status_code for each in (other_picture, other_studio)]
    assert found == [404, 404]
