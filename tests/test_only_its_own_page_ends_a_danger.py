"""A danger stays open whatever is posted, brought in or run, until its own page says that it ended.

Every address that takes a post is sent plausible values, one after the other at one church; a visit
folder says all it can of the same thing; and every command is run.
"""

import datetime as dt
import random
from collections import Counter
from contextlib import nullcontext, suppress
from html.parser import HTMLParser
from uuid import UUID

import pytest
from django.core.management import CommandError, call_command, get_commands
from django.test import Client

from condition.models import Danger, DangerAct
from restoration.services.studios import open_studio
from sites import jobs
from tests.addresses import NO, TABLE, address
from tests.factories import (
    FindingFactory,
    SurveyFactory,
    UserFactory,
)
from tests.restoration.visit_folders import (
    SMALL_REGISTER,
    quietly,
    small_folder,
)
from tests.world import everybody, records

__all__ = ["everybody", "records"]
pytestmark = pytest.mark.django_db

ENDS = "condition:danger-act end"
POSTED = sorted(name for name, (_kind, _read, posting) in TABLE.items() if posting != NO)
PARTS = 5
WORDS = "Pulled, steady"
TYPED = {"date": "2026-06-01", "number": "1", "email": "somebody@parish.example"}


class Plausible(HTMLParser):
    """The boxes of a page by name, each with what could stand in it; its buttons apart."""

    def __init__(self) -> None:
        super().__init__()
        self.values: dict[str, list[str]] = {}
        self.buttons: list[tuple[str, str]] = []
        self._select = ""

    def handle_starttag(self, tag, attributes) -> None:
        said = {name: value or "" for name, value in attributes}
        name, kind, value = said.get("name", ""), said.get("type", ""), said.get("value", "")
        if tag == "select":
            self._select = name
        elif tag == "option" and self._select:
            self.values.setdefault(self._select, []).append(value)
        elif tag == "button" and name:
            self.buttons.append((name, value))
        elif tag == "textarea" and name:
            self.values[name] = [WORDS]
        elif tag != "input" or not name or kind in ("file", "submit"):
            return
        elif kind == "radio":
            self.values.setdefault(name, []).append(value)
        elif kind == "checkbox":
            self.values.setdefault(name, [""]).append(value or "on")
        else:
            self.values.setdefault(name, []).append(value or TYPED.get(kind, WORDS))

    def handle_endtag(self, tag) -> None:
        if tag == "select":
            self._select = ""


def drawn_from(page, rng: random.Random) -> dict[str, str]:
    """One way of filling in what an answer shows; nothing for what is no page."""
    reader = Plausible()
    if page.status_code == 200 and not page.streaming and "html" in page["Content-Type"]:
        reader.feed(page.content.decode())
    said = {name: rng.choice(values) for name, values in reader.values.items()}
    said.pop("csrfmiddlewaretoken", None)
    return said | dict(rng.sample(reader.buttons, 1) if reader.buttons else [])


def open_dangers() -> set[UUID]:
    return set(Danger.objects.not_ended().values_list("pk", flat=True))


@pytest.fixture
def church(records):
    """The records of a church, each that can be with a danger; another danger was seen before."""
    opening, survey = records["opening"], records["survey"]
    before = SurveyFactory(building=records["building"], day=survey.day - dt.timedelta(days=400))
    for thing in ({}, {"panel": records["panel"]}, {"attached_item": records["item"]}):
        FindingFactory(survey=before, opening=opening, hazard=True, made_safe="Wired", **thing)
        FindingFactory(survey=survey, opening=opening, hazard=True, **thing)
    return records | {"finding": records["danger"]}


@pytest.mark.parametrize("part", range(PARTS))
@pytest.mark.parametrize("seed", [3, 8])
def test_no_post_but_the_one_that_says_so_ends_a_danger(church, everybody, seed, part):
    client, rng = Client(), random.Random(100 * seed + part)
    client.force_login(everybody["studio"])
    before = open_dangers()
    assert len(before) >= 8
    names = [name for name in POSTED if name != ENDS]
    random.Random(seed).shuffle(names)
    answers: Counter[int] = Counter()
    for name in names[part::PARTS]:
        place = address(name, church)
        for _ in range(2):
            answers[client.post(place, drawn_from(client.get(place), rng)).status_code] += 1
            assert before <= open_dangers(), name
    # Some of what is sent is taken: else this would say nothing.
    assert answers[302] >= 5, answers
    assert not DangerAct.objects.filter(act="end").exists()


def test_the_page_of_its_end_ends_one_danger_and_no_other(church, everybody):
    client = Client()
    client.force_login(everybody["studio"])
    before = open_dangers()
    said = {"end": "removed", "day": "2026-06-01", "judged_from": "ladder", "by_trade": "glazier"}
    assert client.post(address(ENDS, church), said).status_code == 302
    assert before - open_dangers() == {church["open_danger"].pk}


# What a folder may say of the plaque that hung by its last tab the year before.
SAYS = [
    {},
    {"can it come down": "no", "because": WORDS, "from": "tower"},
    {"can it come down": "not judged"},
    {"amount": 0, "condition class": 0, "urgency class": 1},
    {"kind": "failed-solder-joint", "continues": ""},
    {
        "can it come down": "could",
        "measure": "taken away",
        "it is now": "Vestry",
        "held by": "Sexton",
    },
    {"can it come down": "could", "measure": "mended on the spot", "done": "Soldered anew"},
]


@pytest.mark.parametrize("says", SAYS, ids=str)
def test_no_visit_folder_ends_a_danger(files, tmp_path, says):
    studio, user = open_studio("Alder Lane Glass"), UserFactory()
    take_in = quietly(studio, user)
    take_in(small_folder(tmp_path / "first"))
    before = open_dangers()
    assert before
    row = {
        "finding": "2027-001",
        "survey": "2027",
        "opening": "nII",
        "item": "P1",
        "kind": "item-fixing-failed",
        "amount": 1,
        "unit": "count",
        "continues": "2026-002",
    } | says
    look = ["2028", "nII", "P1", "both", "nothing found", "ladder"]
    findings = {
        "Surveys": [
            ["survey", "date", "surveyors"],
            ["2027", "2026-05-12", "A. Verrier"],
            ["2028", "2026-05-20", "A. Verrier"],
        ],
        "Findings": [list(row), list(row.values())],
        "Looked at": [["survey", "opening", "item", "side", "outcome", "from"], look],
    }
    register = {
        "Building": SMALL_REGISTER["Building"],
        "Openings": [["number"], ["nII"]],
    }
    take_in(small_folder(tmp_path / "second", register=register, findings=findings, photographs={}))
    assert before <= open_dangers()
    assert Danger.objects.get(pk=min(before)).acts.exists()


# What each command is given; no words: it needs none.
RUN = {
    "add_user": ["new@studio.example", "--name", "New", "--role", "owner", "--studio", "{studio}"],
    "backup": ["{folder}/backups"],
    "restore": ["{folder}/backups"],
    "migrate": [],
    "open_studio": ["Another studio"],
    "verify_documents": [],
}
# An installation that is not empty is not restored over; these records have no files.
COMPLAINS = {"backup", "restore", "verify_documents"}
# The folder is brought in above; the worker's jobs are run below; the others write files, serve
# pages, or do what these do in a studio of their own.
NOT_RUN = {"bring_in", "worker", "serve", "make_visit_folder", "demo"}


def test_no_command_ends_a_danger(church, tmp_path):
    own = {
        name
        for name, room in get_commands().items()
        if room in ("sites", "condition", "restoration")
    }
    assert own == set(RUN) | NOT_RUN
    before = open_dangers()
    for name in sorted(RUN):
        said = [
            word.format(folder=tmp_path, studio=church["building"].studio.name)
            for word in RUN[name]
        ]
        with suppress(CommandError, SystemExit) if name in COMPLAINS else nullcontext():
            call_command(name, *said, verbosity=0)
        assert before <= open_dangers(), name
    while job := jobs.claim("test"):
        jobs.run(job)
    assert before <= open_dangers()
