"""What the database counts as not ended is what the state of a danger says."""

import datetime as dt
from uuid import UUID

import pytest
from django.db import DatabaseError, transaction
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from condition.compute.danger.acts import ActData
from condition.compute.danger.facts import Act
from condition.models import Danger, DangerAct
from condition.services.recording.dangers import put_back, record_act
from sites.keys import uuid7
from sites.models.choices import Placement
from sites.services.recording import NotRecordedError
from tests.factories import AttachedItemFactory, DangerFactory, MembershipFactory
from tests.properties import examples

pytestmark = pytest.mark.django_db

STEPS = ["answer", "measure", "look", "end", "gone", "taken back", "put back"]


@pytest.fixture
def hung():
    """A danger of a plaque, and a surveyor who may record there."""
    item = AttachedItemFactory()
    opening = item.opening
    user = MembershipFactory(studio=opening.building.studio, building=None, role="surveyor").user
    today = dt.date.today()
    return DangerFactory(
        building=opening.building, opening=opening, attached_item=item, opened_on=today
    ), user


def act(danger: Danger, step: str, day: dt.date) -> ActData:
    common = {"danger": danger.pk, "day": day, "because": "seen"}
    state = danger.state_on()
    return {
        "answer": ActData(act=Act.ANSWER, answer="now", **common),
        "measure": ActData(act=Act.MEASURE, measure="held", fixed_to="bar", **common),
        "look": ActData(
            act=Act.LOOK,
            of=state.measures[-1].facts.key if state.measures else None,
            holds=False,
            **common,
        ),
        "end": ActData(act=Act.END, end="mended", tried="pulled", judged_from="ladder", **common),
        "gone": ActData(act=Act.END, end="gone", judged_from="floor", **common),
        "taken back": ActData(act=Act.TAKEN_BACK, of=state.end and state.end.key, **common),
    }[step]


@examples(15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=st.lists(st.sampled_from(STEPS), min_size=1, max_size=7))
def test_the_database_and_the_state_agree_whether_a_danger_ended(hung, steps):
    before, user = hung
    danger = DangerFactory(
        building=before.building,
        opening=before.opening,
        attached_item=before.attached_item,
        opened_on=before.opened_on,
    )
    for step in steps:
        danger = Danger.objects.with_facts().get(pk=danger.pk)
        if step == "put back":
            put_back(danger.attached_item, danger.opened_on)
        else:
            try:
                record_act(act(danger, step, danger.opened_on), uuid7(), user)
            except NotRecordedError:
                continue
    fresh = Danger.objects.with_facts().get(pk=danger.pk)
    ended = fresh.state_on().end is not None
    assert Danger.objects.not_ended().filter(pk=danger.pk).exists() is not ended


def test_the_same_act_sent_twice_is_one(hung):
    danger, user = hung
    data, key = act(danger, "measure", danger.opened_on), uuid7()
    first = record_act(data, key, user)
    assert record_act(data, key, user) == first
    assert danger.acts.filter(act=Act.MEASURE).count() == 1
    with pytest.raises(NotRecordedError, match="Something else was recorded under this key"):
        record_act(act(danger, "end", danger.opened_on), key, user)


def test_a_measure_without_a_day_is_to_be_looked_at_in_a_month(hung):
    danger, user = hung
    kept = record_act(act(danger, "measure", danger.opened_on), uuid7(), user)
    assert kept.look_by == danger.opened_on + dt.timedelta(days=30)


def test_what_was_taken_away_is_said_by_the_register(hung):
    danger, user = hung
    data = ActData(
        danger=danger.pk, act=Act.END, day=danger.opened_on, end="taken away",
        placed="Vestry safe", holder="The warden",
    )  # fmt: skip
    record_act(data, uuid7(), user)
    item = danger.attached_item
    item.refresh_from_db()
    assert (item.placement, item.placed_at, item.held_by) == (
        Placement.TAKEN_DOWN,
        "Vestry safe",
        "The warden",
    )


def test_what_was_said_of_a_danger_is_never_changed(hung):
    with pytest.raises(DatabaseError), transaction.atomic():
        DangerAct.objects.update(answer="could")


def test_a_stranger_records_nothing_of_a_danger(hung):
    danger, _user = hung
    stranger = MembershipFactory().user
    with pytest.raises(NotRecordedError, match="not known here"):
        record_act(act(danger, "measure", danger.opened_on), UUID(int=7), stranger)
