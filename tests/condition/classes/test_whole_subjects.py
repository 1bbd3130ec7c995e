"""A whole opening is as bad as the worst of all its parts, and never below an open danger."""

import datetime as dt

import pytest

from condition.services.classes import findings_within, propose_for_subject, set_subject
from sites.services.recording import NotRecordedError
from tests.condition.recorded import surveyor_at
from tests.factories import AttachedItemFactory, SurveyFactory


@pytest.fixture
def user(building):
    return surveyor_at(building)


def refusal(*args):
    with pytest.raises(NotRecordedError) as caught:
        set_subject(*args)
    (problem,) = caught.value.problems
    return problem.field, str(problem.message)


def test_an_opening_is_proposed_the_worst_of_its_panels_and_plaques(found, survey, panel):
    found("cracked-glass", condition_class=1, urgency_class=0, recommendation_class=1)
    plaque = AttachedItemFactory(opening=panel.opening)
    bad = found("item-fixing-failed", panel=None, attached_item=plaque, condition_class=3,
                urgency_class=2, recommendation_class=2)  # fmt: skip
    within = findings_within(survey, panel.opening)
    assert propose_for_subject(within).levels == (3, 2, 2)
    assert f"finding {bad.number}" in propose_for_subject(within).because


def test_an_opening_below_a_panel_judged_as_a_whole_wants_a_reason(survey, panel, user):
    set_subject(survey, panel, (3, 1, 2), "Seen from outside too.", user)
    box, _words = refusal(survey, panel.opening, (2, 1, 2), "", user)
    assert box == "classes_reason"
    row = set_subject(survey, panel.opening, (2, 1, 2), "One small panel of nine.", user)
    assert row.reason == "One small panel of nine."


@pytest.mark.parametrize("earlier", [True, False])
def test_an_opening_is_never_below_a_danger_that_is_open_in_it(
    found, building, survey, panel, user, earlier
):
    seen = SurveyFactory(building=building, day=dt.date(2015, 6, 9)) if earlier else survey
    loose = found("loose-glass", survey=seen, hazard=True, condition_class=2, urgency_class=3,
                  recommendation_class=2)  # fmt: skip
    box, words = refusal(survey, panel.opening, (2, 2, 2), "It has held for years.", user)
    assert box == "urgency_class"
    assert f"A danger is open here, finding {loose.number}" in words
    set_subject(survey, panel.opening, (2, 3, 2), "As the danger.", user)
