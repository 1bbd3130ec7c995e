"""The printed make-safe notice: one page on either paper, accessible, frozen with its data."""

import hashlib
from dataclasses import replace
from pathlib import Path

import outloud
import pytest
from django.core.files.base import ContentFile
from django.db import transaction

from condition.documents.make_safe.build import NoticeWords
from condition.models import MakeSafeNotice
from condition.services.notices import ask_for_notice
from condition.services.photographs import prepare_photograph
from sites.jobs import run_now
from sites.verify.documents import issued_documents, troubles_of
from tests.condition.pictures import jpeg, quarters
from tests.condition.safety.dangers import WORDS, known_danger
from tests.factories import BuildingFactory, MembershipFactory, PhotographFactory
from tests.pdf_reading import page_sizes, page_texts

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]
LONGEST = replace(
    WORDS,
    hazard=("WINDOW MULLION AND GLASS MAY COME DOWN; " * 8)[:300],
    new_area=("NORTH AISLE AND CHURCHYARD PATH, " * 8)[:240],
    done=("PROPPED WITH TIMBER, TAPED, ROPED OFF; " * 7)[:240],
    told=("CHURCHWARDEN, ARCHDEACON, BUILDING CONTROL, " * 6)[:240],
)


def printed(words: NoticeWords, folder: Path, **place) -> tuple[dict, MakeSafeNotice, Path]:
    """Issue one notice as the worker does; the database is as before afterwards."""
    with transaction.atomic():
        building = BuildingFactory(
            **{"name": "St Aldhelm’s", "place": "Nether Wickham", "country": "GB"} | place
        )
        danger = known_danger(building, number=14)
        finding = danger.findings.get()
        data = jpeg(quarters(((200, 160, 90), (60, 80, 160)) * 2))
        photograph = PhotographFactory(
            building=building,
            survey=finding.survey,
            opening=finding.opening,
            findings=[finding],
            caption="Hangs by the left tab, seen from the aisle",
            original=ContentFile(data, "x.jpg"),
            bytes=len(data),
            sha256=hashlib.sha256(data).hexdigest(),
        )
        prepare_photograph(photograph)
        user = MembershipFactory(building=building, user__name="Margery Holloway").user
        told = replace(words, photograph=photograph.pk)
        job = run_now(ask_for_notice(danger, told, 1, user), "test")
        assert (job.state, job.problem) == ("done", "")
        notice = MakeSafeNotice.objects.get(pk=job.result["notice"])
        assert list(issued_documents(building)) == [notice]
        assert troubles_of(notice) == []
        file = folder / "notice.pdf"
        with notice.pdf.open("rb") as stored:
            file.write_bytes(stored.read())
        transaction.set_rollback(True)
    return notice.snapshot, notice, file


@pytest.fixture(scope="module")
def notices(django_db_setup, django_db_blocker, tmp_path_factory):
    """The usual notice on A4, and the longest that can be typed on Letter."""
    long_name = "The Cathedral Church of the Blessed Virgin and All Holy Martyrs"
    with django_db_blocker.unblock():
        return {
            "usual": printed(WORDS, tmp_path_factory.mktemp("usual"), paper="A4"),
            "longest": printed(
                LONGEST,
                tmp_path_factory.mktemp("longest"),
                paper="Letter",
                country="US",
                name=long_name,
                address="1200 West Old Meeting House Road\nNorth Kingsbury Falls",
                place="North Kingsbury Falls",
            ),
        }


@pytest.mark.published("ISO 14289-1 (PDF/UA-1) as checked by outloud")
@pytest.mark.parametrize("which", ["usual", "longest"])
def test_it_is_accessible(which, notices):
    result = outloud.check(str(notices[which][2]))
    assert result.error is None
    assert [f"{found.rule} {found.message}" for found in result.findings] == []


@pytest.mark.published("ISO 216: A4 is 210 × 297 mm; ANSI Letter is 8.5 × 11 in")
@pytest.mark.parametrize(("which", "size"), [("usual", (210, 297)), ("longest", (215.9, 279.4))])
def test_it_is_one_page_even_at_its_longest(which, size, notices):
    _snapshot, notice, file = notices[which]
    assert notice.pages == 1
    assert page_sizes(file) == {tuple(round(side * 72 / 25.4) for side in size)}


@pytest.mark.parametrize("which", ["usual", "longest"])
def test_it_says_all_that_was_typed(which, notices):
    snapshot, notice, file = notices[which]
    text = " ".join(" ".join(page_texts(file)).split())
    # A line of the left column is followed by one of the right: the ends tell that all is there.
    content = snapshot["content"]
    typed = [content[name] for name in ("hazard", "new_area", "done", "told")]
    for said in (*typed, notice.number):
        assert said[:24] in text
        assert said[-8:].strip() in text
    assert "Keep out" in text
    assert "name, authority, date" in text
    assert snapshot["made_safe"]["areas"][0]["closed_words"] in text


def test_the_clock_is_told_as_the_country_tells_it(notices):
    usual, longest = (notices[which][0]["made_safe"]["areas"][0] for which in ("usual", "longest"))
    assert usual["closed_words"] == "12 May 2026, 14:30"
    assert longest["closed_words"] == "May 12, 2026, 2:30 PM"
