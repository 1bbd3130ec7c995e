"""Make-safe notices on their pages: issued from a phone, read, and closed areas shown first."""

import datetime as dt
from io import StringIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import call_command
from django.urls import reverse

from condition.models import Area, AreaClosure, Danger, DangerAct, MakeSafeNotice
from condition.services.recording.dangers import answer
from sites.models import Job
from tests.condition.pictures import jpeg, quarters
from tests.condition.safety.dangers import (
    WORDS,
    known_danger,
    reopened,
    unprinted_notice,
)
from tests.factories import (
    AttachedItemFactory,
    DangerFactory,
    FindingFactory,
    PanelFactory,
    PhotographFactory,
)


@pytest.fixture
def danger(building, files) -> Danger:
    return known_danger(building)


@pytest.fixture
def notice(danger, people) -> MakeSafeNotice:
    return unprinted_notice(danger, people["surveyor"])


def words(response) -> str:
    return " ".join(response.content.decode().split())


def url(name: str, record) -> str:
    return reverse(f"condition:{name}", args=[record.pk])


def typed(**changed) -> dict:
    posted = {name: value for name, value in WORDS.as_dict().items() if name != "areas"}
    return {**posted, "version": "1", **changed}


def asked() -> dict:
    return Job.objects.get(task="issue_notice").arguments["words"]


def test_a_surveyor_issues_a_notice_and_a_second_press_issues_no_other(surveyor, danger):
    first = surveyor.post(url("notice-issue", danger), typed())
    second = surveyor.post(url("notice-issue", danger), typed())
    assert first["Location"] == second["Location"] == f"{danger.get_absolute_url()}#notice"
    assert asked()["new_area"] == WORDS.new_area
    assert AreaClosure.objects.count() == 1
    assert DangerAct.objects.filter(act="measure").count() == 1


def test_an_area_stands_closed_from_the_moment_it_is_asked_for(surveyor, danger):
    surveyor.post(url("notice-issue", danger), typed())
    closure = AreaClosure.objects.get()
    assert closure.area.name == WORDS.new_area
    assert closure.closed_at.astimezone(dt.UTC) <= dt.datetime.now(dt.UTC)
    assert not MakeSafeNotice.objects.exists()
    page = words(surveyor.get(danger.opening.get_absolute_url()))
    assert WORDS.new_area in page
    assert "notice being printed" in page


def test_what_was_done_becomes_a_measure_of_the_danger_with_its_day_and_the_next_look(
    surveyor, danger
):
    surveyor.post(url("notice-issue", danger), typed())
    act = danger.acts.get(act="measure")
    assert (act.measure, act.fixed_to, act.because) == ("held", "bar", WORDS.done)
    # Studio default: 30 days for what is held; common practice, no source.
    assert (act.day, act.look_by) == (WORDS.done_on, WORDS.done_on + dt.timedelta(days=30))


def test_a_notice_says_what_was_done_as_a_measure_says_it(surveyor, danger):
    answer = surveyor.post(
        url("notice-issue", danger), typed(measure="taken away", done_on="2020-01-01")
    )
    assert answer.status_code == 422
    assert "Say where it is now." in words(answer)
    assert "Say who holds it, or who has the key." in words(answer)
    assert "The danger was not known yet on that day." in words(answer)
    assert not AreaClosure.objects.exists()


def test_areas_of_the_building_are_ticked_and_a_new_one_is_named(surveyor, danger, building):
    porch = Area.objects.create(building=building, name="The south porch")
    path = Area.objects.create(building=building, name="The path")
    page = words(surveyor.get(url("notice-issue", danger)))
    assert "The south porch" in page
    surveyor.post(url("notice-issue", danger), typed(areas=[str(porch.pk)], new_area="the  PATH"))
    assert {each.area for each in AreaClosure.objects.all()} == {porch, path}
    assert building.areas.count() == 2


def test_a_notice_that_closes_nothing_is_sent_back(surveyor, danger):
    answer = surveyor.post(url("notice-issue", danger), typed(new_area=" "))
    assert answer.status_code == 422
    assert "Say which area is closed" in words(answer)
    assert not Job.objects.filter(task="issue_notice").exists()


def test_an_area_of_another_building_is_none_of_this_one(surveyor, danger):
    elsewhere = Area.objects.create(
        building=DangerFactory(opening=None, what="Bar").building, name="There"
    )
    answer = surveyor.post(url("notice-issue", danger), typed(areas=[str(elsewhere.pk)]))
    assert answer.status_code == 422
    assert not AreaClosure.objects.exists()


def test_a_reissue_keeps_every_area_and_the_form_cannot_drop_one(surveyor, danger, notice, people):
    page = words(surveyor.get(url("notice-issue", danger)))
    assert "Closed already, and stays on the notice:" in page
    assert WORDS.new_area in page
    surveyor.post(url("notice-issue", danger), typed(version="2", new_area="The vestry stair"))
    standing = AreaClosure.objects.standing().order_by("notice_version")
    assert [each.area.name for each in standing] == [WORDS.new_area, "The vestry stair"]
    second = unprinted_notice(danger, people["owner"])
    assert second.snapshot["made_safe"]["area"] == f"{WORDS.new_area}; The vestry stair"


def test_a_reissue_alone_needs_no_further_area_and_repeats_no_measure(surveyor, danger):
    surveyor.post(url("notice-issue", danger), typed())
    unprinted_notice(danger, danger.acts.get(act="measure").recorded_by)
    again = surveyor.post(
        url("notice-issue", danger), typed(version="2", new_area="", told="The archdeacon.")
    )
    assert again.status_code == 302
    assert danger.acts.filter(act="measure").count() == 1


def test_a_danger_told_by_telephone_gets_its_notice_without_a_finding(
    surveyor, building, files, people
):
    told = DangerFactory(
        building=building,
        what="Sheet over the door",
        place="South door",
        source="telephone",
        opened_on=WORDS.done_on,
    )
    page = words(surveyor.get(url("notice-issue", told)))
    assert "No photograph shows this danger yet: the notice will say so." in page
    assert "camera" not in page
    assert surveyor.post(url("notice-issue", told), typed()).status_code == 302
    notice = unprinted_notice(told, people["surveyor"])
    assert notice.finding is None
    assert notice.snapshot["picture_note"] == "No photograph shows this danger."
    assert "South door." in words(surveyor.get(notice.get_absolute_url()))


def test_the_photograph_that_shows_the_danger_is_chosen_before_anybody_chooses(surveyor, danger):
    finding = danger.findings.get()
    photograph = PhotographFactory(
        building=danger.building, survey=finding.survey, opening=finding.opening, findings=[finding]
    )
    page = words(surveyor.get(url("notice-issue", danger)))
    assert f'value="{photograph.pk}" checked' in page


@pytest.mark.parametrize("how", ["ended", "answered no"])
def test_a_danger_that_is_none_any_more_gets_no_notice(surveyor, danger, how):
    if how == "ended":
        DangerAct.objects.create(danger=danger, act="end", end="gone", day=danger.opened_on)
    else:
        answer(danger, "no", day=danger.opened_on, because="pulled", judged_from="ladder")
    page = surveyor.get(url("notice-issue", danger))
    assert page["Location"] == danger.get_absolute_url()
    surveyor.post(url("notice-issue", danger), typed())
    assert not Job.objects.filter(task="issue_notice").exists()
    assert not AreaClosure.objects.exists()


def test_a_press_that_comes_after_the_notice_was_issued_issues_no_other(surveyor, danger, people):
    surveyor.post(url("notice-issue", danger), typed())
    unprinted_notice(danger, people["surveyor"])
    surveyor.post(url("notice-issue", danger), typed())
    assert Job.objects.filter(task="issue_notice").count() == 1


def test_other_words_for_a_notice_that_is_being_printed_are_sent_back_and_kept(surveyor, danger):
    surveyor.post(url("notice-issue", danger), typed())
    answer = surveyor.post(url("notice-issue", danger), typed(new_area="The whole north aisle"))
    assert answer.status_code == 422
    assert "is being issued, or has just been" in words(answer)
    assert "The whole north aisle" in words(answer)
    assert AreaClosure.objects.count() == 1


def test_what_could_not_be_printed_is_offered_again_and_its_areas_stay_closed(surveyor, danger):
    surveyor.post(url("notice-issue", danger), typed())
    Job.objects.filter(task="issue_notice").update(state="failed", problem="No paper")
    page = words(surveyor.get(url("notice-issue", danger)))
    assert WORDS.told in page
    surveyor.post(url("notice-issue", danger), typed(new_area="", told="Everybody."))
    assert asked()["told"] == "Everybody."
    assert AreaClosure.objects.standing().count() == 1


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"done": ""}, "This must be filled in."),
        ({"measure": ""}, "Say what was done."),
        ({"measure": "prayed for"}, "not one of the available"),
        ({"hazard": "x" * 301}, "at most 300"),
        ({"new_area": "x" * 241}, "at most 240"),
        ({"closed_at": ""}, "Say since when it is closed."),
        ({"closed_at": "yesterday"}, "Enter the day and the time"),
        ({"closed_at": "2999-01-01T10:00"}, "That moment is still to come."),
        ({"closed_at": "0001-01-01T10:00"}, "Look at the year again."),
        ({"done_on": "2999-01-01"}, "That day is still to come."),
        ({"areas": "not a key"}, "is not a valid"),
        ({"photograph": "not a key"}, "is not a valid"),
        ({"photograph": "018f0000-0000-7000-8000-000000000000"}, "not one of the available"),
        ({"told": "a\x00b"}, "Null characters are not allowed."),
    ],
)
def test_what_must_be_mended_is_sent_back_whole(surveyor, danger, changed, said):
    answer = surveyor.post(url("notice-issue", danger), typed(**changed))
    assert answer.status_code == 422
    assert said in words(answer)
    assert WORDS.hazard in words(answer) or "hazard" in changed
    assert not Job.objects.filter(task="issue_notice").exists()
    assert not AreaClosure.objects.exists()


@pytest.mark.parametrize("version", ["", "x", "0", "-1", "99999999999", "½", "42"])
def test_a_version_nobody_could_have_been_shown_is_read_as_the_next(surveyor, danger, version):
    assert surveyor.post(url("notice-issue", danger), typed(version=version)).status_code == 302
    assert Job.objects.get(task="issue_notice").arguments["version"] == 1


@pytest.mark.django_db(transaction=True)
def test_a_photograph_taken_for_the_notice_is_kept_even_where_the_form_comes_back(surveyor, danger):
    def camera():
        return SimpleUploadedFile("door.jpg", jpeg(quarters(((9, 9, 9),) * 4)), "image/jpeg")

    answer = surveyor.post(
        url("notice-issue", danger), typed(done="", camera=camera(), photograph="")
    )
    assert answer.status_code == 422
    photograph = danger.findings.get().photographs.get()
    assert f'value="{photograph.pk}" checked' in words(answer)
    surveyor.post(url("notice-issue", danger), typed(camera=camera(), photograph=""))
    assert asked()["photograph"] == str(photograph.pk)


def test_a_file_that_is_no_photograph_is_refused_by_name(surveyor, danger):
    posted = typed(camera=SimpleUploadedFile("plan.jpg", b"no picture", "image/jpeg"))
    answer = surveyor.post(url("notice-issue", danger), posted)
    assert answer.status_code == 422
    assert "plan.jpg:" in words(answer)


def places(danger: Danger) -> list[str]:
    opening, finding = danger.opening, danger.findings.get()
    another = FindingFactory(survey=finding.survey, opening=opening, number=77)
    return [
        reverse("today"),
        danger.building.get_absolute_url(),
        opening.get_absolute_url(),
        PanelFactory(opening=opening).get_absolute_url(),
        AttachedItemFactory(opening=opening).get_absolute_url(),
        url("opening-supports", opening),
        finding.survey.get_absolute_url(),
        url("survey-compare", finding.survey),
        reverse("condition:damage-map", args=[finding.survey.pk, opening.pk]),
        finding.get_absolute_url(),
        another.get_absolute_url(),
        danger.get_absolute_url(),
    ]


@pytest.mark.parametrize("role", ["committee", "reader", "surveyor"])
def test_a_closed_area_stands_first_on_every_page_until_it_is_reopened(
    client_of, role, danger, notice, people
):
    client = client_of(people[role])
    addresses = places(danger)
    if role == "surveyor":
        addresses.append(url("survey-review", danger.findings.get().survey))
    for address in addresses:
        page = words(client.get(address))
        assert WORDS.new_area in page, address
        main = page[page.index("<main") :]
        first_heading = main.find("<h2")
        assert first_heading == -1 or main.index("Keep out") < first_heading + 400, address
    reopened(danger)
    for address in addresses:
        assert "Keep out: an area is closed" not in words(client.get(address)), address


def test_several_notices_on_one_area_all_remain(surveyor, danger, notice, building, people):
    other = known_danger(building, opening=danger.opening, number=78)
    unprinted_notice(other, people["surveyor"])
    page = words(surveyor.get(danger.opening.get_absolute_url()))
    assert "Keep out: an area is closed" in page
    assert page.count("make-safe notice MS-") == 2
    reopened(danger)
    page = words(surveyor.get(danger.opening.get_absolute_url()))
    assert WORDS.new_area in page
    assert notice.number not in page


def test_a_notice_is_read_as_it_was_issued_and_says_what_came_after(
    surveyor, danger, notice, people
):
    page = words(surveyor.get(notice.get_absolute_url()))
    assert f"Make-safe notice {notice.number}" in page
    assert notice.number.startswith("MS-")
    assert "Reopen an area" in page
    assert WORDS.told in page
    newer = unprinted_notice(danger, people["owner"])
    assert newer.number == notice.number
    page = words(surveyor.get(notice.get_absolute_url()))
    assert f"superseded by version {newer.version}" in page


def test_the_check_of_documents_knows_notices(notice, files):
    told = StringIO()
    call_command("verify_documents", stdout=told)
    assert "issued documents: 1 read, 0 wrong" in told.getvalue()
    with notice.pdf.storage.open(notice.pdf.name, "wb") as file:
        file.write(b"another file")
    with pytest.raises(SystemExit):
        call_command("verify_documents", stdout=told, stderr=told)
    assert notice.number in told.getvalue()


def test_queries_do_not_grow_with_the_notices(
    surveyor, danger, notice, people, building, count_queries
):
    def open_page():
        return [surveyor.get(address) for address in pages]

    opening = danger.opening
    pages = (reverse("today"), building.get_absolute_url(), url("opening-supports", opening))
    here = danger.findings.get().survey
    few = count_queries(open_page)
    for number in range(20, 23):
        more = known_danger(building, survey=here, opening=danger.opening, number=number)
        unprinted_notice(more, people["owner"])
    assert count_queries(open_page) <= few + 1
