"""Every choice of every form, made with another studio's record: refused, never written down."""

import re
from html.parser import HTMLParser

import pytest
from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext

from sites.models import CameProfile
from tests import factories
from tests.sites.plaques import plaque, unprinted
from tests.test_hostile_posts import boxes_of
from tests.test_urls_by_role import NO, TABLE, address, everybody, names, records

__all__ = ["everybody", "names", "records"]
pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]

KEY = re.compile(r"[0-9a-f]{8}-(?:[0-9a-f]{4}-){3}[0-9a-f]{12}")
# What stands in a form beside what was chosen: the one-use key, and what its boxes showed.
NO_CHOICE = {"key", "as_shown", "csrfmiddlewaretoken"}
WRITES = ("INSERT", "UPDATE")
# The drawing is saved by one of its many buttons, and only looked at by the others.
SAVES = {"act": "save"}


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


@pytest.fixture
def theirs(files):
    """Records of another studio, one of each kind that a form can name."""
    building = factories.BuildingFactory(name="Their church")
    opening = factories.OpeningFactory(building=building)
    survey = factories.SurveyFactory(building=building)
    estimate = factories.EstimateFactory(building=building)
    user = factories.MembershipFactory(building=building).user
    finding = factories.FindingFactory(survey=survey, opening=opening)
    return {
        "building": building,
        "opening": opening,
        "panel": factories.PanelFactory(opening=opening),
        "item": factories.AttachedItemFactory(opening=opening),
        "proof": unprinted(plaque(building), user),
        "came profile": CameProfile.objects.create(studio=building.studio, name="Their lead"),
        "survey": survey,
        "finding": finding,
        "kind of finding": finding.kind,
        "photograph": factories.PhotographFactory(
            building=building, survey=survey, opening=opening
        ),
        "rate book": estimate.rate_book,
        "kind of action": factories.ActionKindFactory(studio=building.studio),
        "material": factories.MaterialFactory(rate_book=estimate.rate_book),
        "labour rate": factories.LabourRateFactory(rate_book=estimate.rate_book),
    }


def choices_on(client, place) -> Choices:
    page = client.get(place)
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


def same_kind(theirs, key):
    """Theirs of the kind that the record with this key is; None where they have none."""
    kinds = (each for each in theirs.values() if type(each).objects.filter(pk=key).exists())
    return next(kinds, None)


def attacks(client, records, theirs):
    """Each form's each choice of a record, made with theirs of its kind."""
    for name in TABLE:
        if NO in TABLE[name][1:]:
            continue
        place = address(name, records)
        page = choices_on(client, place)
        filled = boxes_of(client, place)
        for button in page.buttons:
            filled.pop(button, None)
        for box, offered in page.found.items():
            record = same_kind(theirs, KEY.search(offered)[0])
            what = f"{name}, {box}"
            assert record is not None, f"{what}: they have nothing of this kind"
            said = filled | SAVES | {box: KEY.sub(str(record.pk), offered)}
            yield what, record, post(client, place, said)


def test_no_choice_takes_another_studio_s_record(records, everybody, theirs):
    earlier = factories.SurveyFactory(building=records["building"])
    factories.FindingFactory(survey=earlier, opening=records["opening"])
    client = Client()
    client.force_login(everybody["studio"])
    tried, taken, told = set(), [], []
    for what, record, (status, written) in attacks(client, records, theirs):
        tried.add(record._meta.model_name)
        if record.pk.hex in written or str(record.pk) in written:
            taken.append(what)
        if status not in (404, 422):
            told.append(f"{what}: {status}")
    assert (taken, told) == ([], [])
    # What was meant to be tried was on the pages to be tried with.
    assert tried >= {"opening", "panel", "finding", "cameprofile", "survey", "ratebook"}
