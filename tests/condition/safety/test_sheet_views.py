"""Site safety sheets on their pages: made from facts, read with their working, changed."""

import datetime as dt
from decimal import Decimal

import pytest
from django.urls import reverse

from condition.models import SafetySheet
from sites.models import Building
from tests.condition.safety.dangers import full_sheet
from tests.factories import SurveyFactory


def words(response) -> str:
    return " ".join(response.content.decode().split())


def url(name: str, record) -> str:
    return reverse(f"condition:{name}", args=[record.pk])


def typed(**changed) -> dict:
    return {
        "title": "Resoldering at nV",
        "day": "2026-06-09",
        "access": "ladder",
        "height": "14 ft",
        "hot_work": "iron",
        "lead": "on",
        "hours": "10",
        "putty": "not tested",
        "heating": "none",
        "people_below": "on",
        **changed,
    }


def test_a_surveyor_makes_a_sheet_and_reads_it_with_its_working(surveyor, building):
    Building.objects.filter(pk=building.pk).update(country="US", units="inch")
    answer = surveyor.post(url("safety-sheet-add", building), typed(inside="6", outside="0"))
    sheet = SafetySheet.objects.get()
    assert answer["Location"] == sheet.get_absolute_url()
    assert sheet.disturbed_inside_m2 == Decimal("0.5574")
    page = words(surveyor.get(sheet.get_absolute_url()))
    assert "at most 40 µg/m³ (400 ÷ 10)" in page
    assert "Foot out = working length ÷ 4" in page
    assert "Local codes, the authority having jurisdiction and licensed practice decide" in page


def test_pressed_twice_it_is_one_sheet(surveyor, building):
    posted = typed(key="018f0000-0000-7000-8000-000000000001")
    for _ in range(2):
        assert surveyor.post(url("safety-sheet-add", building), posted).status_code == 302
    assert SafetySheet.objects.count() == 1


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"title": " "}, "This must be filled in."),
        ({"day": "soon"}, "Enter a valid date."),
        ({"hours": "25"}, "less than or equal to 24"),
        ({"hours": "NaN"}, "is not a number."),
        ({"hours": "0"}, "greater than or equal to 0.1"),
        ({"inside": "1" * 60}, "no more than"),
        ({"inside": "-1"}, "greater than or equal to 0"),
        ({"outside": "Infinity"}, "is not a number."),
        ({"height": "as high as it goes"}, "height"),
        ({"child_days_a_week": "8"}, "A week has seven days."),
        ({"child_weeks_a_year": "99"}, "A year has up to 53 weeks."),
        ({"child_hours_a_day": "30"}, "less than or equal to 24"),
        ({"built_year": "99999999999999"}, "less than or equal to"),
        ({"access": "wings"}, "Select a valid choice"),
        ({"survey": "018f0000-0000-7000-8000-000000000000"}, "Select a valid choice"),
        ({"notes": "n" * 701}, "at most 700"),
        ({"notes": "a\x00b"}, "Null characters are not allowed."),
    ],
)
def test_what_must_be_mended_is_sent_back_whole(surveyor, building, changed, said):
    answer = surveyor.post(url("safety-sheet-add", building), typed(**changed))
    assert answer.status_code == 422
    assert said in words(answer)
    assert "Resoldering at nV" in words(answer) or "title" in changed
    assert not SafetySheet.objects.exists()


def test_a_survey_of_another_building_is_refused(surveyor, building):
    elsewhere = SurveyFactory()
    posted = typed(survey=str(elsewhere.pk))
    assert surveyor.post(url("safety-sheet-add", building), posted).status_code == 422


def test_an_area_in_square_feet_is_shown_as_it_was_typed_and_left_as_it_was(surveyor, building):
    Building.objects.filter(pk=building.pk).update(units="inch")
    sheet = full_sheet(building, disturbed_inside_m2=Decimal("0.5574"))
    page = words(surveyor.get(url("safety-sheet-edit", sheet)))
    assert 'value="6"' in page
    surveyor.post(url("safety-sheet-edit", sheet), typed(inside="6", outside=""))
    sheet.refresh_from_db()
    assert sheet.disturbed_inside_m2 == Decimal("0.5574")
    assert sheet.title == "Resoldering at nV"


def test_what_planned_work_needs_is_filled_in_from_the_address(surveyor, building):
    Building.objects.filter(pk=building.pk).update(built="1868, tower 1925")
    asked = "?codes=hot-work,lead,asbestos,work-at-height,nonsense&height=5200&title=Work"
    page = words(surveyor.get(url("safety-sheet-add", building) + asked))
    assert 'value="flame" selected' in page
    assert 'value="ladder" selected' in page
    assert 'value="1868"' in page
    assert 'value="Work"' in page
    assert "5200" in page


@pytest.mark.parametrize("asked", ["?height=NaN", "?height=x&codes=,,&below=2", "?title=%00"])
def test_an_address_that_makes_no_sense_fills_in_nothing(surveyor, building, asked):
    assert surveyor.get(url("safety-sheet-add", building) + asked).status_code == 200


def test_the_building_lists_its_sheets_and_offers_the_first(surveyor, reader, building):
    place = building.get_absolute_url()
    assert "Make a sheet" in words(surveyor.get(place))
    assert "Site safety sheets" not in words(reader.get(place))
    sheet = full_sheet(building, day=dt.date(2026, 6, 9))
    page = words(reader.get(place))
    assert sheet.get_absolute_url() in page
    assert "Make a sheet" not in page


def test_a_sheet_takes_the_same_queries_however_many_there_are(surveyor, building, count_queries):
    sheet = full_sheet(building)
    few = count_queries(lambda: surveyor.get(sheet.get_absolute_url()))
    full_sheet(building)
    assert count_queries(lambda: surveyor.get(sheet.get_absolute_url())) == few
