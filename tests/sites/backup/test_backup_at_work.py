"""A backup made while ten people write and upload is of one moment, and whole."""

import re
import threading
from collections import defaultdict
from io import BytesIO
from uuid import UUID

import pytest
from django.db import connection, transaction

from condition.models import Finding
from sites.models import Building
from tests import factories as make
from tests.condition.pictures import jpeg, quarters
from tests.condition.recorded import receive_photograph
from tests.sites.backup import plain
from tests.sites.backup.installations import in_threads

pytestmark = [pytest.mark.faults, pytest.mark.django_db]

PEOPLE = 10


class People:
    """Ten people, each at a window: two findings in one transaction, then a photograph, again."""

    def __init__(self) -> None:
        self.survey = make.SurveyFactory(building=Building.objects.get(name__startswith="Chapel"))
        self.kind = make.FindingKindFactory(studio=self.survey.building.studio)
        self.openings = [
            make.OpeningFactory(building=self.survey.building, number=f"s{number}")
            for number in range(PEOPLE)
        ]
        self.done = [0] * PEOPLE
        # What each knew to be done by every other one when they began a step.
        self.known: dict[tuple[int, int], list[int]] = {}
        self.stop = threading.Event()
        self.errors: list[BaseException] = []

    def work(self, person: int) -> None:
        try:
            while not self.stop.is_set():
                step = self.done[person] + 1
                self.known[person, step] = list(self.done)
                self.record(person, step)
                self.done[person] = step
                self.stop.wait(0.05)
        except BaseException as error:
            self.errors.append(error)
        finally:
            connection.close()

    def record(self, person: int, step: int) -> None:
        opening = self.openings[person]
        with transaction.atomic():
            for half in (0, 1):
                Finding.objects.create(
                    survey=self.survey,
                    opening=opening,
                    kind=self.kind,
                    number=person * 10_000 + step * 2 + half,
                    note=f"{person} {step}",
                )
        colours = [(person * 20, step % 250, step // 250)] * 4
        receive_photograph(
            building=self.survey.building,
            survey=self.survey,
            opening=opening,
            file=BytesIO(jpeg(quarters(colours))),
            name=f"{person} {step}.jpg",
            caption="",
        )

    def wait_for(self, steps: int) -> None:
        aims = [done + steps for done in self.done]
        while any(done < aim for done, aim in zip(self.done, aims, strict=True)):
            assert not self.errors, self.errors
            self.stop.wait(0.02)


@pytest.fixture(scope="module")
def worked(desk, installations, django_db_blocker):
    """The record written in, its backup restored, who did what, and how far when it began."""
    target = installations.root / "at work"
    with django_db_blocker.unblock():
        with desk:
            people = People()
            with in_threads(PEOPLE, people.work):
                try:
                    people.wait_for(1)
                    before = list(people.done)
                    assert desk.manage("backup", target)[0] == 0
                    people.wait_for(1)
                finally:
                    people.stop.set()
        copy = installations.new()
        with copy:
            assert copy.manage("restore", target)[0] == 0
    assert people.errors == []
    return people, before, desk, copy


def steps_in(installation) -> dict[int, dict[int, int]]:
    """How many findings there are of each step of each person."""
    found: dict[int, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    for row in plain.record(installation)["condition_finding"].values():
        person, _, step = row["note"].partition(" ")
        if step.isdigit():
            found[int(person)][int(step)] += 1
    return found


def test_nothing_of_it_was_refused_or_waited_in_vain(worked):
    people, before, *_ = worked
    assert min(before) >= 1
    assert all(done > then for done, then in zip(people.done, before, strict=True))


def test_every_row_of_it_is_as_it_was_written(worked):
    _people, _before, source, copy = worked
    written, restored = plain.record(source), plain.record(copy)
    assert written.keys() == restored.keys()
    same = {table: {key: written[table].get(key) for key in restored[table]} for table in restored}
    assert plain.differences(same, restored) == []
    assert len(restored["condition_photograph"]) > PEOPLE


def test_it_is_of_one_moment(worked):
    """Each step whole or not there, none left out before another, and none without what its
    writer knew to be done already."""
    people, before, _source, copy = worked
    found = steps_in(copy)
    last = [max(found[person]) for person in range(PEOPLE)]
    for person in range(PEOPLE):
        assert dict(found[person]) == dict.fromkeys(range(1, last[person] + 1), 2)
        assert before[person] <= last[person] <= people.done[person]
        known = people.known[person, last[person]]
        assert all(mine >= theirs for mine, theirs in zip(last, known, strict=True))
    assert sum(last) < sum(people.done)


def test_its_tables_are_of_the_same_moment(worked):
    """A photograph comes after its findings, and the job to prepare it after the photograph."""
    *_, copy = worked
    record, found = plain.record(copy), steps_in(copy)
    photographs = record["condition_photograph"]
    steps = [
        tuple(map(int, row["name"].removesuffix(".jpg").split()))
        for row in photographs.values()
        if re.fullmatch(r"\d+ \d+\.jpg", row["name"])
    ]
    assert len(steps) >= PEOPLE
    assert [f"{person} {step}" for person, step in steps if step not in found[person]] == []
    jobs = [row["key"] for row in record["sites_job"].values()]
    prepared = [UUID(key.split()[1]) for key in jobs if key.startswith("prepare_photograph ")]
    assert len(prepared) >= PEOPLE
    assert [key for key in prepared if key not in photographs] == []


def test_every_photograph_of_it_is_there_byte_for_byte(worked):
    *_, source, copy = worked
    written, restored = plain.files(source.media), plain.files(copy.media)
    for row in plain.record(copy)["condition_photograph"].values():
        assert restored[row["original"]] == row["sha256"] == written[row["original"]]
