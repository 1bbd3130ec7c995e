"""Numbers of findings under pressure, and what keeps a finding from being taken away."""

import pytest

from condition.services.findings import take_away_finding, why_it_stays
from condition.services.recording.findings import next_number
from sites.services.recording import NotRecordedError
from tests.condition.recorded import finding_of, log_finding, surveyor_at
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
def log(survey):
    """A function that logs a finding of the survey."""
    kind = FindingKindFactory(studio=survey.building.studio)
    opening = OpeningFactory(building=survey.building)
    user = surveyor_at(survey.building)

    def make(**facts):
        return log_finding(finding_of(survey, opening, kind, **facts), user)

    return make


def test_the_first_finding_of_a_survey_is_number_one(survey, log):
    assert next_number(survey) == 1
    assert log().number == 1
    assert log().number == 2


def test_a_panel_of_another_opening_is_refused_and_takes_no_number(survey, log):
    elsewhere = PanelFactory(opening=OpeningFactory(building=survey.building))
    with pytest.raises(NotRecordedError, match=r"Panel .* is in .*, not"):
        log(panel=elsewhere.pk)
    assert log().number == 1


def test_a_finding_nothing_rests_on_is_free_to_go(survey, log):
    there = log()
    assert why_it_stays(there) == ""
    assert take_away_finding(there) == 0
    assert not survey.findings.exists()


def test_what_names_a_finding_is_counted_in_words(survey, log):
    there = log()
    later = SurveyFactory(building=survey.building, day="2040-01-01")
    FindingFactory(survey=later, opening=there.opening, continues=there)
    assert "1 finding." in why_it_stays(there)
