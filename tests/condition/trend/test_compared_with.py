"""Which surveys are set side by side: the one chosen, or one that looked at the opening."""

import datetime as dt
import random
import re
from uuid import uuid4

import pytest
from django.urls import reverse

from condition.documents.consistency import contradictions
from condition.documents.layout import report_html
from condition.models import Finding, FindingSource
from condition.services.comparing import (
    NoSuchSurveyError,
    chosen_of,
    compare_surveys,
    earlier_surveys,
)
from condition.services.issuing import ReportNotReadyError, ask_for_report
from condition.services.report_snapshot import build_snapshot
from sites.models import Job
from sites.models.choices import DocumentKind
from sites.models.job import JobState
from sites.services.numbers import reserve_number
from tests.condition.trend.two_surveys import Visits
from tests.factories import FindingFactory, InspectionFactory, OpeningFactory, SurveyFactory

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]

CALL_OUT = dt.date(2022, 11, 3)


@pytest.fixture
def visits(building):
    """All three windows in 2015 and 2026, and a call-out to one of them in between."""
    made = Visits(building)
    made.between = SurveyFactory(building=building, day=CALL_OUT)
    made.others = [OpeningFactory(building=building, number=number) for number in ("nIII", "nIV")]
    return made


def at(visits, opening, survey, **facts):
    return FindingFactory(survey=survey, opening=opening, kind=visits.tie, **facts)


def three_windows(visits):
    """A finding at each window then and now, and one of the call-out."""
    visits.now_findings = []
    for opening in (visits.opening, *visits.others):
        then = at(visits, opening, visits.then, condition_class=1)
        now = at(visits, opening, visits.now, condition_class=1, continues=then)
        visits.now_findings.append(now)
    return at(visits, visits.opening, visits.between, panel=visits.panel, condition_class=2)


def states(comparison):
    return {
        (row.opening.number, row.earlier and row.earlier.survey.day.year): str(row.state)
        for row in comparison.rows
    }


def test_a_call_out_is_offered_and_not_suggested(visits):
    three_windows(visits)
    offered = earlier_surveys(visits.now)
    assert [(e.survey, e.shared, e.of, e.suggested) for e in offered] == [
        (visits.between, 1, 3, False),
        (visits.then, 3, 3, True),
    ]
    assert chosen_of(offered, None) == visits.then
    assert chosen_of(offered, visits.between.pk) == visits.between
    for key in (visits.now.pk, uuid4(), SurveyFactory().pk):
        with pytest.raises(NoSuchSurveyError, match="Choose one of the earlier surveys"):
            chosen_of(offered, key)


def test_a_survey_that_looked_at_nothing_is_not_offered(visits):
    assert earlier_surveys(visits.now) == []
    look = {"survey": visits.then, "opening": visits.opening}
    InspectionFactory(**look, outcome="not inspected", reason="Ivy")
    assert earlier_surveys(visits.now) == []
    InspectionFactory(**look, side="outside", outcome="nothing found")
    assert [each.survey for each in earlier_surveys(visits.now)] == [visits.then]


def test_offering_surveys_takes_three_queries(visits, count_queries):
    three_windows(visits)
    assert count_queries(lambda: earlier_surveys(visits.now)) == 3


def test_a_call_out_does_not_break_the_history_of_the_other_windows(visits):
    three_windows(visits)
    comparison = compare_surveys(visits.between, visits.now)
    assert comparison.has_others
    assert states(comparison) == {
        ("nII", 2022): "not looked at",
        ("nII", 2015): "same",
        ("nIII", 2015): "same",
        ("nIV", 2015): "same",
    }


def test_what_was_first_found_after_the_survey_chosen_is_not_lost(visits):
    three_windows(visits)
    comparison = compare_surveys(visits.then, visits.now)
    assert states(comparison) == {
        ("nII", 2015): "same",
        ("nII", 2022): "not looked at",
        ("nIII", 2015): "same",
        ("nIV", 2015): "same",
    }


def test_one_part_of_what_became_several_in_between_is_not_lost(visits):
    whole = visits.found(number=901, condition_class=1)
    left, right = (
        visits.found(visits.between, number=number, continues=whole, condition_class=1)
        for number in (902, 903)
    )
    visits.found(visits.now, number=904, continues=left, condition_class=1)
    rows = compare_surveys(visits.then, visits.now).rows
    assert {(row.earlier, str(row.state)) for row in rows} == {
        (whole, "same"),
        (right, "not looked at"),
    }


def test_a_danger_of_the_call_out_is_not_cleared_by_what_was_seen_before_it(visits):
    before = visits.found(seen_from="floor")
    visits.found(visits.between, continues=before, hazard=True, seen_from="ladder")
    InspectionFactory(survey=visits.now, opening=visits.opening, seen_from="floor")
    (row,) = compare_surveys(visits.then, visits.now).rows
    assert (str(row.state), row.reason) == (
        "not looked at",
        "seen from the floor only, from where no danger is cleared",
    )


def test_a_window_nobody_looked_at_before_is_not_told_as_new_damage(visits):
    visits.found(condition_class=1)
    at(visits, visits.others[0], visits.now)
    rows = {row.opening.number: row for row in compare_surveys(visits.then, visits.now).rows}
    assert str(rows["nIII"].state) == "cannot be compared"
    assert rows["nIII"].compared_with is None


@pytest.mark.parametrize("seed", range(6))
def test_no_finding_of_any_survey_falls_out_of_a_comparison(visits, seed):
    """Surveys drawn at random: each finding from the compared one on is told by a row."""
    rng = random.Random(seed)
    surveys = [visits.then, visits.between, visits.now]
    made = []
    for survey in surveys:
        for _ in range(rng.randint(1, 4)):
            opening = rng.choice([visits.opening, *visits.others])
            past = [e for e in made if e.opening == opening and e.survey.day < survey.day]
            source = rng.choice([None, *past])
            new = at(visits, opening, survey, continues=source)
            others = [each for each in past if each != source]
            if source and others and rng.random() < 0.4:
                FindingSource.objects.create(finding=new, earlier=rng.choice(others))
            made.append(new)
    for chosen in (visits.then, visits.between):
        comparison = compare_surveys(chosen, visits.now)
        told = [each for row in comparison.rows for each in (row.earlier, row.later) if each]
        assert len(told) == len(set(told))
        assert {each for each in told if each.survey == visits.now} == {
            each for each in made if each.survey == visits.now
        }
        for each in made:
            before = comparison.before.get(each.opening_id)
            if before and before.day <= each.survey.day < visits.now.day:
                assert each in told or lines_of(each) & set(told)


def lines_of(finding):
    """All that a finding comes from or goes on in, through any link."""
    found, waiting = set(), [finding]
    while waiting:
        each = waiting.pop()
        found.add(each)
        rows = [each.continues, *each.also_from.all()]
        rows += [*Finding.objects.filter(continues=each), *each.joined_into.all()]
        waiting += [row for row in rows if row and row not in found]
    return found


def test_a_report_may_name_findings_of_two_surveys_by_one_number(visits, files):
    for opening, survey in ((visits.opening, visits.between), (visits.others[0], visits.then)):
        at(visits, opening, survey, number=1)
        at(visits, opening, visits.now)
    snapshot = build_snapshot(visits.now, number_of(visits), None, visits.between.pk)
    assert contradictions(snapshot) == []
    assert [row["earlier"] for row in snapshot["change"]["rows"]].count(1) == 2


def test_the_report_prints_what_each_window_is_compared_with_and_what_became_several(visits, files):
    three_windows(visits)
    one = visits.found(visits.between, number=901, condition_class=1)
    for number in (902, 903):
        visits.found(visits.now, number=number, continues=one, condition_class=1)
    html = report_html(build_snapshot(visits.now, number_of(visits), None, visits.between.pk))
    words = " ".join(re.sub(r"<[^>]+>", " ", html).split())
    assert "nII: finding 901 then, findings 902, 903 now: it became several." in words
    assert "nIII with 9 June 2015" in words
    assert "The same since 3 November 2022: finding 901 then, findings 902, 903 now" in words
    assert "The same since 9 June 2015: condition class 1 both times." in words


def number_of(visits):
    return reserve_number(
        studio=visits.building.studio,
        kind=DocumentKind.REPORT,
        subject=visits.now.pk,
        dated=dt.date(2026, 5, 20),
        user=visits.user,
    )


# Where the report is asked for.
def report_url(survey):
    return reverse("condition:report-issue", args=[survey.pk])


@pytest.mark.parametrize("page", ["condition:survey", "condition:survey-review"])
def test_the_report_and_the_comparing_page_offer_the_same_surveys(visits, owner, page):
    three_windows(visits)
    compared = owner.get(reverse("condition:survey-compare", args=[visits.now.pk]))
    assert compared.context["other"] == visits.then
    asked = owner.get(reverse(page, args=[visits.now.pk]))
    assert asked.context["since_choices"] == compared.context["choices"]
    assert asked.context["since"] == visits.then.pk
    text = asked.content.decode()
    assert "3 November 2022: saw 1 of the 3 windows" in text
    assert f'value="{visits.then.pk}" selected' in text


@pytest.mark.parametrize("posted", [{}, {"since": "then"}, {"since": "between"}])
def test_the_survey_chosen_goes_with_the_report(visits, owner, posted):
    three_windows(visits)
    chosen = getattr(visits, posted.get("since", "then"))
    owner.post(report_url(visits.now), {name: str(chosen.pk) for name in posted})
    assert Job.objects.get(task="issue_report").arguments["since"] == str(chosen.pk)


@pytest.mark.parametrize("posted", ["", "nonsense", "\0", str(uuid4())])
def test_a_survey_that_is_not_offered_is_refused_in_words(visits, owner, posted):
    three_windows(visits)
    page = owner.post(report_url(visits.now), {"since": posted}, follow=True)
    assert "Choose one of the earlier surveys" in page.content.decode()
    assert not Job.objects.filter(task="issue_report").exists()


def test_a_report_tried_again_is_compared_with_what_is_chosen_then(visits):
    three_windows(visits)
    job = ask_for_report(visits.now, visits.user, visits.then.pk)
    Job.objects.filter(pk=job.pk).update(state=JobState.FAILED)
    again = ask_for_report(visits.now, visits.user, visits.between.pk)
    assert again == job
    assert again.arguments["since"] == str(visits.between.pk)
    with pytest.raises(ReportNotReadyError, match="Choose one of the earlier"):
        ask_for_report(visits.now, visits.user, visits.now.pk)


def test_the_report_keeps_what_it_was_compared_with(visits, files):
    three_windows(visits)
    number = number_of(visits)
    change = build_snapshot(visits.now, number, None, visits.between.pk)["change"]
    assert (change["survey"], change["day"]) == (str(visits.between.pk), "2022-11-03")
    assert change["has_others"]
    assert {line["opening"]: line["day"] for line in change["lines"]} == {
        "nII": "2022-11-03",
        "nIII": "2015-06-09",
        "nIV": "2015-06-09",
    }
    assert change["sentence"] == (
        "Compared with the survey of 3 November 2022, 3 years before, and with others where that "
        "one did not look or did not log it: 3 the same, 1 not looked at."
    )
    suggested = build_snapshot(visits.now, number, None)["change"]
    assert suggested["survey"] == str(visits.then.pk)


# The subject of what is seen again.
def test_seen_again_on_another_panel_asks_how_that_comes(visits, surveyor):
    earlier = visits.found(panel=None, condition_class=1)
    post = {
        "opening": str(visits.opening.pk),
        "part": f"panel:{visits.panel.pk}",
        "kind": str(visits.tie.pk),
        "side": "inside",
        "extent": "grouped",
        "continues": str(earlier.pk),
    }
    url = reverse("condition:finding-add", args=[visits.now.pk])
    refused = surveyor.post(url, post)
    assert refused.status_code == 422
    assert "was at nII, this one is at nII 2a. Say how that comes" in refused.content.decode()
    words = {"subject_change": "It is on the lower panel alone."}
    assert surveyor.post(url, post | words).status_code == 302
    (row,) = compare_surveys(visits.then, visits.now).rows
    assert row.reason.endswith("it was on nII, it is on nII 2a now: It is on the lower panel alone")
    page = surveyor.post(url, post | words | {"part": ""}).content.decode()
    assert "It continues no finding on another panel or item" in page
