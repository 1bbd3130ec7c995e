"""Make-safe notices on their pages: issued from a phone, shown first, signed reopened."""

import datetime as dt
from io import StringIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import call_command
from django.db import DatabaseError, transaction
from django.urls import reverse

from condition.models import Finding, MakeSafeNotice, NoticeReopening
from condition.services.notices import (
    NoticeError,
    ask_for_notice,
    open_notices,
    open_notices_for,
)
from sites.models import Job
from tests.condition.pictures import jpeg, quarters
from tests.condition.safety.dangers import WORDS, danger, signed_reopened, unprinted_notice
from tests.factories import AttachedItemFactory, PanelFactory


@pytest.fixture
def finding(building, files) -> Finding:
    return danger(building)


@pytest.fixture
def notice(finding, people) -> MakeSafeNotice:
    return unprinted_notice(finding, people["surveyor"])


def words(response) -> str:
    return " ".join(response.content.decode().split())


def url(name: str, record) -> str:
    return reverse(f"condition:{name}", args=[record.pk])


def typed(**changed) -> dict:
    return {**WORDS.as_dict(), "version": "1", **changed}


def signing(**changed) -> dict:
    return {
        "signed_by": "Wilfred Tolliver",
        "authority": "Churchwarden",
        "because": "The plaque is down.",
        "reopened_on": dt.date.today().isoformat(),
        **changed,
    }


def test_a_surveyor_issues_a_notice_and_a_second_press_issues_no_other(surveyor, finding):
    first = surveyor.post(url("notice-issue", finding), typed())
    second = surveyor.post(url("notice-issue", finding), typed())
    assert first["Location"] == second["Location"] == f"{finding.get_absolute_url()}#notice"
    job = Job.objects.get(task="issue_notice")
    assert job.arguments["words"]["area"] == WORDS.area
    finding.refresh_from_db()
    assert finding.made_safe == WORDS.done


def test_a_finding_that_is_no_danger_any_more_gets_no_notice(finding, people):
    Finding.objects.filter(pk=finding.pk).update(hazard=False)
    with pytest.raises(NoticeError, match="not marked as able to hurt someone"):
        ask_for_notice(finding, WORDS, 1, people["surveyor"])
    assert not Job.objects.exists()


def test_a_press_that_comes_after_the_notice_was_issued_issues_no_other(surveyor, finding, people):
    surveyor.post(url("notice-issue", finding), typed())
    unprinted_notice(finding, people["surveyor"])
    surveyor.post(url("notice-issue", finding), typed())
    assert Job.objects.filter(task="issue_notice").count() == 1


def test_other_words_for_a_notice_that_is_being_printed_are_sent_back_and_kept(surveyor, finding):
    surveyor.post(url("notice-issue", finding), typed())
    answer = surveyor.post(url("notice-issue", finding), typed(area="The whole north aisle"))
    assert answer.status_code == 422
    assert "is being issued, or has just been" in words(answer)
    assert "The whole north aisle" in words(answer)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"area": " "}, "This must be filled in."),
        ({"done": ""}, "This must be filled in."),
        ({"hazard": "x" * 301}, "at most 300"),
        ({"closed_at": ""}, "Say since when it is closed."),
        ({"closed_at": "yesterday"}, "Enter the day and the time"),
        ({"closed_at": "2999-01-01T10:00"}, "That moment is still to come."),
        ({"closed_at": "0001-01-01T10:00"}, "Look at the year again."),
        ({"photograph": "not a key"}, "is not a valid"),
        ({"photograph": "018f0000-0000-7000-8000-000000000000"}, "not one of the available"),
        ({"told": "a\x00b"}, "Null characters are not allowed."),
    ],
)
def test_what_must_be_mended_is_sent_back_whole(surveyor, finding, changed, said):
    answer = surveyor.post(url("notice-issue", finding), typed(**changed))
    assert answer.status_code == 422
    assert said in words(answer)
    assert WORDS.hazard in words(answer) or "hazard" in changed
    assert not Job.objects.filter(task="issue_notice").exists()


@pytest.mark.parametrize("version", ["", "x", "0", "-1", "99999999999", "½", "42"])
def test_a_version_nobody_could_have_been_shown_is_read_as_the_next(surveyor, finding, version):
    assert surveyor.post(url("notice-issue", finding), typed(version=version)).status_code == 302
    assert Job.objects.get(task="issue_notice").arguments["version"] == 1


@pytest.mark.django_db(transaction=True)
def test_a_photograph_taken_for_the_notice_is_kept_even_where_the_form_comes_back(
    surveyor, finding
):
    def camera():
        return SimpleUploadedFile("door.jpg", jpeg(quarters(((9, 9, 9),) * 4)), "image/jpeg")

    answer = surveyor.post(
        url("notice-issue", finding), typed(area="", camera=camera(), photograph="")
    )
    assert answer.status_code == 422
    photograph = finding.photographs.get()
    assert f'value="{photograph.pk}" checked' in words(answer)
    surveyor.post(url("notice-issue", finding), typed(camera=camera(), photograph=""))
    kept = Job.objects.get(task="issue_notice").arguments["words"]
    assert kept["photograph"] == str(photograph.pk)


def test_a_file_that_is_no_photograph_is_refused_by_name(surveyor, finding):
    posted = typed(camera=SimpleUploadedFile("plan.jpg", b"no picture", "image/jpeg"))
    answer = surveyor.post(url("notice-issue", finding), posted)
    assert answer.status_code == 422
    assert "plan.jpg:" in words(answer)


def test_a_finding_that_is_no_danger_has_no_notice(surveyor, finding):
    Finding.objects.filter(pk=finding.pk).update(hazard=False)
    answer = surveyor.get(url("notice-issue", finding))
    assert answer["Location"] == url("finding-edit", finding)
    surveyor.post(url("notice-issue", finding), typed())
    assert not Job.objects.filter(task="issue_notice").exists()


def places(finding: Finding) -> list[str]:
    opening = finding.opening
    return [
        reverse("today"),
        finding.survey.building.get_absolute_url(),
        opening.get_absolute_url(),
        PanelFactory(opening=opening).get_absolute_url(),
        AttachedItemFactory(opening=opening).get_absolute_url(),
        finding.survey.get_absolute_url(),
        finding.get_absolute_url(),
    ]


@pytest.mark.parametrize("role", ["committee", "reader", "surveyor"])
def test_an_open_notice_stands_first_on_every_page_until_it_is_signed(
    client_of, role, finding, notice, people
):
    client = client_of(people[role])
    addresses = places(finding)
    for address in addresses:
        page = words(client.get(address))
        assert WORDS.area in page, address
        main = page[page.index("<main") :]
        first_heading = main.find("<h2")
        assert first_heading == -1 or main.index("Keep out") < first_heading + 400, address
    signed_reopened(notice, people["owner"])
    for address in addresses:
        assert WORDS.area not in words(client.get(address)), address


def test_open_notices_are_those_of_the_last_version_nobody_signed(finding, notice, people):
    building = finding.survey.building
    assert list(open_notices(building)) == list(open_notices(building.studio)) == [notice]
    second = unprinted_notice(finding, people["owner"])
    assert list(open_notices_for(people["committee"])) == [second]
    signed_reopened(second, people["owner"])
    assert not open_notices(building).exists()
    third = unprinted_notice(finding, people["owner"])
    assert list(open_notices(building)) == [third]
    assert third.number == notice.number
    assert third.version == 3


def test_a_notice_is_read_as_it_was_issued_and_says_what_came_after(
    surveyor, finding, notice, people
):
    page = words(surveyor.get(notice.get_absolute_url()))
    assert f"Make-safe notice {notice.number}" in page
    assert notice.number.startswith("MS-")
    assert "Sign the area reopened" in page
    assert WORDS.told in page
    newer = unprinted_notice(finding, people["owner"])
    page = words(surveyor.get(notice.get_absolute_url()))
    assert f"superseded by version {newer.version}" in page
    assert "Sign the area reopened" not in page
    assert "Earlier make-safe notices" in words(surveyor.get(finding.get_absolute_url()))


def test_the_name_that_signed_is_shown_to_the_office_alone(client_of, notice, people):
    signed_reopened(notice, people["owner"])
    assert "Wilfred Tolliver" in words(client_of(people["surveyor"]).get(notice.get_absolute_url()))
    page = words(client_of(people["committee"]).get(notice.get_absolute_url()))
    assert "Wilfred Tolliver" not in page
    assert "with the authority of: Churchwarden" in page


def test_a_surveyor_records_who_signed_the_area_reopened_once(surveyor, notice):
    posted = signing(key="018f0000-0000-7000-8000-000000000001")
    first = surveyor.post(url("notice-reopen", notice), posted)
    second = surveyor.post(url("notice-reopen", notice), posted)
    assert first["Location"] == second["Location"] == notice.get_absolute_url()
    assert NoticeReopening.objects.get().because == "The plaque is down."


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"reopened_on": "2020-01-01"}, "The area was not closed yet on that day."),
        ({"reopened_on": "2999-01-01"}, "That day is still to come."),
        ({"reopened_on": "soon"}, "Enter a valid date."),
        ({"signed_by": " "}, "This must be filled in."),
        ({"because": ""}, "This must be filled in."),
    ],
)
def test_a_reopening_that_cannot_stand_is_sent_back(surveyor, notice, changed, said):
    answer = surveyor.post(url("notice-reopen", notice), signing(**changed))
    assert answer.status_code == 422
    assert said in words(answer)
    assert not NoticeReopening.objects.exists()


def test_a_notice_signed_or_superseded_already_is_not_signed_again(
    surveyor, finding, notice, people
):
    newer = unprinted_notice(finding, people["owner"])
    answer = surveyor.post(url("notice-reopen", notice), signing())
    assert "A newer version of this notice stands" in words(answer)
    signed_reopened(newer, people["owner"])
    answer = surveyor.post(url("notice-reopen", newer), signing())
    assert answer.status_code == 422
    assert NoticeReopening.objects.count() == 1


@pytest.mark.parametrize("table", ["makesafenotice", "noticereopening"])
def test_what_was_issued_and_what_was_signed_never_change(notice, people, table):
    rows = {
        "makesafenotice": MakeSafeNotice.objects.all(),
        "noticereopening": NoticeReopening.objects.filter(
            pk=signed_reopened(notice, people["owner"]).pk
        ),
    }[table]
    column = "area" if table == "makesafenotice" else "because"
    with pytest.raises(DatabaseError), transaction.atomic():
        rows.update(**{column: "Nothing was closed"})
    with pytest.raises(DatabaseError), transaction.atomic():
        rows.delete()


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
    surveyor, finding, notice, people, building, count_queries
):
    def open_page():
        return [surveyor.get(address) for address in (reverse("today"), url("survey", here))]

    here = finding.survey
    few = count_queries(open_page)
    for number in range(20, 23):
        more = danger(building, survey=here, opening=finding.opening, number=number)
        unprinted_notice(more, people["owner"])
    assert count_queries(open_page) <= few + 1
