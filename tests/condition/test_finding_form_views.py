"""Logging a finding: what is kept, what is refused, and the photographs sent along."""

import threading
from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.urls import reverse

from condition.models import Finding, Photograph
from sites.keys import uuid7
from tests.condition.pictures import jpeg, quarters
from tests.condition.recorded import receive_photograph
from tests.factories import (
    AttachedItemFactory,
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
def opening(building):
    return OpeningFactory(building=building, number="nIV", order="1")


@pytest.fixture
def kind(building):
    return FindingKindFactory(
        studio=building.studio, name="Cracked joint", units=["count"], measure="Count them."
    )


@pytest.fixture
def url(survey):
    return reverse("condition:finding-add", args=[survey.pk])


@pytest.fixture
def filled(opening, kind):
    """A function that returns the form as posted, with changes."""

    def fill(**changes):
        return {
            "key": str(uuid7()),
            "opening": str(opening.pk),
            "kind": str(kind.pk),
            "side": "inside",
            "extent": "isolated",
        } | changes

    return fill


def a_photograph(name="IMG_1.jpg", colour=10):
    return SimpleUploadedFile(name, jpeg(quarters([(colour, 20, 30)] * 4)), "image/jpeg")


# Who may.
def test_logging_is_for_those_who_survey(reader, stranger, url, filled):
    assert Client().get(url).status_code == 302
    assert stranger.post(url, filled()).status_code == 404
    assert reader.get(url).status_code == 403
    assert reader.post(url, filled()).status_code == 403
    assert not Finding.objects.exists()


@pytest.mark.parametrize("name", ["finding-edit", "finding-delete"])
def test_changing_is_for_those_who_survey(reader, stranger, survey, opening, name):
    there = FindingFactory(survey=survey, opening=opening)
    url = reverse(f"condition:{name}", args=[there.pk])
    assert reader.post(url).status_code == 403
    assert stranger.post(url).status_code == 404
    assert Finding.objects.filter(pk=there.pk).exists()


# Logging.
def test_a_finding_takes_the_next_number_of_its_survey(surveyor, survey, url, filled):
    FindingFactory(survey=survey, number=7)
    FindingFactory(number=40)
    response = surveyor.post(url, filled(note="Six in a line"))
    made = Finding.objects.get(note="Six in a line")
    assert made.number == 8
    assert response.url == made.get_absolute_url()


def test_a_finding_on_a_panel_or_an_item_is_of_that_alone(surveyor, opening, url, filled):
    panel, item = PanelFactory(opening=opening), AttachedItemFactory(opening=opening)
    surveyor.post(url, filled(part=f"panel:{panel.pk}", note="p"))
    surveyor.post(url, filled(part=f"item:{item.pk}", note="i"))
    on_panel, on_item = Finding.objects.get(note="p"), Finding.objects.get(note="i")
    assert (on_panel.panel, on_panel.attached_item) == (panel, None)
    assert (on_item.panel, on_item.attached_item) == (None, item)


def test_every_box_is_kept(surveyor, url, filled):
    typed = {
        "side": "outside",
        "extent": "along one line",
        "amount": "6",
        "unit": "count",
        "of_total": "130",
        "position": "two hands above the foot",
        "note": "The panel gives there.",
        "hazard": "on",
        "made_safe": "Pew roped off",
        "condition_class": "2",
        "urgency_class": "2",
        "span": "760",
        "within": "1",
        "datum": "inner face",
        "picture_part": "border",
        "water": "on",
        "diagnosis": "The lead is tired.",
    }
    surveyor.post(url, filled(**typed))
    made = Finding.objects.get()
    assert (made.span_mm, made.within_mm, made.datum) == (760, 1, "inner face")
    assert (made.part, made.water, made.diagnosis) == ("border", True, "The lead is tired.")
    assert (made.amount, made.unit, made.of_total) == (6, "count", 130)
    assert (made.hazard, made.made_safe) == (True, "Pew roped off")
    assert (made.condition_class, made.urgency_class, made.recommendation_class) == (2, 2, None)
    assert (made.side, made.extent, made.position) == (
        "outside",
        "along one line",
        "two hands above the foot",
    )


def test_the_next_one_is_logged_at_the_same_place(surveyor, survey, opening, url, filled):
    panel = PanelFactory(opening=opening)
    response = surveyor.post(
        url, filled(part=f"panel:{panel.pk}", side="outside", next_here="1"), follow=True
    )
    assert response.redirect_chain[0][0].startswith(url)
    form = response.context["form"]
    assert form["opening"].value() == str(opening.pk)
    assert form["part"].value() == f"panel:{panel.pk}"
    assert form["side"].value() == "outside"


def test_a_page_sent_twice_is_one_finding(surveyor, url, filled):
    same = filled()
    first, second = surveyor.post(url, same), surveyor.post(url, same)
    assert Finding.objects.count() == 1
    assert first.url == second.url == Finding.objects.get().get_absolute_url()


def test_a_key_of_another_survey_s_finding_changes_nothing_there(surveyor, url, filled):
    other = FindingFactory(note="untouched")
    surveyor.post(url, filled(key=str(other.pk), note="new"))
    other.refresh_from_db()
    assert other.note == "untouched"
    assert Finding.objects.get(note="new").pk != other.pk


@pytest.mark.parametrize(
    ("typed", "amount"), [("2,5", "2.5"), ("0.25", "0.25"), ("1 200", "1200"), ("12", "12")]
)
def test_amounts_are_read_as_they_are_written_by_hand(surveyor, url, filled, kind, typed, amount):
    kind.units = ["mm"]
    kind.save()
    surveyor.post(url, filled(amount=typed, unit="mm"))
    assert str(Finding.objects.get().amount.normalize()).replace("1.2E+3", "1200") == amount


def test_a_kind_with_one_unit_needs_no_unit_named(surveyor, url, filled):
    surveyor.post(url, filled(amount="3"))
    assert Finding.objects.get().unit == "count"


def test_a_unit_without_a_number_says_nothing(surveyor, url, filled):
    surveyor.post(url, filled(unit="count"))
    made = Finding.objects.get()
    assert (made.amount, made.unit) == (None, "")


# What is refused, with everything kept.
WRONG = {
    "no opening": {"opening": ""},
    "an opening of elsewhere": {"opening": "{elsewhere}"},
    "no kind": {"kind": ""},
    "a kind of another studio": {"kind": "{other_kind}"},
    "a part of another opening": {"part": "panel:{other_panel}"},
    "a part that is none": {"part": "panel:nonsense"},
    "a side that is none": {"side": "above"},
    "an amount that is none": {"amount": "several", "unit": "count"},
    "an amount below zero": {"amount": "-1", "unit": "count"},
    "an amount without end": {"amount": "Infinity", "unit": "count"},
    "an amount too exact": {"amount": "0.12345", "unit": "mm"},
    "one or a thousand": {"amount": "1,000", "unit": "mm"},
    "a count above its total": {"amount": "5", "unit": "count", "of_total": "4"},
    "a total without a count": {"of_total": "4"},
    "a length out of a total": {"amount": "5", "unit": "mm", "of_total": "40"},
    "a share above the whole": {"amount": "101", "unit": "percent of area"},
    "a class above three": {"urgency_class": "4"},
    "too long a place": {"position": "x" * 241},
    "a finding of another opening": {"continues": "{other_finding}"},
    "a finding of this survey": {"continues": "{same_survey}"},
}


@pytest.mark.parametrize("what", WRONG, ids=str)
def test_what_cannot_be_is_refused_with_the_words_kept(surveyor, survey, url, filled, what):
    elsewhere = OpeningFactory()
    other = OpeningFactory(building=survey.building)
    earlier = SurveyFactory(building=survey.building, day="2015-06-09")
    keys = {
        "elsewhere": elsewhere.pk,
        "other_kind": FindingKindFactory().pk,
        "other_panel": PanelFactory(opening=other).pk,
        "other_finding": FindingFactory(survey=earlier, opening=other).pk,
        "same_survey": FindingFactory(survey=survey, opening=other).pk,
    }
    before = Finding.objects.count()
    wrong = {name: text.format(**keys) for name, text in WRONG[what].items()}
    response = surveyor.post(url, filled(note="A note to keep", **wrong))
    text = response.content.decode()
    assert response.status_code == 422
    assert "A note to keep" in text
    assert "Please mend this first" in text
    assert Finding.objects.count() == before


def test_a_part_of_another_opening_is_named(surveyor, survey, url, filled):
    other = PanelFactory(opening=OpeningFactory(building=survey.building, number="wI"), number="7c")
    response = surveyor.post(url, filled(part=f"panel:{other.pk}"))
    assert response.context["form"].errors["part"] == ["Panel 7c is in wI, not nIV."]


def test_what_the_database_refuses_is_said_in_words(surveyor, opening, url, filled, monkeypatch):
    """The service sees it first; should one not, the database's own rule is told, not a 500."""
    other = PanelFactory(opening=OpeningFactory(building=opening.building))
    monkeypatch.setattr("condition.services.recording.findings.finding_problems", lambda *a: ())
    response = surveyor.post(url, filled(part=f"panel:{other.pk}"))
    assert response.status_code == 422
    assert "The panel is not in this opening." in response.content.decode()


# Photographs sent along.
def test_photographs_come_with_the_finding(surveyor, files, url, filled):
    sent = [a_photograph("a.jpg", 10), a_photograph("b.jpg", 90)]
    surveyor.post(url, filled(photographs=sent))
    made = Finding.objects.get()
    assert {each.name for each in made.photographs.all()} == {"a.jpg", "b.jpg"}
    assert {each.opening for each in made.photographs.all()} == {made.opening}


def test_a_file_that_is_no_photograph_does_not_hold_up_the_finding(surveyor, files, url, filled):
    sent = [a_photograph(), SimpleUploadedFile("note.jpg", b"%PDF-1.7 not a picture")]
    response = surveyor.post(url, filled(photographs=sent), follow=True)
    assert Finding.objects.get().photographs.count() == 1
    text = response.content.decode()
    assert "1 photograph is kept." in text
    assert "note.jpg: This looks like a PDF document" in text


def test_photographs_of_a_form_to_be_mended_are_not_lost(surveyor, survey, files, url, filled):
    response = surveyor.post(url, filled(kind="", photographs=[a_photograph()]))
    assert response.status_code == 422
    waiting = Photograph.objects.get()
    assert (waiting.survey, waiting.findings.count()) == (survey, 0)
    assert f'name="kept" value="{waiting.pk}"' in response.content.decode()
    surveyor.post(url, filled(kept=[str(waiting.pk)]))
    waiting.refresh_from_db()
    assert waiting.findings.get() == Finding.objects.get()
    assert waiting.opening == Finding.objects.get().opening


def test_photographs_of_others_are_not_taken_by_naming_them(surveyor, files, url, filled):
    elsewhere = SurveyFactory()
    theirs = receive_photograph(
        building=elsewhere.building,
        survey=elsewhere,
        file=BytesIO(jpeg()),
        name="theirs.jpg",
    )
    surveyor.post(url, filled(kept=[str(theirs.pk), "nonsense"]))
    theirs.refresh_from_db()
    assert not theirs.findings.exists()
    assert Finding.objects.get().photographs.count() == 0


# The parts that follow the opening and the kind.
def test_the_lists_follow_the_opening(surveyor, building, opening, url):
    mine = PanelFactory(opening=opening, number="2b")
    other = PanelFactory(opening=OpeningFactory(building=building), number="7c")
    whole = surveyor.get(url).content.decode()
    assert f"panel:{mine.pk}" in whole
    assert f"panel:{other.pk}" in whole
    asked = {"HX-Request": "true", "HX-Trigger": "finding-place"}
    part = surveyor.get(url, {"opening": opening.pk}, headers=asked).content.decode()
    assert f"panel:{mine.pk}" in part
    assert f"panel:{other.pk}" not in part
    assert "<html" not in part


def test_what_to_measure_follows_the_kind(surveyor, kind, url):
    asked = {"HX-Request": "true", "HX-Trigger": "finding-measure"}
    part = surveyor.get(url, {"kind": kind.pk, "amount": "6"}, headers=asked).content.decode()
    assert "Count them." in part
    assert 'value="6"' in part
    assert '<option value="count" selected>' in part
    assert "<html" not in part


def test_nonsense_in_the_address_is_not_a_crash(surveyor, url):
    asked = {"opening": "x", "panel": "y", "kind": "z", "continues": "0", "part": "item:1"}
    assert surveyor.get(url, asked).status_code == 200


@pytest.mark.django_db(transaction=True)
def test_two_at_once_get_two_numbers(surveyor, people, client_of, survey, url, filled):
    start = threading.Barrier(4)

    def log(client):
        start.wait()
        assert client.post(url, filled()).status_code == 302
        connection.close()

    clients = [client_of(people["surveyor"]) for _ in range(4)]
    threads = [threading.Thread(target=log, args=[client]) for client in clients]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    numbers = sorted(survey.findings.values_list("number", flat=True))
    assert numbers == [1, 2, 3, 4]


@pytest.mark.parametrize(
    ("amount", "of_total", "words"),
    [
        ("1", "", "1 tie broken"),
        ("3", "", "3 ties broken"),
        ("1", "4", "1 of 4 ties broken"),
        ("1", "1", "1 of 1 tie broken"),
    ],
)
def test_a_count_is_told_with_what_was_counted(
    surveyor, url, filled, kind, amount, of_total, words
):
    kind.counted = ["tie broken", "ties broken"]
    kind.save()
    surveyor.post(url, filled(amount=amount, unit="count", of_total=of_total))
    page = surveyor.get(Finding.objects.get().get_absolute_url()).content.decode()
    assert f"Isolated; {words}<" in page


def test_that_a_depth_was_not_reached_is_kept_and_told(surveyor, url, filled, kind):
    kind.units = ["mm out of plane"]
    kind.save()
    asked = surveyor.post(url, filled(extent="throughout"))
    assert asked.status_code == 422
    assert "or say that it was not reached" in asked.content.decode()
    surveyor.post(url, filled(extent="throughout", not_measured="not reached"))
    page = surveyor.get(Finding.objects.get().get_absolute_url()).content.decode()
    assert "Throughout; not measured: not reached" in page


def test_a_reason_that_classes_want_is_typed_beside_them(surveyor, url, filled):
    said = {"condition_class": "3", "urgency_class": "0", "recommendation_class": "1"}
    asked = surveyor.post(url, filled(**said))
    assert asked.status_code == 422
    assert "why maintenance is enough for major symptoms" in asked.content.decode()
    surveyor.post(url, filled(**said, classes_reason="Lost long ago, and stable."))
    assert Finding.objects.get().classes_reason == "Lost long ago, and stable."
