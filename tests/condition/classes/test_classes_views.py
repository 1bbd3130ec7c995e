"""The page of a finding's classes, of a subject's, and what the finding's page says of them."""

import pytest
from django.urls import reverse

from condition.services.classes import levels_of, set_classes
from tests.factories import FindingFactory, UserFactory, endanger

LEVELS = {"condition_class": "2", "urgency_class": "2", "recommendation_class": "2"}


@pytest.fixture
def joints(found):
    return found(
        "failed-solder-joint", extent="along one line", amount=6, unit="count", of_total=130
    )


@pytest.fixture
def url(joints):
    return reverse("condition:finding-classes", args=[joints.pk])


def page_of(client, finding):
    return client.get(finding.get_absolute_url()).content.decode()


def test_the_finding_s_page_says_what_is_proposed_and_why(surveyor, joints):
    page = page_of(surveyor, joints)
    assert "they stand in one line, where the panel can fold." in page
    assert "studio default" in page
    assert "Accept what is proposed" in page


def test_a_reader_sees_the_reasons_and_no_button(reader, joints):
    page = page_of(reader, joints)
    assert "stand in one line" in page
    assert "Accept what is proposed" not in page


def test_one_press_accepts_what_is_proposed(surveyor, joints, url, people):
    surveyor.post(url, {"accept": "1", "shown": "3-2-2"})
    joints.refresh_from_db()
    assert (levels_of(joints), joints.classes_set_by) == ((3, 2, 2), people["surveyor"])
    page = page_of(surveyor, joints)
    assert "The classes were set by" in page
    assert "As proposed." in page
    assert "Accept what is proposed" not in page


@pytest.mark.parametrize("shown", ["2-1-2", "", "x"])
def test_what_was_not_shown_is_not_accepted(surveyor, joints, url, shown):
    response = surveyor.post(url, {"accept": "1", "shown": shown}, follow=True)
    joints.refresh_from_db()
    assert levels_of(joints) == (None, None, None)
    assert "has changed meanwhile" in response.content.decode()


def test_otherwise_wants_a_reason(surveyor, joints, url):
    response = surveyor.post(url, LEVELS)
    assert response.status_code == 422
    assert "why these classes" in response.content.decode()
    response = surveyor.post(url, {**LEVELS, "classes_reason": "The panel was firm."})
    assert response.status_code == 302
    assert "because: The panel was firm." in page_of(surveyor, joints)


def test_the_form_begins_with_what_is_proposed(surveyor, url):
    form = surveyor.get(url).context["form"]
    assert [form[name].value() for name in LEVELS] == [3, 2, 2]


def test_a_diagnosis_typed_with_it_allows_a_major_intervention(surveyor, joints, url):
    major = {**LEVELS, "recommendation_class": "3", "classes_reason": "Past mending."}
    assert surveyor.post(url, major).status_code == 422
    surveyor.post(url, {**major, "diagnosis": "Tired lead, seen on both faces."})
    joints.refresh_from_db()
    assert (joints.recommendation_class, joints.diagnosis[:10]) == (3, "Tired lead")


@pytest.mark.parametrize("level", ["", "4", "-1", "NaN", "1\x00", "9" * 40])
def test_a_class_that_is_none_is_refused(surveyor, url, level):
    assert surveyor.post(url, {**LEVELS, "urgency_class": level}).status_code == 422


def test_a_danger_of_the_long_term_is_refused_by_name(surveyor, joints, url):
    endanger(joints)
    typed = {**LEVELS, "urgency_class": "0", "classes_reason": "It hangs well."}
    response = surveyor.post(url, typed)
    assert response.status_code == 422
    assert "its urgency cannot be" in response.content.decode()


def test_a_danger_left_at_the_long_term_is_told_on_its_page(reader, found):
    old = found("loose-glass", hazard=True, urgency_class=0, condition_class=1)
    assert "its urgency cannot be" in page_of(reader, old)


def test_a_committee_is_not_told_of_what_the_studio_has_still_to_do(surveyor, committee, found):
    mended = found("cracked-glass", condition_class=3, urgency_class=1, recommendation_class=3)
    assert "nobody has said why" in page_of(surveyor, mended)
    assert "Record the diagnosis first" in page_of(surveyor, mended)
    assert "nobody has said why" not in page_of(committee, mended)
    assert "Record the diagnosis first" not in page_of(committee, mended)


def test_a_proposal_that_changed_after_it_was_set_is_told(surveyor, joints, people):
    set_classes(joints, (3, 2, 2), "", people["surveyor"])
    assert "has changed since" not in page_of(surveyor, joints)
    joints.amount, joints.extent = 1, "isolated"
    joints.save()
    assert "What is proposed has changed since" in page_of(surveyor, joints)


def test_classes_of_the_finding_s_own_form_keep_who_set_them(surveyor, joints, people):
    edit = reverse("condition:finding-edit", args=[joints.pk])
    shown = surveyor.get(edit)
    assert "stand in one line" in shown.content.decode()
    typed = {
        **LEVELS,
        "opening": joints.opening_id,
        "part": f"panel:{joints.panel_id}",
        "kind": joints.kind_id,
        "side": "inside",
        "extent": joints.extent,
        "amount": "6",
        "unit": "count",
        "of_total": "130",
    }
    assert surveyor.post(edit, typed).status_code == 302
    joints.refresh_from_db()
    assert (levels_of(joints), joints.classes_set_by) == ((2, 2, 2), people["surveyor"])
    assert joints.proposal["condition"] == 3
    assert "nobody has said why" in page_of(surveyor, joints)
    cleared = {name: "" for name in LEVELS}
    surveyor.post(edit, {**typed, **cleared})
    joints.refresh_from_db()
    assert (joints.classes_set_by, joints.proposal) == (None, None)


def test_a_whole_panel_is_classed_by_its_worst_finding(surveyor, joints, survey, people, panel):
    set_classes(joints, (3, 2, 2), "", people["surveyor"])
    url = reverse("condition:subject-classes", args=[survey.pk, panel.pk])
    assert f"All three are those of finding {joints.number}" in surveyor.get(url).content.decode()
    assert surveyor.post(url, LEVELS).status_code == 422
    assert surveyor.post(url, {**LEVELS, "reason": "Else sound."}).status_code == 302
    assert survey.assessments.get().condition_class == 2
    assert "Otherwise than its findings, because: Else sound." in page_of(surveyor, joints)


def test_a_subject_of_another_building_is_not_known(surveyor, survey, studio):
    elsewhere = FindingFactory()
    url = reverse("condition:subject-classes", args=[survey.pk, elsewhere.opening_id])
    assert surveyor.get(url).status_code == 404


def test_classes_that_somebody_else_set_meanwhile_are_not_overwritten(surveyor, joints, url):
    shown = surveyor.get(url).context["form"].hidden_boxes
    carried = str(shown).split('value="')[1].split('"')[0]
    set_classes(joints, (3, 3, 2), "It gave under the hand.", UserFactory())
    typed = {**LEVELS, "classes_reason": "Firm.", "as_shown": carried}
    assert surveyor.post(url, typed).status_code == 422
    joints.refresh_from_db()
    assert levels_of(joints) == (3, 3, 2)
