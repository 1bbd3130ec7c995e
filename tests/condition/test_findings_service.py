"""Numbers of findings under pressure, and what keeps a finding from being taken away."""

import pytest
from django.db import IntegrityError

from condition.models import Finding
from condition.services.findings import log_finding, next_number, take_away_finding, why_it_stays
from tests.factories import (
    FindingFactory,
    FindingKindFactory,
    OpeningFactory,
    PanelFactory,
    SurveyFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def survey(building):
    return SurveyFactory(building=building)


@pytest.fixture
def unsaved(survey):
    """A function that makes a finding of the survey, not saved."""
    kind = FindingKindFactory(studio=survey.building.studio)
    opening = OpeningFactory(building=survey.building)

    def make(**fields) -> Finding:
        return Finding(**({"survey": survey, "opening": opening, "kind": kind} | fields))

    return make


def test_the_first_finding_of_a_survey_is_number_one(survey, unsaved):
    assert next_number(survey) == 1
    assert log_finding(unsaved()).number == 1
    assert log_finding(unsaved()).number == 2


def test_a_panel_of_another_opening_is_refused_and_takes_no_number(survey, unsaved):
    elsewhere = PanelFactory(opening=OpeningFactory(building=survey.building))
    with pytest.raises(IntegrityError, match="the panel is not in this opening"):
        log_finding(unsaved(panel=elsewhere))
    assert log_finding(unsaved()).number == 1


def test_a_finding_nothing_rests_on_is_free_to_go(survey, unsaved):
    there = log_finding(unsaved())
    assert why_it_stays(there) == ""
    assert take_away_finding(there) == 0
    assert not survey.findings.exists()


def test_what_names_a_finding_is_counted_in_words(survey, unsaved):
    there = log_finding(unsaved())
    later = SurveyFactory(building=survey.building, day="2040-01-01")
    FindingFactory(survey=later, opening=there.opening, continues=there)
    assert "1 finding." in why_it_stays(there)
