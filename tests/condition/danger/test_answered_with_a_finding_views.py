"""What a finding says of its danger: it goes on with one, never ends it, and empties nothing."""

import datetime as dt
from dataclasses import replace

import pytest
from django.urls import reverse
from django.utils import timezone

from condition.models import Area, AreaClosure, DangerAct, Finding, FindingKind
from condition.services.recording.dangers import answer
from condition.services.recording.findings import (
    change_finding,
    check_finding,
    finding_data,
    record_findings,
)
from restoration.services.studios import open_studio
from sites.keys import uuid7
from tests.condition.recorded import finding_of, log_finding, surveyor_at
from tests.factories import (
    AttachedItemFactory,
    BuildingFactory,
    FindingFactory,
    FindingKindFactory,
    MembershipFactory,
    OpeningFactory,
    PanelFactory,
    SurveyFactory,
)
from tests.sites.pages import boxes

pytestmark = [pytest.mark.django_db, pytest.mark.both_engines]
NO = {"answer": "no", "because": "Pulled, steady", "seen_from": "ladder"}


@pytest.fixture
def survey(building):
    return SurveyFactory(building=building, day=dt.date(2026, 5, 12))


@pytest.fixture
def opening(building):
    return OpeningFactory(building=building, number="nII")


@pytest.fixture
def user(building):
    return surveyor_at(building)


@pytest.fixture
def seen(survey, opening):
    """A finding with a danger that can come down now."""
    return FindingFactory(survey=survey, opening=opening, hazard=True)


def edit(finding):
    return reverse("condition:finding-edit", args=[finding.pk])


def answers(danger):
    acts = danger.acts.filter(act="answer").order_by("received_at", "id")
    return list(acts.values_list("answer", flat=True))


def shut(danger):
    area = Area.objects.create(building=danger.building, name="The front pew")
    return AreaClosure.objects.create(danger=danger, area=area, closed_at=timezone.now())


def refusals(data, user, finding):
    return {(each.field, str(each.message)) for each in check_finding(data, user, finding)}


def test_an_emptied_answer_leaves_the_danger_as_it_was_answered(surveyor, seen):
    sent = boxes(surveyor.get(edit(seen)))
    assert sent["answer"] == ["now"]
    assert surveyor.post(edit(seen), sent | {"answer": "", "note": "Seen"}).status_code == 302
    seen.refresh_from_db()
    assert (seen.note, answers(seen.danger), seen.hazard) == ("Seen", ["now"], True)


def test_what_was_emptied_is_still_a_danger_that_cannot_wait(user, seen):
    data = replace(finding_data(seen), answer=None, urgency_class=0)
    assert {field for field, _words in refusals(data, user, seen)} == {"urgency_class"}


def test_a_no_is_kept_with_its_reason_and_saved_again_adds_nothing(surveyor, seen):
    surveyor.post(edit(seen), boxes(surveyor.get(edit(seen))) | NO)
    assert answers(seen.danger) == ["now", "no"]
    shown = boxes(surveyor.get(edit(seen)))
    assert [shown[name] for name in NO] == [[value] for value in NO.values()]
    surveyor.post(edit(seen), shown | {"note": "Other words"})
    assert answers(seen.danger) == ["now", "no"]
    again = boxes(surveyor.get(edit(seen)))
    surveyor.post(edit(seen), again | {"because": "Pushed with a thumb"})
    assert answers(seen.danger) == ["now", "no", "no"]
    assert seen.danger.state_on().falls_because == "Pushed with a thumb"


def test_no_is_refused_while_an_area_stands_closed_and_stands_where_it_stood(
    surveyor, user, seen, opening
):
    closure = shut(seen.danger)
    told = surveyor.post(edit(seen), boxes(surveyor.get(edit(seen))) | NO)
    assert told.status_code == 422
    assert "An area stands closed for this danger" in str(told.context["form"].errors["answer"])
    later = SurveyFactory(building=opening.building, day=dt.date(2026, 6, 1))
    data = finding_of(later, opening, seen.kind, continues=seen.pk, **NO)
    assert {field for field, _words in refusals(data, user, None)} == {"answer"}
    # It said no before: what was closed since does not forbid to mend a word.
    said = {"because": NO["because"], "judged_from": NO["seen_from"]}
    answer(seen.danger, day=later.day, finding=seen, value="no", **said)
    Finding.objects.filter(pk=seen.pk).update(seen_from="ladder")
    seen.refresh_from_db()
    assert refusals(replace(finding_data(seen), note="Mended"), user, seen) == set()
    assert closure.danger == seen.danger


def test_nothing_is_answered_or_done_about_a_danger_that_has_ended(user, seen):
    DangerAct.objects.create(danger=seen.danger, act="end", end="removed", day=dt.date(2026, 5, 13))
    seen.refresh_from_db()
    data = finding_data(seen)
    assert refusals(replace(data, note="Mended"), user, seen) == set()
    for more in ({"answer": "could"}, {"measure": "told"}):
        assert {field for field, _w in refusals(replace(data, **more), user, seen)} == {"answer"}


def test_another_kind_does_not_let_somebody_judge_what_is_not_theirs(db):
    studio = open_studio("Alder Lane Glass")
    building = BuildingFactory(studio=studio)
    user = MembershipFactory(building=building, role="surveyor").user
    stone = studio.finding_kinds.get(code="damaged-electric")
    glass = studio.finding_kinds.get(code="loose-glass")
    survey, opening = SurveyFactory(building=building), OpeningFactory(building=building)
    first = log_finding(finding_of(survey, opening, stone, answer="now"), user)
    for kind in (stone, glass):
        data = replace(finding_data(first), kind=kind.pk, **NO)
        (refused,) = refusals(data, user, first)
        assert "This is not for a surveyor to say" in refused[1]
    fresh = finding_of(survey, opening, glass, **NO)
    assert refusals(fresh, user, None) == set()


def test_what_hangs_on_an_item_is_judged_by_what_kind_of_item_it_is(db):
    studio = open_studio("Alder Lane Glass")
    building = BuildingFactory(studio=studio)
    user = MembershipFactory(building=building, role="surveyor").user
    survey, opening = SurveyFactory(building=building), OpeningFactory(building=building)
    lamp = AttachedItemFactory(opening=opening, kind="lamp")
    kind = FindingKind.objects.get(studio=studio, code="loose-item")
    data = finding_of(survey, opening, kind, attached_item=lamp.pk, **NO)
    (refused,) = refusals(data, user, None)
    assert "electrician" in refused[1]


def test_a_later_sighting_of_the_same_thing_goes_on_with_its_danger(seen, opening, user):
    later = SurveyFactory(building=opening.building, day=dt.date(2026, 6, 1))
    data = finding_of(later, opening, seen.kind, continues=seen.pk)
    assert refusals(replace(data, urgency_class=0), user, None) != set()
    assert log_finding(data, user).danger == seen.danger
    assert answers(seen.danger) == ["now"]
    panel = PanelFactory(opening=opening)
    elsewhere = replace(data, panel=panel.pk, subject_change="It has spread.")
    assert log_finding(elsewhere, user).danger is None


def test_that_nothing_is_wrong_any_more_is_no_sighting_and_ends_nothing(seen, opening, user):
    later = SurveyFactory(building=opening.building, day=dt.date(2026, 6, 1))
    classes = {"condition_class": 0, "urgency_class": 0, "recommendation_class": 0}
    gone = log_finding(finding_of(later, opening, seen.kind, continues=seen.pk, **classes), user)
    assert gone.danger is None
    assert seen.danger.state_on().is_dangerous


def test_what_was_seen_earlier_replaces_no_answer_given_since(seen, opening, user):
    """An old finding is put right today: what a later visit answered stands."""
    later = SurveyFactory(building=opening.building, day=dt.date(2026, 6, 1))
    data = finding_of(later, opening, seen.kind, continues=seen.pk, answer="could")
    again = log_finding(data, user)
    change_finding(seen, replace(finding_data(seen), **NO), user)
    state = again.danger.state_on()
    assert (state.falls, state.is_dangerous, state.disagreement) == ("could", True, True)


def test_findings_taken_in_together_are_one_danger_in_whatever_order_they_stand(
    survey, opening, user
):
    kind = FindingKindFactory(studio=survey.building.studio, danger=True)
    later = SurveyFactory(building=survey.building, day=dt.date(2026, 6, 1))
    first, second = uuid7(), uuid7()
    made = record_findings(
        {
            second: finding_of(later, opening, kind, continues=first),
            first: finding_of(survey, opening, kind, answer="could"),
        },
        user,
    )
    assert made[first].danger is not None
    assert made[first].danger == made[second].danger
