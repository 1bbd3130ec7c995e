"""What changed, on a page: two surveys, two drawings, two photographs."""

import re
from uuid import uuid4

import pytest
from django.urls import reverse

from condition.compute.comparing import State
from condition.services import comparing
from condition.services.comparing import compare_surveys
from tests.condition.trend.two_surveys import Visits
from tests.factories import FindingFactory, InspectionFactory, PhotographFactory, SurveyFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def visits(building):
    return Visits(building)


@pytest.fixture
def url(visits):
    return reverse("condition:survey-compare", args=[visits.now.pk])


def words(response):
    text = re.sub(r"<[^>]+>", " ", response.content.decode())
    return " ".join(text.split())


def test_the_page_compares_with_the_survey_before_and_its_counts_add_up(reader, visits, url):
    left = visits.found(amount=2, unit="count")
    visits.found(visits.now, continues=left, amount=4, unit="count", number=31)
    visits.found(visits.now, kind=visits.crack, number=32)
    visits.found(kind=visits.bow, number=33)
    response = reader.get(url)
    counts = {each.state: each.count for each in response.context["counts"]}
    assert counts == {
        **dict.fromkeys(State, 0),
        "worse": 1,
        "new": 1,
        "not looked at": 1,
    }
    assert response.context["comparison"].total == sum(counts.values()) == 3
    assert "2 then, 4 now" in words(response)
    assert "Earlier findings: 2; findings in 2026: 2." in words(response)


def test_the_earlier_comes_first_from_whichever_survey_it_is_opened(reader, visits):
    left = visits.found(amount=2, unit="count")
    visits.found(visits.now, continues=left, amount=4, unit="count")
    earlier_url = reverse("condition:survey-compare", args=[visits.then.pk])
    for address in (earlier_url, f"{earlier_url}?with={visits.now.pk}"):
        comparison = reader.get(address).context["comparison"]
        assert (comparison.earlier, comparison.later) == (visits.then, visits.now)


def test_a_single_survey_has_nothing_to_compare(reader, building):
    survey = SurveyFactory(building=building)
    response = reader.get(reverse("condition:survey-compare", args=[survey.pk]))
    assert "the only survey of the building" in words(response)
    assert b"What changed" not in reader.get(survey.get_absolute_url()).content


@pytest.mark.parametrize("with_what", ["nonsense", "\0", str(uuid4()), ""])
def test_a_survey_that_is_not_of_the_building_is_not_found(reader, url, with_what):
    assert reader.get(url, {"with": with_what}).status_code == 404
    foreign = SurveyFactory()
    assert reader.get(url, {"with": str(foreign.pk)}).status_code == 404


def test_queries_do_not_grow_with_the_findings(reader, visits, url, count_queries):
    visits.found(visits.now, continues=visits.found())
    few = count_queries(lambda: reader.get(url))
    for _ in range(4):
        visits.found(visits.now, continues=visits.found())
    assert count_queries(lambda: reader.get(url)) == few


def test_both_drawings_carry_pins_with_the_mark_of_their_state(reader, visits, url):
    left = visits.found(number=41)
    visits.found(visits.now, continues=left, number=42, hazard=True)
    visits.found(visits.now, kind=visits.crack, number=43)
    opening = {"opening": visits.opening.pk}
    response = reader.get(url, opening)
    (group,) = response.context["groups"]
    earlier, later = group.drawings.earlier.svg, group.drawings.later.svg
    assert re.findall(r'compare-pin" data-state="([\w ]+)"', earlier) == ["worse"]
    assert set(re.findall(r'compare-pin" data-state="([\w ]+)"', later)) == {"worse", "new"}
    assert re.findall(r">(4\d)</text>", earlier) == ["41"]
    assert sorted(re.findall(r">(4\d)</text>", later)) == ["42", "43"]
    assert 'data-hazard=""' in later
    assert reader.get(url, {"opening": "nonsense"}).context["groups"][0].drawings is None


def test_what_the_room_above_knows_as_repaired_is_repaired(visits, monkeypatch):
    left = visits.found()
    asked = []

    def told(building, start, end):
        asked.append((building, start, end))
        return {left.pk: "new ties, 2019"}

    monkeypatch.setattr(comparing, "repairs_between", [told])
    (row,) = compare_surveys(visits.now, visits.then).rows
    assert (row.state, row.reason) == (
        "not looked at",
        "new ties, 2019; the later survey says nothing of it",
    )
    InspectionFactory(survey=visits.now, opening=visits.opening, seen_from="ladder")
    (row,) = compare_surveys(visits.now, visits.then).rows
    assert (row.state, row.reason) == ("repaired", "new ties, 2019")
    assert asked[1:] == [(visits.building, visits.then.day, visits.now.day)]


def test_surveys_of_two_buildings_are_not_compared(visits):
    with pytest.raises(ValueError, match="two buildings"):
        compare_surveys(visits.now, SurveyFactory())


def test_a_photograph_is_set_beside_one_of_the_same_thing(reader, visits):
    left = visits.found()
    later = visits.found(visits.now, continues=left)
    common = {"building": visits.building, "opening": visits.opening}
    old = PhotographFactory(survey=visits.then, findings=[left], caption="Then", **common)
    PhotographFactory(survey=visits.then, caption="Whole window", **common)
    new = PhotographFactory(survey=visits.now, findings=[later], caption="Now", **common)
    url = reverse("condition:photograph-compare", args=[new.pk])
    response = reader.get(url)
    assert [picture.caption for picture in response.context["pair"]] == ["Then", "Now"]
    assert response.context["other"] == old
    assert b'type="range"' in response.content
    elsewhere = FindingFactory(survey=visits.now)
    foreign = PhotographFactory(building=visits.building, opening=elsewhere.opening)
    for wanted in (foreign.pk, "nonsense", new.pk):
        assert reader.get(url, {"with": wanted}).status_code == 404


def test_a_photograph_without_another_says_what_to_do(reader, visits):
    alone = PhotographFactory(building=visits.building, opening=visits.opening)
    unsorted = PhotographFactory(building=visits.building, survey=visits.now)
    for photograph, told in ((alone, "no other photograph"), (unsorted, "Sort the photograph in")):
        url = reverse("condition:photograph-compare", args=[photograph.pk])
        assert told in words(reader.get(url))
