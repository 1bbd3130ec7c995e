"""One that became several, and several that came together: told as they are, no growth made up."""

from decimal import Decimal

import pytest
from django.urls import reverse

from condition.models import FindingSource
from condition.services.comparing import compare_surveys
from condition.services.continuing import chain_of, grown_since, offered
from tests.condition.trend.two_surveys import NOW, THEN, Visits

pytestmark = pytest.mark.django_db


@pytest.fixture
def visits(building):
    return Visits(building)


def join(finding, earlier):
    return FindingSource.objects.create(finding=finding, earlier=earlier)


def rows(visits):
    """What became of each: the numbers of the earlier and the later finding, and the state."""
    return {
        (row.earlier and row.earlier.number, row.later and row.later.number): (
            row.state,
            row.reason,
        )
        for row in compare_surveys(visits.then, visits.now).rows
    }


def test_one_that_became_two_is_neither_gone_nor_new(visits):
    whole = visits.found(number=1, amount=8, unit="count", condition_class=1)
    facts = {"continues": whole, "unit": "count", "condition_class": 1}
    visits.found(visits.now, number=5, amount=3, **facts)
    visits.found(visits.now, number=6, amount=4, **facts)
    told = rows(visits)
    assert set(told) == {(1, 5), (None, 6)}
    assert {state for state, _reason in told.values()} == {"same"}
    words = "finding 1 then, findings 5, 6 now: it became several"
    assert {why for _state, why in told.values()} == {
        f"{words}; amounts and extents not compared; condition class 1 both times"
    }
    comparison = compare_surveys(visits.then, visits.now)
    assert comparison.regrouped == (f"nII: {words}",)
    assert (comparison.earlier_count, comparison.later_count) == (1, 2)


def test_two_that_came_together_are_told_by_the_one_they_are_in(visits):
    main = visits.found(number=1, amount=3, unit="count", condition_class=1)
    other = visits.found(number=2, condition_class=2)
    one = visits.found(
        visits.now, number=5, amount=9, unit="count", continues=main, condition_class=2
    )
    join(one, other)
    told = rows(visits)
    assert set(told) == {(1, 5), (2, None)}
    assert told[2, None] == (
        "same",
        "findings 1, 2 then, finding 5 now: they came together; amounts and extents not compared; "
        "condition class 2 both times",
    )
    assert offered(visits.now) == []


def test_what_came_together_has_not_grown_by_it(visits):
    main, other = visits.bowed(THEN, 10), visits.bowed(THEN, 9)
    one = visits.bowed(NOW, 40, continues=main)
    assert grown_since([one])[one.pk]
    join(one, other)
    assert not grown_since([one])[one.pk]


def test_the_line_of_a_finding_shows_what_it_comes_from_and_became(visits):
    main, other = visits.bowed(THEN, 10), visits.bowed(THEN, 9)
    one = visits.bowed(NOW, 40, continues=main)
    join(one, other)
    assert chain_of(main) == [one, main, other]
    assert chain_of(one) == [one, main, other]


def test_a_trend_says_where_several_came_together_or_one_became_several(visits, owner):
    main, other = visits.bowed(THEN, 10), visits.bowed(THEN, 9)
    one = visits.bowed(NOW, 40, continues=main)
    page = owner.get(one.get_absolute_url()).content.decode()
    assert "How it has changed" in page
    assert "came together" not in page
    join(one, other)
    page = owner.get(one.get_absolute_url()).content.decode()
    assert f"several came together in finding {one.number}" in page
    assert "Here came together:" in page
    assert f"finding {other.number} of 9 June 2015" in page
    second = visits.bowed(NOW, Decimal(7), continues=main)
    page = owner.get(second.get_absolute_url()).content.decode()
    assert f"recorded as several afterwards: findings {one.number}, {second.number}" in page
    page = owner.get(main.get_absolute_url()).content.decode()
    assert "It became, wholly or in part:" in page


def test_several_are_chosen_on_the_form_of_a_finding(visits, surveyor):
    main, other = visits.found(), visits.found(kind=visits.crack)
    post = {
        "opening": str(visits.opening.pk),
        "kind": str(visits.crack.pk),
        "side": "inside",
        "extent": "grouped",
        "continues": str(main.pk),
        "also_from": [str(other.pk)],
        "subject_change": "It has spread to the panel beside it.",
    }
    url = reverse("condition:finding-add", args=[visits.now.pk])
    assert surveyor.post(url, post).status_code == 302
    made = visits.now.findings.get()
    assert (made.continues, made.also_from.get()) == (main, other)
    page = surveyor.get(reverse("condition:finding-edit", args=[made.pk])).content.decode()
    assert f'<option value="{other.pk}" selected' in page
