"""Photographs that look alike: put side by side, decided on, never deleted."""

import pytest
from django.utils import timezone

from condition.documents.reading import gather
from condition.models import Photograph
from condition.services.report_snapshot import judge

pytestmark = pytest.mark.django_db
LOOK, NEAR, FAR = "0f0f0f0f0f0f0f0f", "0f0f0f0f0f0f0f3f", "f0f0f0f00f0f0f0f"


@pytest.fixture
def url(address):
    return address("photographs-alike")


@pytest.fixture
def rows(photograph, opening):
    return [photograph(opening=opening, look_hash=look) for look in (LOOK, NEAR, FAR)]


def groups(client, url):
    return [{one.picture.key for one in group} for group in client.get(url).context["groups"]]


def test_near_copies_stand_together_and_others_do_not(surveyor, rows, url):
    assert groups(surveyor, url) == [{rows[0].pk, rows[1].pk}]


def test_one_is_printed_in_place_of_both_and_both_stay(surveyor, rows, survey, opening, url):
    pair = [row.pk for row in rows[:2]]
    surveyor.post(url, {"group": pair, "printed": pair[:1]})
    assert Photograph.objects.filter(survey=survey).count() == 3
    assert {row.pk for row in gather(survey, judge, timezone.now()).photographs[opening.pk]} == {
        pair[0],
        rows[2].pk,
    }
    assert groups(surveyor, url) == []
    left_out = surveyor.get(url).context["left_out"]
    assert [one.picture.key for one in left_out] == pair[1:]
    surveyor.post(url, {"again": pair[1]})
    assert len(gather(survey, judge, timezone.now()).photographs[opening.pk]) == 3


def test_both_are_kept_and_not_asked_for_again_until_a_third_comes(
    surveyor, rows, photograph, survey, opening, url
):
    surveyor.post(url, {"group": [row.pk for row in rows[:2]], "all": "1"})
    assert groups(surveyor, url) == []
    assert len(gather(survey, judge, timezone.now()).photographs[opening.pk]) == 3
    third = photograph(opening=opening, look_hash=LOOK)
    assert groups(surveyor, url) == [{rows[0].pk, rows[1].pk, third.pk}]


@pytest.mark.parametrize("sent", [{}, {"printed": "nonsense"}, {"group": "a\0b", "all": "1"}])
def test_none_at_all_is_refused(surveyor, rows, url, sent):
    data = {"group": [row.pk for row in rows[:2]]} | sent
    page = surveyor.post(url, data, follow=True)
    assert "Keep at least one of them" in page.content.decode()
    assert len(groups(surveyor, url)) == 1
