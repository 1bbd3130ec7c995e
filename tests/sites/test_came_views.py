"""The studio's came profiles, and how much of which a panel has."""

from decimal import Decimal

import pytest

from sites.models import CameProfile, CameRun, StudioFigure
from tests.factories import MembershipFactory, OpeningFactory, PanelFactory, StudioFactory

LIST, ADD = "/studio/came-profiles/", "/studio/came-profiles/add/"
SECTION = {
    "name": "6 mm round",
    "section": "H",
    "leaf_width": "6.35",
    "leaf_thickness": "1",
    "heart_height": "5",
    "heart_thickness": "1.2",
    "stick_length": "6 ft",
    "weighed_kg_m": "",
}


@pytest.fixture
def profile(building):
    return CameProfile.objects.create(studio=building.studio, name="6 mm round")


@pytest.fixture
def panel(building):
    return PanelFactory(opening=OpeningFactory(building=building), number="2b")


def run_posted(profile, **changed):
    return {"profile": str(profile.pk), "length": "", "cuts": "", **changed}


def test_an_empty_list_says_what_to_do_next(studio_owner):
    page = studio_owner.get(LIST).content.decode()
    assert "Measure the came on the rack" in page
    assert ADD in page


@pytest.mark.published("geometry of the section, lead at 11 340 kg/m³ as BS EN 12588 reckons")
def test_a_profile_is_added_drawn_and_weighed_from_its_section(studio_owner, building):
    assert studio_owner.post(ADD, SECTION)["Location"] == LIST
    made = building.studio.came_profiles.get()
    assert made.leaf_width_mm == Decimal("6.35")
    assert (made.stick_length_mm, made.stick_length_typed) == (Decimal("1828.8"), "6 ft")
    page = studio_owner.get(LIST).content.decode()
    assert "0.2121" in page
    assert "<polygon" in page
    assert made.get_absolute_url() in page


def test_a_weighed_sample_outranks_the_section(studio_owner):
    studio_owner.post(ADD, {**SECTION, "weighed_kg_m": "0.19"})
    page = studio_owner.get(LIST).content.decode()
    assert "0.1900" in page
    assert "as weighed" in page


def test_a_profile_is_changed(studio_owner, profile):
    answer = studio_owner.post(profile.get_absolute_url(), {**SECTION, "name": "Flat 6"})
    assert answer["Location"] == LIST
    profile.refresh_from_db()
    assert profile.name == "Flat 6"


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"name": ""}, "must be filled in"),
        ({"heart_thickness": "7"}, "thinner than the leaf"),
        ({"leaf_width": "wide"}, "is not a length"),
        ({"weighed_kg_m": "-1"}, "weighed"),
        ({"section": "Z"}, "Z is not one"),
    ],
)
def test_a_profile_that_cannot_be_comes_back_with_what_was_typed(
    studio_owner, building, changed, words
):
    answer = studio_owner.post(ADD, {**SECTION, **changed})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page
    assert "6 ft" in page
    assert not building.studio.came_profiles.exists()


def test_a_name_is_given_once_a_studio(studio_owner, profile):
    CameProfile.objects.create(studio=StudioFactory(), name="elsewhere")
    assert studio_owner.post(ADD, SECTION).status_code == 422
    assert studio_owner.post(ADD, {**SECTION, "name": "elsewhere"}).status_code == 302


def test_profiles_are_for_the_studios_own_people(owner, profile, client_of):
    # An owner of one building alone is not of the whole studio.
    assert owner.get(LIST).status_code == 403
    assert owner.get(profile.get_absolute_url()).status_code == 404
    reader = MembershipFactory(studio=profile.studio, building=None, role="reader").user
    assert client_of(reader).get(profile.get_absolute_url()).status_code == 403
    surveyor = MembershipFactory(studio=profile.studio, building=None, role="surveyor").user
    assert client_of(surveyor).get(profile.get_absolute_url()).status_code == 200


def test_the_form_tells_what_a_wide_came_is_for(surveyor, panel, profile):
    page = surveyor.get(f"/panels/{panel.pk}/came/add/").content.decode()
    assert "too narrow to survive (common practice, no source)" in page
    assert "6 mm round" in page


def test_without_a_profile_the_form_leads_to_adding_one(surveyor, panel):
    assert ADD in surveyor.get(f"/panels/{panel.pk}/came/add/").content.decode()


def test_came_is_added_changed_and_taken_away(surveyor, panel, profile):
    answer = surveyor.post(
        f"/panels/{panel.pk}/came/add/", run_posted(profile, length="3.8 m", cuts="640 x 2, 1200")
    )
    assert answer["Location"] == f"/panels/{panel.pk}/#came"
    run = panel.came_runs.get()
    assert (run.length_mm, run.length_typed, run.border) == (3800, "3.8 m", False)
    assert run.cuts == "640 mm x 2, 1200 mm"
    surveyor.post(f"/came-runs/{run.pk}/edit/", run_posted(profile, border="on"))
    run.refresh_from_db()
    assert (run.length_mm, run.cuts, run.border) == (None, "", True)
    surveyor.post(f"/came-runs/{run.pk}/delete/")
    assert not panel.came_runs.exists()


def test_cuts_typed_in_inches_are_kept_as_inches(surveyor, people, panel, profile):
    people["surveyor"].units = "inch"
    people["surveyor"].save()
    surveyor.post(f"/panels/{panel.pk}/came/add/", run_posted(profile, cuts="24 x 2, 34 3/8"))
    assert panel.came_runs.get().cuts == '24" x 2, 34 3/8"'


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"profile": ""}, "must be filled in"),
        ({"cuts": "long ones"}, "is not a length"),
        ({"cuts": "2500"}, "longer than a stick of 1828.8 mm"),
        ({"cuts": "5 x 401"}, "over 400 cuts"),
        ({"cuts": ", ".join(str(n) for n in range(100, 165))}, "put cuts alike together"),
        ({"length": "-4"}, "below zero"),
    ],
)
def test_came_that_cannot_be_comes_back_with_what_was_typed(
    surveyor, panel, profile, changed, words
):
    posted = run_posted(profile) | changed
    answer = surveyor.post(f"/panels/{panel.pk}/came/add/", posted)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not panel.came_runs.exists()


def test_a_stick_is_as_long_as_the_profile_or_the_studios_figure_says(surveyor, panel, profile):
    url, posted = f"/panels/{panel.pk}/came/add/", run_posted(profile, cuts="2500")
    StudioFigure.objects.create(studio=profile.studio, key="sticks.length", value=3000)
    assert surveyor.post(url, posted).status_code == 302
    CameProfile.objects.update(stick_length_mm=2000, stick_length_typed="2 m")
    again = surveyor.post(url, {**posted, "border": "on"})
    assert "longer than a stick of 2000 mm" in again.content.decode()


def test_a_profile_is_once_inside_and_once_round_the_edge(surveyor, panel, profile):
    url = f"/panels/{panel.pk}/came/add/"
    assert surveyor.post(url, run_posted(profile)).status_code == 302
    again = surveyor.post(url, run_posted(profile))
    assert again.status_code == 422
    assert "has this profile already" in again.content.decode()
    assert surveyor.post(url, run_posted(profile, border="on")).status_code == 302


def test_another_studios_profile_is_no_choice(surveyor, panel):
    other = CameProfile.objects.create(studio=StudioFactory(), name="theirs")
    answer = surveyor.post(f"/panels/{panel.pk}/came/add/", run_posted(other))
    assert answer.status_code == 422
    assert not CameRun.objects.exists()
