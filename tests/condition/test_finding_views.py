"""The page of a finding, and changing it or taking it away."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from condition.models import Finding, Photograph
from sites.keys import uuid7
from tests.condition.pictures import jpeg, quarters
from tests.condition.recorded import receive_photograph
from tests.factories import (
    ConditionReportFactory,
    FindingFactory,
    FindingKindFactory,
    OpeningFactory,
    RepairActionFactory,
    SurveyFactory,
)
from tests.sites.pages import boxes

pytestmark = pytest.mark.django_db


@pytest.fixture
def survey(building):
    return SurveyFactory(building=building)


@pytest.fixture
def opening(building):
    return OpeningFactory(building=building, number="nIV", order="1")


@pytest.fixture
def kind(building):
    return FindingKindFactory(
        studio=building.studio, name="Cracked joint", units=["count"], measure="Count them."
    )


@pytest.fixture
def url(survey):
    return reverse("condition:finding-add", args=[survey.pk])


@pytest.fixture
def filled(opening, kind):
    """A function that returns the form as posted, with changes."""

    def fill(**changes):
        return {
            "key": str(uuid7()),
            "opening": str(opening.pk),
            "kind": str(kind.pk),
            "side": "inside",
            "extent": "isolated",
        } | changes

    return fill


def a_photograph(name="IMG_1.jpg", colour=10):
    return SimpleUploadedFile(name, jpeg(quarters([(colour, 20, 30)] * 4)), "image/jpeg")


# The page.
def test_a_finding_shows_what_it_continues_and_what_continues_it(reader, survey, opening):
    building = survey.building
    first = FindingFactory(
        survey=SurveyFactory(building=building, day="1998-05-01"), opening=opening
    )
    middle = FindingFactory(survey=survey, opening=opening, continues=first)
    last = FindingFactory(
        survey=SurveyFactory(building=building, day="2031-05-01"), opening=opening, continues=middle
    )
    FindingFactory(survey=survey, opening=opening)
    response = reader.get(middle.get_absolute_url())
    assert response.context["chain"] == [last, middle, first]
    assert response.context["later"] == last


def test_everyone_of_the_building_reads_a_finding_and_a_stranger_does_not(
    people, client_of, survey, opening
):
    url = FindingFactory(survey=survey, opening=opening).get_absolute_url()
    expected = {role: 404 if role == "stranger" else 200 for role in people}
    assert {r: client_of(user).get(url).status_code for r, user in people.items()} == expected


def test_queries_do_not_grow_with_the_photographs(owner, survey, opening, count_queries, files):
    there = FindingFactory(survey=survey, opening=opening)

    def send(*colours):
        for colour in colours:
            receive_photograph(
                building=survey.building,
                survey=survey,
                opening=opening,
                findings=[there],
                file=a_photograph(colour=colour),
            )

    send(1)
    few = count_queries(lambda: owner.get(there.get_absolute_url()))
    send(60, 120, 180, 240)
    assert count_queries(lambda: owner.get(there.get_absolute_url())) == few


# Changing.
def test_a_finding_moved_to_another_opening_takes_its_photographs_along(
    surveyor, survey, opening, files, filled
):
    there = FindingFactory(survey=survey, opening=opening)
    url = reverse("condition:finding-edit", args=[there.pk])
    surveyor.post(url, filled(kind=str(there.kind_id), photographs=[a_photograph()]))
    other = OpeningFactory(building=survey.building)
    response = surveyor.post(url, filled(kind=str(there.kind_id), opening=str(other.pk)))
    assert response.status_code == 302
    there.refresh_from_db()
    assert there.opening == other
    assert there.photographs.get().opening == other


def test_a_finding_that_is_continued_stays_at_its_opening(surveyor, survey, opening, filled):
    there = FindingFactory(survey=survey, opening=opening)
    later = SurveyFactory(building=survey.building, day="2030-01-01")
    FindingFactory(survey=later, opening=opening, continues=there)
    other = OpeningFactory(building=survey.building)
    url = reverse("condition:finding-edit", args=[there.pk])
    response = surveyor.post(url, filled(kind=str(there.kind_id), opening=str(other.pk)))
    assert response.status_code == 422
    assert "A later finding continues this one" in response.content.decode()


def test_a_changed_finding_keeps_its_number_and_what_it_continues(
    surveyor, survey, opening, filled
):
    earlier = FindingFactory(
        survey=SurveyFactory(building=survey.building, day="2015-01-01"), opening=opening
    )
    there = FindingFactory(survey=survey, opening=opening, number=12, continues=earlier)
    url = reverse("condition:finding-edit", args=[there.pk])
    assert str(earlier.pk) in surveyor.get(url).content.decode()
    kept = filled(kind=str(there.kind_id), continues=str(earlier.pk), note="Worse now")
    assert surveyor.post(url, kept).status_code == 302
    there.refresh_from_db()
    assert (there.number, there.continues, there.note) == (12, earlier, "Worse now")


# Taking away.
def take_away(client, finding):
    url = reverse("condition:finding-delete", args=[finding.pk])
    assert client.get(url).status_code == 405
    return client.post(url, follow=True).content.decode()


def test_a_finding_taken_away_leaves_its_photographs_with_the_window(
    surveyor, survey, opening, files, url, filled
):
    surveyor.post(url, filled(photographs=[a_photograph()]))
    text = take_away(surveyor, Finding.objects.get())
    assert not Finding.objects.exists()
    left = Photograph.objects.get()
    assert (left.survey, left.opening, left.findings.count()) == (survey, opening, 0)
    assert "as views of the window" in text


def test_a_finding_of_an_issued_report_stays(surveyor, survey, opening):
    there = FindingFactory(survey=survey, opening=opening)
    report = ConditionReportFactory(survey=survey)
    assert f"Report {report.number} has been issued" in take_away(surveyor, there)
    assert Finding.objects.filter(pk=there.pk).exists()


def test_a_finding_that_something_else_names_stays(surveyor, survey, opening):
    there = FindingFactory(survey=survey, opening=opening)
    later = SurveyFactory(building=survey.building, day="2030-01-01")
    FindingFactory(survey=later, opening=opening, continues=there)
    action = RepairActionFactory(estimate__building=survey.building, opening=opening)
    action.findings.add(there)
    text = take_away(surveyor, there)
    assert "This finding is named by 1 finding, 1 repair action" in text
    assert Finding.objects.filter(pk=there.pk).exists()


# The same page sent again: by a double tap, or gone back to and changed.
def test_a_page_gone_back_to_and_changed_is_a_finding_of_its_own(
    surveyor, survey, files, url, filled
):
    """The second danger and its photograph must not be taken for a repeat of the first."""
    first = filled(note="Cracked joint")
    surveyor.post(url, first)
    second = first | {"note": "Loose saddle bar", "answer": "now", "photographs": [a_photograph()]}
    answer = surveyor.post(url, second)
    cracked, loose = survey.findings.order_by("number")
    assert answer.url == loose.get_absolute_url()
    assert (cracked.note, cracked.hazard, cracked.photographs.count()) == (
        "Cracked joint",
        False,
        0,
    )
    assert (loose.note, loose.hazard, loose.photographs.count()) == ("Loose saddle bar", True, 1)


@pytest.mark.parametrize(
    "changed",
    [
        {"note": "Other words"},
        {"position": "Sill"},
        {"answer": "now"},
        {"side": "outside"},
        {"amount": "2", "unit": "count"},
        {"urgency_class": "3"},
    ],
    ids=lambda changed: next(iter(changed)),
)
def test_whatever_was_changed_it_is_another_finding_and_a_repeat_of_that_is_none(
    surveyor, survey, url, filled, changed
):
    first = filled()
    for sent in (first, first | changed, first | changed, first):
        assert surveyor.post(url, sent).status_code == 302
    assert survey.findings.count() == 2


def test_the_same_words_with_another_photograph_lose_no_photograph(
    surveyor, survey, files, url, filled
):
    first = filled()
    for colour in (10, 10, 90):
        surveyor.post(url, first | {"photographs": [a_photograph(colour=colour)]})
    assert survey.findings.count() == 2
    assert [each.photographs.count() for each in survey.findings.all()] == [1, 1]


def test_either_button_of_the_same_page_logs_one_finding(surveyor, survey, url, filled):
    sent = filled()
    surveyor.post(url, sent)
    assert surveyor.post(url, sent | {"next_here": "1"}).status_code == 302
    assert survey.findings.count() == 1


def test_photographs_sent_with_a_page_that_others_overtook_go_with_the_second_press(
    surveyor, survey, opening, files
):
    there = FindingFactory(survey=survey, opening=opening)
    change = reverse("condition:finding-edit", args=[there.pk])
    opened = boxes(surveyor.get(change))
    surveyor.post(change, opened | {"note": "Worse now"})
    told = surveyor.post(change, opened | {"answer": "now", "photographs": [a_photograph()]})
    assert told.status_code == 422
    assert surveyor.post(change, boxes(told)).status_code == 302
    there.refresh_from_db()
    assert (there.note, there.hazard, there.photographs.count()) == ("Worse now", True, 1)
