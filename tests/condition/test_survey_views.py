"""The survey's page: the visit at a glance, what is still open, and its form."""

import datetime as dt
from itertools import count

import pytest
from django.test import Client
from django.urls import reverse

from condition.hooks import hooks
from condition.models import Survey
from sites.hooks import Action
from tests.factories import (
    ConditionReportFactory,
    FindingFactory,
    FindingKindFactory,
    InspectionFactory,
    OpeningFactory,
    PanelFactory,
    PhotographFactory,
    SurveyFactory,
)

pytestmark = pytest.mark.django_db
digests = (f"{number:064x}" for number in count(10_000))


@pytest.fixture
def survey(building):
    return SurveyFactory(building=building, method="By eye.", limits="From the floor.")


@pytest.fixture
def opening(building):
    return OpeningFactory(building=building, number="nIV", title="Ruth among the Barley")


@pytest.fixture
def url(survey):
    return reverse("condition:survey", args=[survey.pk])


def finding(survey, opening, **fields):
    classes = {"condition_class": 1, "urgency_class": 1}
    return FindingFactory(survey=survey, opening=opening, **(classes | fields))


def photograph(survey, **fields):
    return PhotographFactory(
        building=survey.building, survey=survey, sha256=next(digests), **fields
    )


def page(client, url) -> str:
    response = client.get(url)
    assert response.status_code == 200
    return response.content.decode()


def form(**changes):
    return {"day": "2026-05-12", "surveyors": "Ines; Rufus"} | changes


# Who may see it.
def test_a_page_asks_for_sign_in(url):
    assert Client().get(url).status_code == 302


def test_a_stranger_is_not_told_of_a_survey(stranger, url):
    assert stranger.get(url).status_code == 404


@pytest.mark.parametrize("role", ["owner", "estimator", "surveyor", "bench", "committee", "reader"])
def test_everyone_of_the_building_may_read_a_survey(people, client_of, url, role):
    assert client_of(people[role]).get(url).status_code == 200


def test_a_reader_is_offered_nothing_to_do(reader, survey, opening, url):
    finding(survey, opening)
    text = page(reader, url)
    assert "Log a finding" not in text
    assert "What is still open" not in text
    assert "Issue" not in text


def test_a_surveyor_logs_and_an_owner_issues(surveyor, owner, survey, opening, url):
    finding(survey, opening)
    assert "Issue the report" not in page(surveyor, url)
    assert "Issue the report" in page(owner, url)
    assert "Review and issue" in page(owner, url)


def test_a_survey_with_nothing_in_it_is_not_offered_for_issue(owner, survey, url):
    assert "Issue the report" not in page(owner, url)


# What is still open.
def test_an_opening_nobody_spoke_of_is_named(surveyor, survey, opening, url):
    response = surveyor.get(url)
    assert response.context["review"].silent == [opening]
    assert "One opening: nothing is said of it yet" in response.content.decode()


@pytest.mark.parametrize("of_a_part", [False, True])
def test_a_finding_or_a_look_settles_its_opening(surveyor, survey, opening, url, of_a_part):
    panel = PanelFactory(opening=opening) if of_a_part else None
    InspectionFactory(survey=survey, opening=opening, panel=panel)
    assert surveyor.get(url).context["review"].silent == []


def test_a_photograph_alone_does_not_settle_an_opening(surveyor, survey, opening, url):
    photograph(survey, opening=opening)
    assert surveyor.get(url).context["review"].silent == [opening]


def test_a_finding_of_another_survey_does_not_settle_an_opening(surveyor, survey, opening, url):
    finding(SurveyFactory(building=survey.building), opening)
    assert surveyor.get(url).context["review"].silent == [opening]


def test_a_danger_nothing_holds_comes_first_and_leads_to_its_page(surveyor, survey, opening, url):
    held = finding(survey, opening, hazard=True, made_safe="Wired to the bar", number=1).danger
    loose = finding(survey, opening, hazard=True, number=2).danger
    response = surveyor.get(url)
    assert [danger for danger, _state in response.context["review"].dangers] == [loose, held]
    assert response.context["review"].not_held == [loose]
    text = response.content.decode()
    assert "Nothing recorded holds one danger" in text
    assert text.index(loose.get_absolute_url()) < text.index(held.get_absolute_url())
    assert "Wired to the bar, 12 May 2026" in text


def test_a_danger_not_answered_and_an_opening_nobody_answered_for_are_asked_about(
    surveyor, survey, opening, url
):
    danger = finding(survey, opening, hazard=True, hazard__answer="").danger
    text = page(surveyor, url)
    assert reverse("condition:danger-act", args=[danger.pk, "answer"]) in text
    assert f"{reverse('sites:opening-edit', args=[opening.pk])}#id_under_inside" in text


def test_a_finding_without_its_classes_is_asked_for(surveyor, survey, opening, url):
    open_one = finding(survey, opening, urgency_class=None)
    finding(survey, opening)
    assert surveyor.get(url).context["review"].not_classed == [open_one]


def test_nothing_found_beside_a_finding_is_a_contradiction(surveyor, survey, opening, url):
    panel = PanelFactory(opening=opening)
    InspectionFactory(survey=survey, opening=opening, panel=panel)
    finding(survey, opening, panel=PanelFactory(opening=opening))
    finding(survey, opening, panel=panel, side="outside")
    assert surveyor.get(url).context["review"].contradicted == []
    finding(survey, opening, panel=panel, number=77)
    (row,) = surveyor.get(url).context["review"].contradicted
    assert row.contradicted == [77]


def test_nothing_found_at_the_whole_window_is_contradicted_by_any_finding_there(
    surveyor, survey, opening, url
):
    InspectionFactory(survey=survey, opening=opening, side="both")
    finding(survey, opening, panel=PanelFactory(opening=opening), side="outside", number=5)
    (row,) = surveyor.get(url).context["review"].contradicted
    assert row.contradicted == [5]


def test_photographs_not_sorted_in_are_shown_in_the_tray(surveyor, survey, opening, url):
    waiting = photograph(survey)
    photograph(survey, opening=opening)
    text = page(surveyor, url)
    assert "One photograph is not sorted in" in text
    assert f'name="photographs" value="{waiting.pk}"' in text


def test_facts_the_report_prints_and_nobody_wrote_are_asked_for(surveyor, survey, url):
    survey.limits = " "
    survey.save()
    assert surveyor.get(url).context["review"].facts_missing == ["limits"]


def test_when_nothing_is_open_the_page_says_so(surveyor, survey, opening, url):
    opening.under_inside = "people"
    opening.save()
    finding(survey, opening, hazard=True, made_safe="Wired to the bar")
    assert "Nothing is open" in page(surveyor, url)


# What it shows.
def test_issued_reports_are_listed_with_what_superseded_them(reader, survey, url):
    first = ConditionReportFactory(survey=survey)
    second = ConditionReportFactory(survey=survey, number=first.number, version=2, supersedes=first)
    text = page(reader, url)
    assert "Superseded by version 2" in text
    assert first.get_absolute_url() in text
    assert second.get_absolute_url() in text


def test_what_was_typed_is_shown_as_text(reader, survey, opening, url):
    finding(survey, opening, position="<script>alert(1)</script>")
    text = page(reader, url)
    assert "&lt;script&gt;alert(1)" in text
    assert "<script>alert" not in text


def test_the_room_above_may_add_its_links(owner, survey, url, monkeypatch):
    link = Action(10, "/estimates/of-this/", "Price the repairs")
    monkeypatch.setattr(hooks, "survey_actions", [lambda request, shown: link])
    assert "Price the repairs" in page(owner, url)


def test_queries_do_not_grow_with_what_was_seen(owner, survey, url, count_queries):
    def add(number):
        for _ in range(number):
            opening = OpeningFactory(building=survey.building)
            panel = PanelFactory(opening=opening)
            seen = finding(survey, opening, panel=panel, hazard=True)
            photograph(survey, opening=opening, findings=[seen])
            photograph(survey)
            InspectionFactory(survey=survey, opening=opening)
            OpeningFactory(building=survey.building)

    add(2)
    few = count_queries(lambda: owner.get(url))
    add(6)
    assert count_queries(lambda: owner.get(url)) == few


# The form.
def test_a_survey_is_started_for_today_by_whoever_starts_it(surveyor, people, building):
    url = reverse("condition:survey-add", args=[building.pk])
    assert people["surveyor"].name in page(surveyor, url)
    response = surveyor.post(url, form(purpose="After the storm"))
    survey = Survey.objects.get(purpose="After the storm")
    assert response.url == survey.get_absolute_url()
    assert (survey.building, survey.day) == (building, dt.date(2026, 5, 12))


@pytest.mark.parametrize("name", ["survey-add", "survey-edit"])
def test_only_who_surveys_may_start_or_change_a_survey(reader, stranger, survey, building, name):
    url = reverse(f"condition:{name}", args=[building.pk if "add" in name else survey.pk])
    assert reader.get(url).status_code == 403
    assert reader.post(url, form()).status_code == 403
    assert stranger.get(url).status_code == 404


@pytest.mark.parametrize(
    "changes",
    [{"day": ""}, {"day": "31/02/2026"}, {"day": "0026-05-12"}, {"surveyors": " "}],
    ids=str,
)
def test_a_wrong_survey_comes_back_with_what_was_typed(surveyor, survey, changes):
    url = reverse("condition:survey-edit", args=[survey.pk])
    response = surveyor.post(url, form(purpose="A purpose to keep") | changes)
    assert response.status_code == 422
    assert "A purpose to keep" in response.content.decode()
    survey.refresh_from_db()
    assert survey.purpose == ""


def test_changing_a_survey_says_that_an_issued_report_stays(surveyor, survey):
    url = reverse("condition:survey-edit", args=[survey.pk])
    assert "has been issued" not in page(surveyor, url)
    report = ConditionReportFactory(survey=survey)
    assert f"Report {report.number} version 1 has been issued" in page(surveyor, url)
    assert surveyor.post(url, form(weather="Rain")).status_code == 302


def test_kinds_of_another_studio_play_no_part(surveyor, survey, url):
    FindingKindFactory(name="Somebody else's kind")
    assert "Somebody else" not in page(surveyor, url)


def test_a_survey_is_not_moved_before_the_one_its_findings_continue(owner, building):
    first = FindingFactory(survey__building=building, survey__day=dt.date(2015, 6, 1))
    second = FindingFactory(
        survey__building=building,
        survey__day=dt.date(2026, 5, 4),
        opening=first.opening,
        continues=first,
    )
    url = f"{second.survey.get_absolute_url()}edit/"
    shown = owner.get(url).context["form"].initial
    for survey, day in ((second.survey, "2014-01-01"), (first.survey, "2027-01-01")):
        data = {name: value or "" for name, value in shown.items()} | {"day": day}
        data["surveyors"] = "A. Verrier"
        response = owner.post(f"{survey.get_absolute_url()}edit/", data)
        assert response.status_code == 422, response.content.decode()[:300]
        assert "day" in response.context["form"].errors
