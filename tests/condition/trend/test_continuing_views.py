"""One press beside each earlier finding, and the trend on the pages of finding and panel."""

import datetime as dt
import re

import pytest
from django.urls import reverse

from tests.condition.trend.two_surveys import NOW, THEN, Visits
from tests.factories import SurveyFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def visits(building):
    return Visits(building)


@pytest.fixture
def url(visits):
    return reverse("condition:continuing", args=[visits.now.pk])


def press(what, finding, **changes):
    return {"answer": f"{what}:{finding.pk}", "seen_from": "ladder", "reason": "", **changes}


def test_one_press_answers_and_goes_on_to_the_next(surveyor, visits, url):
    first, second = visits.found(number=1), visits.found(number=2, kind=visits.crack)
    assert surveyor.get(url).context["count"] == 2
    response = surveyor.post(url, press("still", first, reason="Locked"))
    assert response.status_code == 302
    assert response["Location"].endswith(f"?seen_from=ladder&reason=Locked#offer-{second.pk}")
    assert visits.now.findings.get().continues == first
    kept = surveyor.get(response["Location"])
    assert b'value="Locked"' in kept.content
    assert kept.context["count"] == 1


def test_worse_opens_the_finding_to_say_how_much(surveyor, visits, url):
    response = surveyor.post(url, press("worse", visits.found()))
    new = visits.now.findings.get()
    assert response["Location"] == reverse("condition:finding-edit", args=[new.pk])


def test_gone_and_not_seen_leave_looks(surveyor, visits, url):
    surveyor.post(url, press("gone", visits.found()))
    assert visits.now.inspections.get().outcome == "nothing found"
    visits.now.inspections.all().delete()
    surveyor.post(url, press("not-seen", visits.found(), reason="Boarded over"))
    assert visits.now.inspections.get().reason == "Boarded over"


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"reason": ""}, "Say why it was not inspected."),
        ({"reason": "a\0b"}, "Null characters"),
        ({"reason": "x" * 241}, "240"),
        ({"seen_from": "the moon"}, "the moon"),
        ({"answer": "still:nonsense"}, "answered already"),
        ({"answer": "burn:{key}"}, "answered already"),
        ({"answer": ""}, "answered already"),
    ],
)
def test_a_press_that_cannot_be_kept_comes_back_with_what_was_typed(
    surveyor, visits, url, changes, told
):
    left = visits.found()
    data = press("not-seen", left, **{"reason": "Loft", **changes})
    data["answer"] = data["answer"].replace("{key}", str(left.pk))
    response = surveyor.post(url, data)
    assert response.status_code == 422
    assert told in response.content.decode()
    assert not visits.now.inspections.exists()
    assert not visits.now.findings.exists()


def test_a_second_press_adds_nothing(surveyor, visits, url):
    left = visits.found()
    surveyor.post(url, press("still", left))
    assert surveyor.post(url, press("still", left)).status_code == 422
    assert visits.now.findings.count() == 1


def test_a_survey_leads_to_what_was_found_before_until_all_is_answered(surveyor, visits, url):
    left = visits.found()
    page = visits.now.get_absolute_url()
    assert b"Look again for 1 finding<" in surveyor.get(page).content
    surveyor.post(url, press("still", left))
    assert b"Look again" not in surveyor.get(page).content
    assert "All that earlier surveys found is answered" in surveyor.get(url).content.decode()


def panel_url(visits):
    return reverse("sites:panel", args=[visits.panel.pk])


def test_a_finding_of_the_same_kind_here_is_named_so_that_it_is_not_logged_twice(
    surveyor, visits, url
):
    visits.found()
    again = visits.found(visits.now, number=88)
    page = surveyor.get(url).content.decode()
    assert "Finding 88 of this survey is of the same kind here." in page
    assert f"{reverse('condition:finding-edit', args=[again.pk])}#id_continues" in page


def told(response):
    """The words of the section of the trend."""
    section = response.content.decode().partition('class="section trend"')[2]
    return " ".join(re.sub(r"<[^>]+>", " ", section).split())


def test_two_dates_are_shown_without_a_slope(reader, visits):
    later = visits.bowed(NOW, 22, visits.bowed(THEN, 14))
    said = told(reader.get(later.get_absolute_url()))
    assert "From 14 mm to 22 mm in almost 11 years: more than both may be off." in said
    assert "With two dates there is no slope: it takes three." in said
    assert "No measurement records the span" in said
    assert "Slope" not in said


def test_three_dates_give_a_slope_its_range_and_the_threshold(reader, visits):
    first = visits.bowed(dt.date(2004, 6, 9), 5)
    last = visits.bowed(NOW, 27, visits.bowed(THEN, 16, first))
    response = reader.get(last.get_absolute_url())
    said = told(response)
    assert re.search(r"Slope 1 mm a year; with 67 % confidence between 1 mm and 1.01 mm", said)
    assert re.search(r"On this trend 38 mm is met between \d+ \w+ 2035 and \d+ \w+ 2039", said)
    assert "NPS Preservation Brief 33" in said
    assert "P. K. Sen" in said
    assert b"trend-beyond" in response.content
    panel = told(reader.get(panel_url(visits)))
    assert "Slope 1 mm a year" in panel


def test_a_reading_over_another_span_is_named_and_left_out(reader, visits):
    first = visits.bowed(THEN, 14, span_typed="600", span_mm=600)
    last = visits.bowed(NOW, 22, first, span_typed="760", span_mm=760)
    said = told(reader.get(last.get_absolute_url()))
    assert "it was measured over 600 mm, not over 760 mm" in said
    assert "cannot be compared with any before it" in said


def test_a_survey_that_did_not_measure_does_not_break_the_trend(reader, visits):
    first = visits.bowed(THEN, 14)
    between = visits.found(
        SurveyFactory(building=visits.building, day=dt.date(2020, 1, 1)),
        kind=visits.bow,
        continues=first,
    )
    visits.bowed(NOW, 22, between)
    assert "From 14 mm to 22 mm" in told(reader.get(panel_url(visits)))


def test_inch_readers_read_inches(client_of, people, visits):
    people["reader"].units = "inch"
    people["reader"].save()
    later = visits.bowed(NOW, 38, visits.bowed(THEN, 19))
    said = told(client_of(people["reader"]).get(later.get_absolute_url()))
    assert "to about 1 1/2&quot; (38 mm)" in said


def test_what_was_measured_once_has_no_trend(reader, visits):
    alone = visits.bowed(NOW, 22)
    assert "section trend" not in reader.get(alone.get_absolute_url()).content.decode()
    assert "section trend" not in reader.get(panel_url(visits)).content.decode()
