"""Recording by a key: sent twice it is one record; who, when, and by whose right it is kept."""

import datetime as dt
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import partial
from io import BytesIO

import pytest

from condition.compute.recording.facts import FindingData
from condition.models import Finding, Photograph
from condition.services.recording.findings import (
    change_finding,
    check_finding,
    finding_data,
    record_findings,
)
from condition.services.recording.photographs import change_photograph, photograph_data
from condition.services.recording.sending import digest_of
from sites.keys import uuid7
from sites.services.recording import NotRecordedError
from tests.condition.pictures import jpeg
from tests.condition.recorded import (
    finding_of,
    log_finding,
    log_look,
    look_at,
    receive_photograph,
    surveyor_at,
)
from tests.factories import (
    FindingFactory,
    FindingKindFactory,
    MembershipFactory,
    OpeningFactory,
    PhotographFactory,
    SurveyFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db

SEEN = {"seen_at": dt.datetime(2026, 5, 12, 9, 30, tzinfo=dt.UTC), "seen_clock_ahead_s": 90}


@pytest.fixture
def survey(building):
    return SurveyFactory(building=building)


@pytest.fixture
def opening(building):
    return OpeningFactory(building=building, number="nII", under_inside="people")


@pytest.fixture
def kind(building):
    return FindingKindFactory(studio=building.studio)


@pytest.fixture
def user(building):
    return surveyor_at(building)


@pytest.fixture
def data(survey, opening, kind):
    return finding_of(survey, opening, kind, note="As sent", **SEEN)


def test_a_record_says_who_recorded_it_and_when_it_was_seen(data, survey, opening, user, files):
    made = [
        log_finding(data, user),
        log_look(look_at(survey, opening, side="outside", outcome="not inspected", reason="Yew",
                         **SEEN), user),
        receive_photograph(building=survey.building, survey=survey, file=BytesIO(jpeg()),
                           user=user, **SEEN),
    ]  # fmt: skip
    for record in made:
        record.refresh_from_db()
        assert (record.recorded_by, record.seen_at) == (user, SEEN["seen_at"])
        assert record.seen_clock_ahead_s == 90


def test_the_same_key_with_the_same_data_is_the_same_record(data, survey, opening, user, files):
    key = uuid7()
    assert log_finding(data, user, key) == log_finding(data, user, key)
    look = look_at(survey, opening, side="outside", outcome="not inspected", reason="Yew")
    key = uuid7()
    assert log_look(look, user, key) == log_look(look, user, key)
    key, sent = uuid7(), {"building": survey.building, "survey": survey, "user": user}
    first = receive_photograph(file=BytesIO(jpeg()), key=key, **sent)
    assert receive_photograph(file=BytesIO(jpeg()), key=key, **sent) == first
    assert (survey.findings.count(), survey.inspections.count()) == (1, 1)
    assert survey.photographs.count() == 1


def test_the_same_key_with_other_data_is_refused_in_words(data, survey, opening, user, files):
    key = uuid7()
    log_finding(data, user, key)
    with pytest.raises(NotRecordedError, match="Something else was recorded under this key"):
        log_finding(replace(data, note="Other words"), user, key)
    key, sent = uuid7(), {"building": survey.building, "survey": survey, "user": user}
    receive_photograph(file=BytesIO(jpeg()), key=key, **sent)
    with pytest.raises(NotRecordedError, match="Something else was recorded under this key"):
        receive_photograph(file=BytesIO(jpeg() + b" "), key=key, **sent)
    assert Finding.objects.get().note == "As sent"
    assert Photograph.objects.count() == 1


def test_sent_again_after_somebody_changed_it_the_change_stands(data, user):
    key = uuid7()
    made = log_finding(data, user, key)
    change_finding(made, replace(finding_data(made), note="Mended at the desk"), user)
    again = log_finding(data, user, key)
    assert (again.pk, again.note) == (key, "Mended at the desk")


def test_what_was_deleted_does_not_come_back_when_it_is_sent_again(
    data, survey, opening, user, files
):
    look = look_at(survey, opening, side="outside", outcome="not inspected", reason="Yew")
    sent = {"building": survey.building, "survey": survey, "user": user, "key": uuid7()}
    for send in (
        partial(log_finding, data, user, uuid7()),
        partial(log_look, look, user, uuid7()),
        lambda: receive_photograph(file=BytesIO(jpeg()), **sent),
    ):
        send().delete()
        with pytest.raises(NotRecordedError, match="recorded, and has been deleted since"):
            send()


def test_who_may_not_record_there_is_refused(data, building):
    reader = MembershipFactory(building=building, role="reader").user
    elsewhere = MembershipFactory(role="owner").user
    for user, words in (
        (reader, "You may not record"),
        (elsewhere, "not known here"),
        (UserFactory(), "not known here"),
    ):
        assert [problem.field for problem in check_finding(data, user)] == ["survey"]
        with pytest.raises(NotRecordedError, match=words):
            log_finding(data, user)
    assert not Finding.objects.exists()


def test_what_its_columns_cannot_hold_is_named_with_the_rest(data, user):
    wrong = replace(
        data, position="x" * 241, side="above", unit="count", answer="now", urgency_class=0
    )
    fields = {problem.field for problem in check_finding(wrong, user)}
    assert fields == {"position", "side", "amount", "urgency_class"}


def test_several_are_recorded_together_or_none(data, building, opening, user, count_queries):
    later = SurveyFactory(building=building, day="2030-05-01")
    first, second = uuid7(), uuid7()
    following = replace(data, survey=later.pk, continues=first)
    made = record_findings({second: following, first: data}, user)
    assert made[second].continues_id == first
    wrong = {uuid7(): data, uuid7(): replace(data, opening=uuid7())}
    with pytest.raises(NotRecordedError, match="not one of this building"):
        record_findings(wrong, user)
    assert Finding.objects.count() == 2

    def many(number):
        return lambda: record_findings({uuid7(): data for _ in range(number)}, user)

    assert count_queries(many(12)) == count_queries(many(3))


def test_a_change_of_what_it_comes_from_is_kept_with_its_main_line(survey, opening, kind, user):
    earlier = SurveyFactory(building=survey.building, day="2015-06-09")
    there = {"survey": earlier, "opening": opening, "kind": kind}
    one, two = FindingFactory(**there), FindingFactory(**there)
    made = log_finding(
        finding_of(survey, opening, kind, continues=one.pk, also_from=(two.pk,)), user
    )
    swapped = replace(finding_data(made), continues=two.pk, also_from=(one.pk,))
    change_finding(made, swapped, user)
    made.refresh_from_db()
    assert (made.continues, list(made.also_from.all())) == (two, [one])
    change_finding(made, replace(swapped, also_from=()), user)
    assert not made.also_from.exists()


def test_a_finding_whose_photograph_shows_another_does_not_move_alone(survey, opening, user):
    one, two = (FindingFactory(survey=survey, opening=opening, number=n) for n in (1, 2))
    picture = PhotographFactory(
        building=survey.building, survey=survey, opening=opening, findings=[one, two]
    )
    other = OpeningFactory(building=survey.building)
    moved = replace(finding_data(one), opening=other.pk)
    with pytest.raises(NotRecordedError, match="show finding 2 too"):
        change_finding(one, moved, user)
    change_photograph(picture, replace(photograph_data(picture), findings=(one.pk,)), user)
    change_finding(one, moved, user)
    picture.refresh_from_db()
    assert (picture.opening, picture.findings.get()) == (other, one)


@dataclass(frozen=True, kw_only=True)
class LaterFindingData(FindingData):
    """A finding in a later version of the program, which asks for one thing more."""

    seen_by_lamp: bool = False
    tools: tuple[str, ...] = field(default_factory=tuple)


def test_a_record_is_known_again_however_it_was_written(survey, opening, kind):
    about = {"survey": survey.pk, "opening": opening.pk, "kind": kind.pk}
    one, other, moment = uuid7(), uuid7(), SEEN["seen_at"]
    first = digest_of(FindingData(**about, seen_at=moment, also_from=(one, other)))
    there = moment.astimezone(dt.timezone(dt.timedelta(hours=2)))
    assert digest_of(FindingData(**about, seen_at=there, also_from=(other, one))) == first
    assert digest_of(LaterFindingData(**about, seen_at=moment, also_from=(one, other))) == first
    for changes in (
        {"seen_at": moment.replace(tzinfo=dt.timezone(dt.timedelta(hours=2)))},
        {"also_from": (one,)},
        {"seen_by_lamp": True},
        {"amount": Decimal("0")},
    ):
        sent = {**about, "seen_at": moment, "also_from": (one, other), **changes}
        assert digest_of(LaterFindingData(**sent)) != first
