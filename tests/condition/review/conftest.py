"""A survey with one opening, and photographs of it that need no file."""

from itertools import count

import pytest
from django.urls import reverse

from condition.models import Survey
from sites.models import Opening
from tests.factories import OpeningFactory, PhotographFactory, SurveyFactory

digests = (f"{number:064x}" for number in count(70_000))


@pytest.fixture
def survey(building) -> Survey:
    facts = {"method": "By eye.", "limits": "None.", "access": "Ladder.", "weather": "Dry."}
    return SurveyFactory(building=building, distribution="The vestry", **facts)


@pytest.fixture
def opening(building) -> Opening:
    return OpeningFactory(building=building, number="nIV", title="Ruth among the Barley")


@pytest.fixture
def photograph(survey):
    """A function that makes a photograph of the survey."""

    def make(**fields):
        facts = {"state": "ready", "survey": survey, "building": survey.building}
        return PhotographFactory(sha256=next(digests), **facts | fields)

    return make


@pytest.fixture
def address(survey):
    """A function from the name of a page of the survey to its address."""
    return lambda name: reverse(f"condition:{name}", args=[survey.pk])
