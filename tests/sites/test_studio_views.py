"""The studio, one's own settings, the sheet of patterns, and the progress of long work."""

import pytest
from django.urls import reverse

from sites.models import Job, Studio, User
from sites.models.job import JobState

STUDIO, OWN, PATTERNS = "/studio/", "/me/", "/patterns/"


def studio_posted(**changed):
    return {"name": "Ashlar & Came", "paper": "A4", "reliance": "The client alone.", **changed}


def test_the_owner_changes_the_studio(studio_owner, building):
    assert studio_owner.get(STUDIO).status_code == 200
    assert studio_owner.post(STUDIO, studio_posted(phone="01632 960000")).status_code == 302
    building.studio.refresh_from_db()
    assert (building.studio.name, building.studio.phone) == ("Ashlar & Came", "01632 960000")


def test_a_studio_without_a_name_or_under_a_taken_one_comes_back(studio_owner, building):
    Studio.objects.create(name="Other Glass")
    for name in ("", "Other Glass"):
        answer = studio_owner.post(STUDIO, studio_posted(name=name, phone="01632 960000"))
        assert answer.status_code == 422
        assert "01632 960000" in answer.content.decode()


@pytest.mark.parametrize("url", [STUDIO, PATTERNS])
def test_the_studio_is_for_its_owner(owner, reader, client_of, user, client, url):
    # An owner of one building alone does not manage the studio.
    assert owner.get(url).status_code == 403
    assert reader.get(url).status_code == 403
    assert client_of(user).get(url).status_code == 404
    assert client.get(url)["Location"].startswith("/accounts/login/")


def test_everybody_sets_their_own_name_and_units(reader, people, client):
    assert reader.get(OWN).status_code == 200
    assert reader.post(OWN, {"name": "Rhys", "units": "inch"}).status_code == 302
    people["reader"].refresh_from_db()
    assert (people["reader"].name, people["reader"].units) == ("Rhys", "inch")
    assert client.get(OWN)["Location"].startswith("/accounts/login/")


def test_ones_own_settings_touch_nobody_else(reader, people):
    before = User.objects.exclude(pk=people["reader"].pk).values_list("name", "units")
    kept = list(before)
    reader.post(
        OWN, {"name": "Rhys", "units": "inch", "email": "new@studio.example", "is_superuser": "1"}
    )
    assert list(before.all()) == kept
    people["reader"].refresh_from_db()
    assert people["reader"].email == "reader@studio.example"
    assert not people["reader"].is_superuser


def test_a_name_left_empty_comes_back_and_the_menu_keeps_the_old_one(reader, people):
    answer = reader.post(OWN, {"name": " ", "units": "inch"})
    assert answer.status_code == 422
    assert people["reader"].name in answer.content.decode()


def test_the_sheet_of_patterns_shows_every_component_and_a_form_with_mistakes(studio_owner):
    assert studio_owner.get(PATTERNS).status_code == 200
    page = studio_owner.get(PATTERNS, {"wrong": "1"}).content.decode()
    assert "Please mend this first" in page


@pytest.fixture
def job(people, building):
    return Job.objects.create(
        studio=building.studio, task="print", key="one", asked_by=people["owner"], total=40, done=12
    )


def job_url(job):
    return reverse("sites:job", args=[job.pk])


def test_an_open_job_asks_for_itself_again(owner, job):
    page = owner.get(job_url(job)).content.decode()
    assert f'hx-get="{job_url(job)}"' in page
    assert "12 / 40" in page


def test_htmx_gets_the_moving_part_alone(owner, job):
    answer = owner.get(job_url(job), headers={"HX-Request": "true"})
    assert b"<html" not in answer.content
    assert b"<progress" in answer.content


def test_a_done_job_stops_asking_and_offers_what_it_made(owner, job):
    Job.objects.filter(pk=job.pk).update(
        state=JobState.DONE, result={"url": "/reports/1/", "text": "Open the report"}
    )
    page = owner.get(job_url(job)).content.decode()
    assert "hx-trigger" not in page
    assert 'href="/reports/1/"' in page
    assert "Open the report" in page


def test_a_failed_job_stops_asking_and_says_why(owner, job):
    Job.objects.filter(pk=job.pk).update(state=JobState.FAILED, problem="A photograph is missing.")
    page = owner.get(job_url(job)).content.decode()
    assert "hx-trigger" not in page
    assert "A photograph is missing." in page


def test_a_job_is_shown_to_whoever_asked_for_it(estimator, stranger, client, job):
    assert estimator.get(job_url(job)).status_code == 404
    assert stranger.get(job_url(job)).status_code == 404
    assert client.get(job_url(job))["Location"].startswith("/accounts/login/")
