"""A survey read through: each open thing with what mends it, photographs sorted, alike ones."""

from datetime import date

import pytest
from django.urls import reverse

from condition.models import Photograph
from condition.models.choices import Alike
from tests.factories import FindingFactory, OpeningFactory, PhotographFactory, SurveyFactory

pytestmark = pytest.mark.django_db
LOOK = "f0f0f0f0f0f0f0f0"


@pytest.fixture
def survey(building):
    return SurveyFactory(building=building, day=date(2026, 5, 12))


@pytest.fixture
def opening(building):
    return OpeningFactory(building=building, number="nV")


@pytest.fixture
def finding(survey, opening):
    return FindingFactory(survey=survey, opening=opening, number=7, hazard=True)


def photograph(survey, **fields) -> Photograph:
    return PhotographFactory(building=survey.building, survey=survey, state="ready", **fields)


def page(name, survey) -> str:
    return reverse(f"condition:{name}", args=[survey.pk])


def test_every_open_thing_is_a_line_that_links_to_what_mends_it(surveyor, survey, finding):
    OpeningFactory(building=survey.building, number="sII")
    photograph(survey)
    text = surveyor.get(page("survey-review", survey)).content.decode()
    for said in (
        "One danger does not say how it was made safe",
        "One opening: nothing is said of it yet",
        "One finding has no class of condition or urgency",
        "One photograph is not sorted in",
        "One finding has no photograph",
        "Not written yet, and printed in the report",
    ):
        assert said in text
    assert page("photographs-in-order", survey) in text
    assert page("survey-classes", survey) in text


def test_what_is_in_order_is_no_line(surveyor, survey, opening):
    FindingFactory(survey=survey, opening=opening, number=1, condition_class=1, urgency_class=1)
    text = surveyor.get(page("survey-review", survey)).content.decode()
    assert "does not say how it was made safe" not in text
    assert "every finding classed" in text


def test_a_danger_is_said_to_be_made_safe_where_it_stands(surveyor, survey, finding):
    url = page("survey-review", survey)
    empty = surveyor.post(url, {"finding": finding.pk, "made_safe": " "})
    assert empty.status_code == 422
    assert "Say what was done" in empty.content.decode()
    surveyor.post(url, {"finding": finding.pk, "made_safe": "Taped and netted."})
    finding.refresh_from_db()
    assert finding.made_safe == "Taped and netted."


def test_a_danger_of_another_survey_is_not_there(surveyor, survey):
    other = FindingFactory(hazard=True)
    url = page("survey-review", survey)
    assert surveyor.post(url, {"finding": other.pk, "made_safe": "x"}).status_code == 422
    other.refresh_from_db()
    assert other.made_safe == ""


def test_the_survey_read_through_takes_few_queries(surveyor, survey, opening, count_queries):
    for number in range(1, 31):
        FindingFactory(survey=survey, opening=opening, number=number)
        photograph(survey, opening=opening)
    assert count_queries(lambda: surveyor.get(page("survey-review", survey))) <= 18


def test_photographs_are_filed_by_the_number_of_a_finding_and_taken_back(
    surveyor, survey, opening, finding
):
    pictures = [photograph(survey) for _ in range(2)]
    url = page("photographs-in-order", survey)
    surveyor.post(url, {"photographs": [each.pk for each in pictures], "typed": "7"})
    filed = survey.photographs.filter(finding=finding, opening=opening)
    assert filed.count() == 2
    surveyor.post(url, {"undo": "1"})
    assert survey.photographs.filter(opening__isnull=True).count() == 2


def test_a_number_nobody_has_is_refused_and_the_choice_stays(surveyor, survey, finding):
    picture = photograph(survey)
    url = page("photographs-in-order", survey)
    answer = surveyor.post(url, {"photographs": [picture.pk], "typed": "99"})
    assert answer.status_code == 422
    assert "99" in answer.content.decode()
    assert survey.photographs.filter(finding__isnull=True).count() == 1


def test_photographs_of_another_survey_are_not_filed_here(surveyor, survey, finding):
    foreign = PhotographFactory()
    url = page("photographs-in-order", survey)
    answer = surveyor.post(url, {"photographs": [foreign.pk], "typed": "7"})
    assert answer.status_code == 422
    foreign.refresh_from_db()
    assert foreign.finding is None


def test_of_photographs_that_look_alike_one_is_printed_and_none_deleted(surveyor, survey, opening):
    pair = [photograph(survey, opening=opening, look_hash=LOOK) for _ in range(2)]
    url = page("photographs-alike", survey)
    assert surveyor.get(url).status_code == 200
    keys = [each.pk for each in pair]
    surveyor.post(url, {"group": keys, "printed": [keys[0]]})
    told = {each.pk: each.alike for each in survey.photographs.all()}
    assert told == {keys[0]: Alike.PRINTED, keys[1]: Alike.LEFT_OUT}
    surveyor.post(url, {"again": keys[1]})
    assert survey.photographs.get(pk=keys[1]).alike == Alike.PRINTED


def test_printing_none_of_them_is_refused(surveyor, survey, opening):
    pair = [photograph(survey, opening=opening, look_hash=LOOK) for _ in range(2)]
    url = page("photographs-alike", survey)
    answer = surveyor.post(url, {"group": [each.pk for each in pair]}, follow=True)
    assert "Keep at least one of them" in answer.content.decode()
    assert not survey.photographs.filter(alike=Alike.LEFT_OUT).exists()


def test_what_is_proposed_is_set_for_those_ticked_alone(surveyor, survey, opening):
    findings = [FindingFactory(survey=survey, opening=opening, number=n) for n in (1, 2)]
    url = page("survey-classes", survey)
    ready = surveyor.get(url).context["ready"]
    if not ready:
        pytest.fail("kinds without rules of their own still get what every kind gets")
    surveyor.post(url, {"accept": ready[0]["value"]})
    classed = [each for each in survey.findings.all() if each.condition_class is not None]
    assert [each.pk for each in classed] == [findings[0].pk]
