"""From capture to judgement: each thing still open is named and linked to what mends it."""

import datetime as dt
from decimal import Decimal

import pytest
from django.urls import reverse

from condition.services.recording.dangers import answer
from tests.factories import (
    ConditionReportFactory,
    FindingFactory,
    FindingKindFactory,
    InspectionFactory,
    OpeningFactory,
    SurveyFactory,
    hold,
)

pytestmark = pytest.mark.django_db
CLASSED = {"condition_class": 1, "urgency_class": 1, "recommendation_class": 1}


@pytest.fixture
def url(address):
    return address("survey-review")


@pytest.fixture
def finding(survey, opening):
    """A function that logs a finding of the survey, classed unless it is said otherwise."""

    def make(**fields):
        return FindingFactory(**{"survey": survey, "opening": opening} | CLASSED | fields)

    return make


def lines(client, url) -> dict:
    return {line.code: line for line in client.get(url).context["told"].lines}


def links(line) -> list[str]:
    return [link.url for link in line.links]


def page_of(name, row, anchor="") -> str:
    return reverse(f"condition:{name}", args=[row.pk]) + anchor


def test_a_survey_in_order_says_so_and_can_be_issued(owner, finding, photograph, opening, url):
    photograph(findings=[finding()], opening=opening)
    assert lines(owner, url) == {}
    text = owner.get(url).content.decode()
    assert "every opening spoken for" in text
    assert "Something above is still open" not in text
    assert text.count("btn-primary") == 1


def test_each_thing_open_leads_to_the_page_that_mends_it(
    surveyor, survey, opening, finding, photograph, url
):
    silent = OpeningFactory(building=survey.building, number="sII")
    danger = finding(hazard=True)
    bare = finding(condition_class=None)
    bow = finding(amount=Decimal(20), unit="mm out of plane")
    photograph()
    broken = photograph(opening=opening, state="damaged")
    InspectionFactory(survey=survey, opening=opening)
    survey.weather = ""
    survey.save()
    told = lines(surveyor, url)
    assert links(told["not-held"]) == [danger.danger.get_absolute_url()]
    assert links(told["silent"]) == [f"{page_of('inspection-add', survey)}?opening={silent.pk}"]
    assert links(told["not-classed"]) == [page_of("finding-classes", bare)]
    assert told["not-classed"].mend.url == page_of("survey-classes", survey)
    assert links(told["measured-how"]) == [page_of("finding-edit", bow, "#id_datum")]
    assert told["unsorted"].mend.url == page_of("photographs-in-order", survey)
    assert links(told["damaged"]) == [page_of("photograph", broken)]
    assert len(told["contradicted"].links) == 1
    assert len(told["without-photograph"].links) == 3
    assert links(told["visit"]) == [page_of("survey-edit", survey, "#id_weather")]
    assert next(iter(told)) == "not-held"


def test_a_danger_whose_urgency_can_wait_is_named(surveyor, finding, url):
    wrong = finding(hazard=True, made_safe="Wired to the bar", urgency_class=0)
    assert links(lines(surveyor, url)["danger-can-wait"]) == [page_of("finding-classes", wrong)]


def test_what_earlier_surveys_left_standing_is_asked_for_dangers_apart(
    surveyor, survey, opening, url
):
    before = SurveyFactory(building=survey.building, day=dt.date(2015, 6, 9))
    loose = FindingFactory(survey=before, opening=opening, hazard=True)
    other = FindingFactory(survey=before, opening=opening)
    told = lines(surveyor, url)
    answer = page_of("continuing", survey)
    assert links(told["earlier-dangers"]) == [f"{answer}#offer-{loose.pk}"]
    assert links(told["earlier"]) == [f"{answer}#offer-{other.pk}"]


def test_photographs_that_look_alike_are_hinted_at(surveyor, photograph, opening, finding, url):
    finding()
    for _ in range(2):
        photograph(opening=opening, look_hash="0f0f0f0f0f0f0f0f")
    line = lines(surveyor, url)["alike"]
    assert (line.tone, line.mend.url.endswith("/photographs/alike/")) == ("hint", True)


def test_a_danger_that_is_held_is_no_longer_named(surveyor, finding, url):
    danger = finding(hazard=True).danger
    assert "not-held" in lines(surveyor, url)
    hold(danger, "Wired to the saddle bar")
    assert "not-held" not in lines(surveyor, url)


def test_what_only_keeps_people_away_holds_nothing(surveyor, finding, url):
    hold(finding(hazard=True).danger, "Pew roped off", measure="kept clear", fixed_to="")
    assert "not-held" in lines(surveyor, url)


def test_a_danger_nobody_answered_is_asked_again(surveyor, finding, url):
    answered, open_one = finding(hazard=True), finding(hazard=True, hazard__answer="")
    question = reverse("condition:danger-act", args=[open_one.danger.pk, "answer"])
    assert links(lines(surveyor, url)["not-answered"]) == [question]
    assert "Can it come down?" in surveyor.get(question).content.decode()
    answer(open_one.danger, "could", day=open_one.danger.opened_on)
    assert "not-answered" not in lines(surveyor, url)
    assert "not-held" in lines(surveyor, url), answered


def test_two_answers_that_disagree_are_asked_about(surveyor, finding, url):
    danger = finding(hazard=True).danger
    before = danger.acts.get().received_at - dt.timedelta(minutes=1)
    answer(
        danger,
        "no",
        day=danger.opened_on,
        because="Pulled, steady",
        judged_from="ladder",
        knew_until=before,
    )
    assert len(lines(surveyor, url)["not-answered"].links) == 1


def test_an_opening_where_a_danger_hangs_and_nobody_said_who_is_under_it_is_asked_about(
    surveyor, building, opening, finding, url
):
    finding(hazard=True)
    finding(hazard=True)
    edit = reverse("sites:opening-edit", args=[opening.pk])
    assert links(lines(surveyor, url)["not-said-who"]) == [f"{edit}#id_under_inside"]
    opening.under_inside = "people"
    opening.save()
    assert "not-said-who" not in lines(surveyor, url)
    opening.under_inside = ""
    opening.save()
    building.under_inside = building.under_outside = "let in"
    building.save()
    assert "not-said-who" not in lines(surveyor, url)


def test_a_danger_of_another_survey_is_among_the_open_ones_of_the_building(
    surveyor, survey, opening, url
):
    other = FindingFactory(
        survey=SurveyFactory(building=survey.building), opening=opening, hazard=True
    )
    assert links(lines(surveyor, url)["not-held"]) == [other.danger.get_absolute_url()]


def test_a_report_that_cannot_be_issued_says_why_and_else_it_is_warned(
    owner, finding, photograph, opening, url
):
    text = owner.get(url).content.decode()
    assert "Nothing is recorded yet" in text
    assert "disabled" in text
    finding(condition_class=None)
    text = owner.get(url).content.decode()
    assert "Something above is still open" in text
    assert "disabled" not in text
    photograph(opening=opening, state="received")
    assert "1 photograph is still being prepared" in owner.get(url).content.decode()


def test_who_may_not_issue_is_told_so_and_a_version_is_named(surveyor, owner, survey, url):
    report = ConditionReportFactory(survey=survey)
    assert '<button class="btn btn-primary"' not in surveyor.get(url).content.decode()
    text = owner.get(url).content.decode()
    assert report.number in text
    assert "Issue a new version" in text


def test_proposals_are_set_together_and_only_as_they_were_seen(
    surveyor, survey, building, finding, address
):
    kind = FindingKindFactory(
        studio=building.studio, code="cracked-glass", group="glass", name="Cracked glass"
    )
    unset = dict.fromkeys(CLASSED)
    one, other = finding(kind=kind, **unset), finding(kind=kind, **unset)
    done = finding()
    page = surveyor.get(address("survey-classes"))
    values = [row["value"] for row in page.context["ready"]]
    assert [value.split()[0] for value in values] == [str(one.pk), str(other.pk)]
    stale = f"{other.pk} 9-9-9"
    page = surveyor.post(address("survey-classes"), {"accept": [values[0], stale]}, follow=True)
    text = page.content.decode()
    assert "The classes of 1 finding are set as proposed." in text
    assert "has changed meanwhile" in text
    for row in (one, other, done):
        row.refresh_from_db()
    assert one.condition_class is not None
    assert one.proposal is not None
    assert other.condition_class is None
    assert done.classes_set_by is None


def test_as_many_queries_however_much_was_seen(
    owner, survey, finding, photograph, building, url, count_queries
):
    before = SurveyFactory(building=building, day=dt.date(2015, 6, 9))

    def add(number):
        for _ in range(number):
            opening = OpeningFactory(building=building)
            seen = finding(opening=opening, hazard=True, condition_class=None)
            photograph(opening=opening, findings=[seen], look_hash="0f0f0f0f0f0f0f0f")
            photograph()
            FindingFactory(survey=before, opening=opening)
            InspectionFactory(survey=survey, opening=opening)
            OpeningFactory(building=building)

    add(1)
    few = count_queries(lambda: owner.get(url))
    add(5)
    assert count_queries(lambda: owner.get(url)) == few <= 34
