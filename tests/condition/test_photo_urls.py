"""Signed addresses of photographs' copies: good for a while, for one copy, and for nothing else."""

import re
from io import BytesIO
from types import SimpleNamespace
from urllib.parse import parse_qs, urlsplit

import pytest
from django.test import Client
from django.urls import reverse

from condition import photo_urls
from condition.photo_urls import BUCKET_SECONDS, signed_url
from condition.services.photographs import prepare_photograph
from sites.keys import uuid7
from tests.condition.pictures import jpeg, orientation_exif, quarters
from tests.condition.recorded import receive_photograph

NOON = 1_750_000_000 // BUCKET_SECONDS * BUCKET_SECONDS


@pytest.fixture
def clock(monkeypatch):
    """A function that sets the clock of the addresses."""

    def set_to(seconds: float) -> None:
        monkeypatch.setattr(photo_urls, "time", SimpleNamespace(time=lambda: seconds))

    set_to(NOON)
    return set_to


@pytest.fixture
def photograph(files, building):
    data = jpeg(quarters(size=(2000, 1200)), exif=orientation_exif(1))
    made = receive_photograph(
        building=building,
        file=BytesIO(data),
        name="window.jpg",
    )
    prepare_photograph(made)
    return made


def url_of(photograph, size=800):
    return signed_url(photograph.pk, size, photograph.building.studio_id)


def fetch(url, client=None):
    """Return the response to a request of nobody in particular, and the bytes it sent."""
    response = (client or Client()).get(url)
    return response, response.getvalue()


def test_the_address_is_the_same_for_half_a_day(clock):
    photograph, studio = uuid7(), uuid7()
    first = signed_url(photograph, 800, studio)
    clock(NOON + BUCKET_SECONDS - 1)
    assert signed_url(photograph, 800, studio) == first
    clock(NOON + BUCKET_SECONDS)
    assert signed_url(photograph, 800, studio) != first


@pytest.mark.parametrize("written", [0, BUCKET_SECONDS // 2, BUCKET_SECONDS - 1])
def test_an_address_is_good_for_half_a_day_at_least_and_a_day_at_most(clock, written):
    clock(NOON + written)
    asked = parse_qs(urlsplit(signed_url(uuid7(), 800, uuid7())).query)
    left = int(asked["until"][0]) - (NOON + written)
    assert BUCKET_SECONDS < left <= 2 * BUCKET_SECONDS


@pytest.mark.django_db
@pytest.mark.parametrize("size", [1600, 800, 400])
def test_whoever_holds_the_address_gets_the_copy_and_may_keep_it(clock, photograph, size):
    response, sent = fetch(url_of(photograph, size))
    assert response.status_code == 200
    assert response["Content-Type"] == "image/jpeg"
    with photograph.renditions.get(size=size).file.open("rb") as copy:
        assert sent == copy.read()
    assert response["Cache-Control"] == f"private, max-age={2 * BUCKET_SECONDS}, immutable"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert "sandbox" in response["Content-Security-Policy"]


@pytest.mark.django_db
def test_a_copy_asks_the_database_nothing_and_starts_no_session(clock, photograph, count_queries):
    client = Client()
    assert count_queries(lambda: fetch(url_of(photograph), client)) == 0
    assert not client.cookies


@pytest.mark.django_db
def test_an_address_ends_to_the_second(clock, photograph):
    url = url_of(photograph)
    clock(NOON + 2 * BUCKET_SECONDS - 1)
    assert fetch(url)[0].status_code == 200
    clock(NOON + 2 * BUCKET_SECONDS)
    assert Client().get(url).status_code == 404


CHANGES = {
    "another size": (r"/800\.jpg", "/1600.jpg"),
    "a later end": (r"until=\d+", f"until={NOON + 9 * BUCKET_SECONDS}"),
    "an end that is no number": (r"until=\d+", "until=tomorrow"),
    "another studio": (r"studio=\w+", f"studio={uuid7().hex}"),
    "a studio that climbs": (r"studio=\w+", "studio=../.."),
    "another photograph": (r"photographs/[\w-]+", f"photographs/{uuid7()}"),
    "another key": (r"key=\w+", "key=" + "0" * 64),
    "a key in other letters": (r"key=\w+", "key=%C3%A9"),
    "no key": (r"&key=\w+", ""),
    "nothing asked": (r"\?.*", ""),
}


@pytest.mark.django_db
@pytest.mark.parametrize("change", CHANGES, ids=str)
def test_a_changed_address_is_not_found(clock, photograph, change):
    was, becomes = CHANGES[change]
    changed = re.sub(was, becomes, url_of(photograph))
    assert changed != url_of(photograph)
    assert Client().get(changed).status_code == 404


@pytest.mark.django_db
def test_a_well_signed_address_of_a_copy_that_is_not_there_is_not_found(clock, photograph):
    assert Client().get(url_of(photograph, 123)).status_code == 404


@pytest.mark.django_db
def test_a_signature_made_with_another_secret_is_not_found(clock, photograph, settings):
    url = url_of(photograph)
    settings.SECRET_KEY = "another secret for this test alone, long enough to be one"
    assert Client().get(url).status_code == 404


def test_an_address_is_of_one_studio_s_file(clock):
    photograph, studio, other = uuid7(), uuid7(), uuid7()
    asked = parse_qs(urlsplit(signed_url(photograph, 800, studio)).query)
    until, key = asked["until"][0], asked["key"][0]
    name, _left = photo_urls.check(photograph, 800, studio.hex, until, key)
    assert name == f"{studio}/photographs/{photograph}/800.jpg"
    with pytest.raises(ValueError, match="does not belong"):
        photo_urls.check(photograph, 800, other.hex, until, key)


@pytest.mark.django_db
@pytest.mark.parametrize("name", ["original.jpg", "original.jpeg", "-1.jpg", "800.jpg.jpg"])
def test_nothing_but_a_copy_has_such_an_address(clock, photograph, name):
    query = urlsplit(url_of(photograph)).query
    assert Client().get(f"/photographs/{photograph.pk}/{name}?{query}").status_code == 404


@pytest.mark.django_db
def test_a_copy_is_only_ever_read(clock, photograph):
    path = reverse("condition:photograph-file", args=[photograph.pk, 800])
    assert Client().post(path).status_code == 405
