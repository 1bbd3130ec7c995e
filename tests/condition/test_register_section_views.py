"""What the register's pages show of surveys, dangers, findings and photographs."""

import datetime as dt
from itertools import count

import pytest
from django.urls import reverse

from condition.models import DangerAct
from condition.views.marks import building_marks, opening_marks, part_marks
from tests.factories import (
    AttachedItemFactory,
    BuildingFactory,
    ConditionReportFactory,
    DangerFactory,
    FindingFactory,
    OpeningFactory,
    PanelFactory,
    PhotographFactory,
    SurveyFactory,
)

pytestmark = pytest.mark.django_db
digests = (f"{number:064x}" for number in count(20_000))


@pytest.fixture
def old(building):
    return SurveyFactory(building=building, day="2015-06-09")


@pytest.fixture
def recent(building):
    return SurveyFactory(building=building, day="2026-05-12")


@pytest.fixture
def opening(building):
    return OpeningFactory(building=building, number="nIV")


def text_of(client, record) -> str:
    response = client.get(record.get_absolute_url())
    assert response.status_code == 200
    return response.content.decode()


# The building's page.
def test_surveys_are_listed_newest_first_with_their_current_report(reader, building, old, recent):
    first = ConditionReportFactory(survey=recent)
    second = ConditionReportFactory(survey=recent, number=first.number, version=2, supersedes=first)
    text = text_of(reader, building)
    assert text.index("12 May 2026") < text.index("9 June 2015")
    assert second.get_absolute_url() in text
    assert first.get_absolute_url() not in text


def test_starting_a_survey_is_offered_to_those_who_survey(surveyor, reader, building):
    url = reverse("condition:survey-add", args=[building.pk])
    assert url in text_of(surveyor, building)
    assert url not in text_of(reader, building)


def test_open_dangers_stand_on_the_building_s_page_until_somebody_ends_them(
    reader, building, old, recent, opening
):
    danger = FindingFactory(survey=old, opening=opening, hazard=True)
    assert "One danger stands open" in text_of(reader, building)
    FindingFactory(survey=recent, opening=opening, continues=danger, hazard=False)
    assert "One danger stands open" in text_of(reader, building)
    DangerAct.objects.create(danger=danger.danger, act="end", end="removed", day=recent.day)
    assert "stands open" not in text_of(reader, building)


def test_nothing_of_another_building_is_shown(reader, building):
    other = BuildingFactory(studio=building.studio)
    FindingFactory(
        survey=SurveyFactory(building=other, surveyors="Somebody else"),
        opening=OpeningFactory(building=other),
        hazard=True,
    )
    text = text_of(reader, building)
    assert "Somebody else" not in text
    assert "stands open" not in text


def test_queries_do_not_grow_with_the_surveys(owner, building, count_queries):
    def add(number):
        for each in range(number):
            opening = OpeningFactory(building=building)
            day = dt.date(2000 + each, number, 1)
            survey = SurveyFactory(building=building, day=day)
            FindingFactory(survey=survey, opening=opening, hazard=True, urgency_class=3)
            ConditionReportFactory(survey=survey)

    url = building.get_absolute_url()
    add(2)
    few = count_queries(lambda: owner.get(url))
    add(7)
    assert count_queries(lambda: owner.get(url)) == few


# The pages of an opening and of an item.
def test_an_opening_shows_its_findings_by_survey_and_its_photographs(
    reader, building, old, recent, opening
):
    FindingFactory(survey=old, opening=opening, number=4, note="")
    new = FindingFactory(survey=recent, opening=opening, number=9)
    PhotographFactory(building=building, survey=recent, opening=opening, findings=[new])
    text = text_of(reader, opening)
    assert text.index("Survey of 12 May 2026") < text.index("Survey of 9 June 2015: one finding")
    assert 'id="photographs"' in text


def test_an_item_shows_what_was_found_on_it_alone(reader, recent, opening):
    item = AttachedItemFactory(opening=opening, number="P1")
    on_item = FindingFactory(survey=recent, opening=opening, attached_item=item)
    beside = FindingFactory(survey=recent, opening=opening)
    text = text_of(reader, item)
    assert on_item.get_absolute_url() in text
    assert beside.get_absolute_url() not in text


def test_logging_at_an_opening_goes_to_the_survey_under_way(surveyor, building, opening):
    add = reverse("condition:survey-add", args=[building.pk])
    assert add in text_of(surveyor, opening)
    SurveyFactory(building=building, day=dt.date.today() - dt.timedelta(days=90))
    assert add in text_of(surveyor, opening)
    survey = SurveyFactory(building=building, day=dt.date.today())
    log = reverse("condition:finding-add", args=[survey.pk])
    assert f"{log}?opening={opening.pk}" in text_of(surveyor, opening)


def test_queries_do_not_grow_with_the_findings(owner, building, recent, opening, count_queries):
    def add(number):
        for _ in range(number):
            panel = PanelFactory(opening=opening)
            found = FindingFactory(survey=recent, opening=opening, panel=panel, hazard=True)
            PhotographFactory(
                building=building,
                survey=recent,
                opening=opening,
                findings=[found],
                sha256=next(digests),
            )

    url = opening.get_absolute_url()
    add(2)
    few = count_queries(lambda: owner.get(url))
    add(6)
    assert count_queries(lambda: owner.get(url)) == few


# Marks on lists and drawings.
def test_an_opening_is_marked_by_its_latest_findings_and_by_any_open_danger(
    rf, building, old, recent, opening
):
    FindingFactory(survey=old, opening=opening, urgency_class=3, hazard=True)
    FindingFactory(survey=recent, opening=opening, urgency_class=1)
    FindingFactory(survey=recent, opening=opening, urgency_class=None)
    mark = opening_marks(rf.get("/"), building)[opening.pk]
    assert (mark.urgency, mark.hazard, mark.findings) == (1, True, 2)
    assert mark.word == "Intermediate term"


def test_parts_are_marked_each_by_itself(rf, recent, opening):
    panel, item = PanelFactory(opening=opening), AttachedItemFactory(opening=opening)
    FindingFactory(survey=recent, opening=opening, panel=panel, urgency_class=2)
    FindingFactory(survey=recent, opening=opening, attached_item=item, hazard=True)
    FindingFactory(survey=recent, opening=opening, urgency_class=3)
    marks = part_marks(rf.get("/"), opening)
    assert set(marks) == {panel.pk, item.pk}
    assert (marks[panel.pk].urgency, marks[panel.pk].hazard) == (2, False)
    assert (marks[item.pk].urgency, marks[item.pk].hazard) == (None, True)


def test_a_part_whose_finding_was_taken_up_elsewhere_in_the_opening_is_not_marked(
    rf, old, recent, opening
):
    panel = PanelFactory(opening=opening)
    before = FindingFactory(survey=old, opening=opening, panel=panel, urgency_class=2)
    request = rf.get("/")
    assert part_marks(request, opening)[panel.pk].urgency == 2
    FindingFactory(survey=recent, opening=opening, continues=before)
    assert part_marks(request, opening) == {}


def test_buildings_are_marked_by_their_latest_survey_and_any_open_danger(
    rf, building, old, recent, opening
):
    FindingFactory(survey=old, opening=opening, urgency_class=3)
    FindingFactory(survey=recent, opening=opening, urgency_class=2)
    quiet = BuildingFactory()
    dangerous = BuildingFactory()
    FindingFactory(
        survey__building=dangerous, opening=OpeningFactory(building=dangerous), hazard=True
    )
    marks = building_marks(rf.get("/"), [building, quiet, dangerous])
    assert (marks[building.pk].urgency, marks[building.pk].hazard) == (2, False)
    assert (marks[dangerous.pk].urgency, marks[dangerous.pk].hazard) == (None, True)
    assert quiet.pk not in marks


def test_a_danger_reported_without_a_finding_marks_its_opening(rf, building, opening):
    DangerFactory(building=building, opening=opening)
    assert opening_marks(rf.get("/"), building)[opening.pk].hazard
    assert building_marks(rf.get("/"), [building])[building.pk].hazard


def test_what_is_not_in_its_place_marks_nothing_and_has_no_sign(
    rf, reader, building, recent, opening
):
    item = AttachedItemFactory(opening=opening)
    FindingFactory(survey=recent, opening=opening, attached_item=item, hazard=True)
    assert "Keep people out from under it" in text_of(reader, item)
    assert 'class="hazard"' in text_of(reader, item)
    item.placement, item.placed_at, item.held_by = "taken down", "Vestry safe", "The warden"
    item.save()
    assert not part_marks(rf.get("/"), opening)[item.pk].hazard
    assert not opening_marks(rf.get("/"), building)[opening.pk].hazard
    text = text_of(reader, item)
    assert "Keep people out" not in text
    assert 'class="hazard"' not in text
    assert 'class="danger' not in text
    assert "It is not in its place. Taken down; Vestry safe; held by The warden." in text
    assert "One danger stands open" in text


def test_the_urgency_of_a_finding_taken_up_again_no_longer_marks_its_opening_its_danger_does(
    rf, building, old, recent, opening
):
    before = FindingFactory(survey=old, opening=opening, urgency_class=3, hazard=True)
    FindingFactory(survey=recent, opening=opening, continues=before, urgency_class=0)
    mark = opening_marks(rf.get("/"), building)[opening.pk]
    assert (mark.urgency, mark.hazard) == (0, True)
