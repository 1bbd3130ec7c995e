"""The printed condition report: accessible, complete, and every picture where it belongs."""

from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from io import BytesIO
from pathlib import Path

import outloud
import pikepdf
import pytest
from django.db import transaction

from condition.documents.images import fetch_images
from condition.documents.layout import report_html
from condition.services.report_snapshot import build_snapshot
from sites.documents.canonical import canonical
from sites.models.choices import DocumentKind
from sites.printing import Printed
from sites.services.issuing import Draft, print_draft
from sites.services.numbers import reserve_number, today_at
from tests.condition.reports import Visit
from tests.pdf_reading import Element, page_sizes, page_texts, structure

# Printed once, so on one engine; the mark sets the database up where no other test asks for it.
pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]


@dataclass(frozen=True)
class Report:
    """A printed report with the data it was printed from."""

    snapshot: dict
    printed: Printed
    file: Path

    @cached_property
    def pdf(self) -> pikepdf.Pdf:
        """Kept open: what is read from a file closed meanwhile is gone."""
        return pikepdf.open(BytesIO(self.printed.pdf))


def printed_report(folder: Path, **options: str) -> Report:
    """Print one realistic report; the database is as before afterwards."""
    with transaction.atomic():
        visit = Visit(**options)
        visit.photograph(visit.openings["nIII"], None, "With a star \N{GLOWING STAR} on it")
        number = reserve_number(
            studio=visit.studio,
            kind=DocumentKind.REPORT,
            subject=visit.survey.pk,
            dated=today_at(visit.building),
            user=visit.user,
        )
        snapshot = build_snapshot(visit.survey, number, None)
        images = fetch_images(snapshot, folder)
        transaction.set_rollback(True)
    printed = print_draft(Draft(snapshot, report_html(snapshot), images))
    file = folder / "report.pdf"
    file.write_bytes(printed.pdf)
    return Report(snapshot, printed, file)


@pytest.fixture(scope="module")
def report(django_db_setup, django_db_blocker, tmp_path_factory) -> Report:
    with django_db_blocker.unblock():
        return printed_report(tmp_path_factory.mktemp("a4"))


@pytest.fixture(scope="module")
def letter(django_db_setup, django_db_blocker, tmp_path_factory) -> Report:
    folder = tmp_path_factory.mktemp("letter")
    with django_db_blocker.unblock():
        return printed_report(folder, paper="Letter", country="US", units="inch")


@pytest.mark.published("ISO 14289-1 (PDF/UA-1) as checked by outloud")
@pytest.mark.parametrize("which", ["report", "letter"])
def test_it_is_accessible(which, request):
    result = outloud.check(str(request.getfixturevalue(which).file))
    assert result.error is None
    assert [f"{found.rule} {found.message}" for found in result.findings] == []


@pytest.mark.published("ISO 14289-1:2014 (PDF/UA-1), clauses 5, 7.1, 7.2, 7.3 and 7.17")
def test_it_says_what_it_is_and_in_what_language(report):
    pdf = report.pdf
    assert str(pdf.Root.Lang) == "en-GB"
    assert bool(pdf.Root.MarkInfo.Marked)
    assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
    title = (
        f"Condition report {report.snapshot['document']['number']}: St Aldhelm’s, Nether Wickham"
    )
    assert str(pdf.docinfo["/Title"]) == title
    with pdf.open_metadata() as metadata:
        assert metadata["pdfuaid:part"] == "1"
        assert metadata["dc:title"] == title


def test_every_picture_has_a_description_and_its_photograph_has_its_own(report):
    figures = Counter(each.alt for each in structure(report.file) if each.kind == "Figure")
    signs = figures.pop("General warning sign")
    photographs = [each["alt"] for section in entries(report) for each in section]
    drawings = [each["drawing"]["alt"] for each in report.snapshot["openings"]]
    wanted = [alt.replace("\N{GLOWING STAR}", "[U+1F31F]") for alt in photographs + drawings]
    assert figures == Counter(wanted)
    # Once on page one; of each danger in the list of openings and in the finding's own row; and
    # beside what is reckoned of a plaque that may fall.
    items = [item for opening in report.snapshot["openings"] for item in opening["items"]]
    may_fall = sum(item["may_fall"] for item in items)
    assert signs == 1 + 2 * report.snapshot["counts"]["dangers"] + may_fall


def test_bookmarks_lead_to_every_opening(report):
    with report.pdf.open_outline() as outline:
        titles = [item.title for item in flat(outline.root)]
    assert titles[0] == "Condition report St Aldhelm’s, Nether Wickham"
    for opening in report.snapshot["openings"]:
        assert any(title.split()[0] == opening["number"] for title in titles)


def test_every_finding_stands_once_as_a_full_entry(report):
    cells = Counter(each.text for each in structure(report.file) if each.kind == "TD")
    labels = {
        f"{finding['label']} {finding['subject']}": finding["number"]
        for opening in report.snapshot["openings"]
        for finding in opening["findings"]
    }
    assert len(labels) == 7
    assert {label: cells[label] for label in labels} == dict.fromkeys(labels, 1)
    assert sum(text.startswith("Finding ") for text in cells) == 7


def test_every_photograph_stands_in_the_section_of_its_own_opening(report):
    where = {}
    section = ""
    for element in structure(report.file):
        if element.kind in ("H2", "H3"):
            section = element.text
        elif element.kind == "Figure" and element.alt.startswith("Photograph"):
            where[element.alt.split(":")[0]] = section.split()[0]
    for opening in report.snapshot["openings"]:
        for photograph in opening["photographs"]:
            assert where[f"Photograph {photograph['number']}"] == opening["number"]
    assert where["Photograph 1"] == "The"  # The building on the day


def test_no_figure_of_the_report_contradicts_another(report):
    """What the report counts is what its pages hold."""
    rows = [each for each in structure(report.file) if each.kind == "TR"]
    in_full = [row for row in rows if row.text.startswith("Finding ") and "Condition" in row.text]
    assert len(in_full) == report.snapshot["counts"]["findings"] == 7


def test_pages_say_which_of_how_many_they_are(report):
    texts = page_texts(report.file)
    assert len(texts) == report.printed.pages
    for number, text in enumerate(texts[1:], start=2):
        assert f"Page {number} of {report.printed.pages}" in text
    assert "Page" not in texts[0]


def test_the_page_numbers_of_the_openings_are_right(report):
    texts = page_texts(report.file)
    rows = [each.text for each in structure(report.file) if each.kind == "TR"]
    (line,) = (row for row in rows if row.startswith("nII The Good Shepherd"))
    page = int(line.split()[-1])
    assert "nII The Good Shepherd" in texts[page - 1]


def test_characters_without_a_typeface_are_printed_by_their_codes_and_listed(report):
    text = " ".join(page_texts(report.file))
    assert "With a star [U+1F31F] on it" in text
    assert "Characters that could not be printed as written" in text
    assert "U+1F31F GLOWING STAR" in text
    kept = report.pdf.attachments["snapshot.json"].get_file().read_bytes()
    assert "\N{GLOWING STAR}".encode() in kept


def test_the_data_inside_the_file_is_the_snapshot_to_the_byte(report):
    kept = report.pdf.attachments["snapshot.json"].get_file().read_bytes()
    assert kept == canonical(report.snapshot)


def test_photographs_are_not_smoothed_or_packed_again(report, tmp_path):
    images = [each for each in report.pdf.objects if is_image(each)]
    assert len(images) == 9
    for image in images:
        assert str(image.Filter) == "/DCTDecode"
        assert not bool(image.get("/Interpolate", False))


@pytest.mark.published("ISO 216 (A4: 210 mm × 297 mm); ANSI/ASME Y14.1 (Letter: 8.5 in × 11 in)")
def test_paper_is_that_of_the_building(report, letter):
    assert page_sizes(report.file) == {(595, 842)}
    assert page_sizes(letter.file) == {(612, 792)}


def test_the_printer_has_nothing_to_remark(report, letter):
    assert report.printed.remarks == letter.printed.remarks == ()


def entries(report: Report) -> list[list[dict]]:
    snapshot = report.snapshot
    return [snapshot["general_photographs"], *(o["photographs"] for o in snapshot["openings"])]


def flat(items: list) -> list:
    return [each for item in items for each in (item, *flat(item.children))]


def is_image(thing: pikepdf.Object) -> bool:
    return isinstance(thing, pikepdf.Stream) and thing.get("/Subtype") == "/Image"


def test_an_element_reads_as_its_text(report):
    """The reading of the tag tree itself, on which the tests above lean."""
    first = next(each for each in structure(report.file) if each.kind == "H1")
    assert isinstance(first, Element)
    assert first.text == "Condition report St Aldhelm’s, Nether Wickham"
