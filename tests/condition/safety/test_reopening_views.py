"""Closed areas opened again: by two people, or by the author of a notice that was a mistake."""

import datetime as dt
from dataclasses import replace

import pytest
from django.db import DatabaseError, transaction
from django.urls import reverse

from condition.compute.danger.closing import ClosureEndData
from condition.models import AreaClosure, ClosureEnd, Danger, MakeSafeNotice
from condition.services.recording.closures import end_closures
from sites.keys import uuid7
from sites.models import Membership
from sites.services.recording import NotRecordedError
from tests.condition.safety.dangers import WORDS, known_danger, reopened, unprinted_notice

KEY = "018f0000-0000-7000-8000-000000000001"
MISTAKE = ClosureEndData(kind="withdrawn", day=dt.date.today(), because="The wrong window.")


@pytest.fixture
def danger(building, files) -> Danger:
    return known_danger(building)


@pytest.fixture
def notice(danger, people) -> MakeSafeNotice:
    return unprinted_notice(danger, people["surveyor"])


@pytest.fixture
def closure(notice) -> AreaClosure:
    return AreaClosure.objects.get()


def words(response) -> str:
    return " ".join(response.content.decode().split())


def url(name: str, record) -> str:
    return reverse(f"condition:{name}", args=[record.pk])


def signing(closure: AreaClosure, **changed) -> dict:
    return {
        "key": KEY,
        "areas": [str(closure.pk)],
        "safe_by": "Wilfred Tolliver",
        "safe_trade": "glazier",
        "how_known": "telephone",
        "reopened_by": "Edith Marlowe",
        "authority": "Churchwarden",
        "because": "The plaque is down.",
        "day": dt.date.today().isoformat(),
        **changed,
    }


def test_two_people_reopen_an_area_once_and_the_danger_stays_open(surveyor, danger, closure):
    first = surveyor.post(url("danger-reopen", danger), signing(closure), follow=True)
    second = surveyor.post(url("danger-reopen", danger), signing(closure))
    assert second["Location"] == danger.get_absolute_url()
    assert "The area is open again. The danger itself stays open" in words(first)
    end = ClosureEnd.objects.get()
    assert (end.safe_by, end.reopened_by, end.how_known) == (
        "Wilfred Tolliver",
        "Edith Marlowe",
        "telephone",
    )
    assert not AreaClosure.objects.standing().exists()
    assert Danger.objects.not_ended().get() == danger


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"day": "2020-01-01"}, "The area was not closed yet on that day."),
        ({"day": "2999-01-01"}, "That day is still to come."),
        ({"day": "soon"}, "Enter a valid date."),
        ({"safe_by": " "}, "This must be filled in."),
        ({"because": ""}, "This must be filled in."),
        ({"reopened_by": "wilfred  TOLLIVER"}, "It takes two"),
        ({"safe_trade": "anyone"}, "takes the word of: surveyor, glazier, conservator"),
        ({"safe_by": "x" * 161}, "at most 160"),
        ({"areas": []}, "This must be filled in."),
        ({"areas": ["no key"]}, "is not a valid"),
    ],
)
def test_a_reopening_that_cannot_stand_is_sent_back(surveyor, danger, closure, changed, said):
    answer = surveyor.post(url("danger-reopen", danger), signing(closure, **changed))
    assert answer.status_code == 422
    assert said in words(answer)
    assert not ClosureEnd.objects.exists()


def test_an_area_reopened_meanwhile_is_not_reopened_once_more(surveyor, danger, closure, people):
    unprinted_notice(danger, people["owner"], replace(WORDS, new_area="The aisle"))
    ClosureEnd.objects.create(closure=closure, day=closure.closed_at.date(), **taken_back())
    answer = surveyor.post(url("danger-reopen", danger), signing(closure))
    assert answer.status_code == 422
    assert "is open again already" in words(answer)
    assert ClosureEnd.objects.count() == 1


def taken_back() -> dict:
    return {"kind": "withdrawn", "because": "The wrong window."}


def test_one_of_two_areas_is_reopened_and_the_other_stays_closed(surveyor, danger, closure, people):
    unprinted_notice(danger, people["owner"], replace(WORDS, new_area="The aisle"))
    surveyor.post(url("danger-reopen", danger), signing(closure))
    assert AreaClosure.objects.standing().get().area.name == "The aisle"


def test_where_nothing_is_closed_there_is_nothing_to_reopen(surveyor, danger):
    answer = surveyor.get(url("danger-reopen", danger), follow=True)
    assert "No area stands closed for this danger." in words(answer)


def test_the_author_takes_back_a_notice_that_was_a_mistake(surveyor, danger, closure, notice):
    posted = {"key": KEY, "areas": [str(closure.pk)], "because": "", "day": dt.date.today()}
    assert surveyor.post(url("danger-withdraw", danger), posted).status_code == 422
    posted["because"] = "The wrong window."
    answer = surveyor.post(url("danger-withdraw", danger), posted, follow=True)
    assert "that is no reopening. The danger itself stays open" in words(answer)
    assert ClosureEnd.objects.get().kind == "withdrawn"
    page = words(surveyor.get(notice.get_absolute_url()))
    assert "as a mistake: that is no reopening" in page
    assert "Reopened on" not in page


def test_nobody_else_takes_a_notice_back_while_its_author_is_there(
    client_of, danger, closure, people
):
    answer = client_of(people["owner"]).get(url("danger-withdraw", danger), follow=True)
    assert "Only who issued the notice may take it back." in words(answer)
    with pytest.raises(NotRecordedError, match="Only who issued the notice"):
        end_closures(danger, [closure], MISTAKE, uuid7(), people["owner"])
    assert not ClosureEnd.objects.exists()


def test_where_the_author_is_gone_the_owner_takes_it_back_and_no_estimator(danger, closure, people):
    Membership.objects.filter(user=people["surveyor"]).delete()
    with pytest.raises(NotRecordedError):
        end_closures(danger, [closure], MISTAKE, uuid7(), people["estimator"])
    end_closures(danger, [closure], MISTAKE, uuid7(), people["owner"])
    assert ClosureEnd.objects.get().recorded_by == people["owner"]


def test_the_names_are_shown_to_the_office_alone(client_of, danger, notice, people):
    reopened(danger)
    page = words(client_of(people["surveyor"]).get(notice.get_absolute_url()))
    assert "Safe by the word of Wilfred Tolliver; reopened by Edith Marlowe." in page
    page = words(client_of(people["committee"]).get(notice.get_absolute_url()))
    assert "Tolliver" not in page
    assert "Marlowe" not in page
    assert "Reopened with the authority of: Churchwarden" in page


def test_an_end_of_the_danger_leaves_the_area_closed_and_says_so(surveyor, danger, notice):
    posted = {
        "key": KEY,
        "end": "taken away",
        "placed": "Vestry cupboard",
        "holder": "The verger",
        "day": dt.date.today().isoformat(),
        "judged_from": "ladder",
    }
    there = reverse("condition:danger-act", args=[danger.pk, "end"])
    answer = surveyor.post(there, posted, follow=True)
    said = f"Still closed, until it is reopened by itself: {WORDS.new_area}"
    assert said in words(answer)
    assert AreaClosure.objects.standing().count() == 1
    page = words(surveyor.get(notice.get_absolute_url()))
    assert "The danger itself has ended. That opens no area" in page
    assert "Keep out" in words(surveyor.get(danger.opening.get_absolute_url()))


def test_a_closed_area_is_why_it_is_not_judged_that_nothing_comes_down(surveyor, danger, notice):
    posted = {"answer": "no", "because": "Pulled, steady", "judged_from": "ladder", "key": KEY}
    there = reverse("condition:danger-act", args=[danger.pk, "answer"])
    posted["day"] = dt.date.today().isoformat()
    answer = surveyor.post(there, posted)
    assert "An area stands closed for this danger" in words(answer)


@pytest.mark.parametrize("table", [MakeSafeNotice, AreaClosure, ClosureEnd])
def test_what_was_issued_closed_and_opened_never_changes(danger, notice, table):
    reopened(danger)
    column = {
        MakeSafeNotice: {"number": "MS-0"},
        AreaClosure: {"notice_version": 7},
        ClosureEnd: {"because": "Nothing was closed"},
    }[table]
    with pytest.raises(DatabaseError), transaction.atomic():
        table.objects.update(**column)
    with pytest.raises(DatabaseError), transaction.atomic():
        table.objects.all().delete()


def test_the_database_takes_no_reopening_by_one_person(closure):
    with pytest.raises(DatabaseError), transaction.atomic():
        ClosureEnd.objects.create(
            closure=closure,
            kind="reopened",
            day=dt.date.today(),
            safe_by="Wilfred Tolliver",
            safe_trade="glazier",
            how_known="there",
            reopened_by="Wilfred Tolliver",
            authority="Churchwarden",
            because="It is down.",
        )
