"""The printed inscription proof: true to size, accessible, and with everything to be checked."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from io import BytesIO
from pathlib import Path

import outloud
import pikepdf
import pytest
from django.db import transaction

from sites.documents.inscription_proof.build import build_snapshot
from sites.documents.inscription_proof.layout import proof_html
from sites.models.choices import DocumentKind
from sites.printing import Printed
from sites.services.figures import figures_of
from sites.services.issuing import Draft, print_draft
from sites.services.numbers import reserve_number, today_at
from tests.factories import BuildingFactory, UserFactory
from tests.pdf_reading import page_sizes, page_texts, structure
from tests.sites.plaques import plaque, sized

# Without a test of its own that asks for the database, none would be set up.
pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]
POINTS_PER_MM = 72 / 25.4


@dataclass(frozen=True)
class Proof:
    """A printed proof with the data it was printed from."""

    snapshot: dict
    printed: Printed
    file: Path

    @cached_property
    def pdf(self) -> pikepdf.Pdf:
        return pikepdf.open(BytesIO(self.printed.pdf))

    @cached_property
    def text(self) -> str:
        return " ".join(page_texts(self.file))


def printed_proof(folder: Path, building: dict | None = None, **fields) -> Proof:
    """Print one proof; the database is as before afterwards."""
    with transaction.atomic():
        place = {"name": "St Aldhelm’s", "place": "Nether Wickham", "country": "GB"}
        item = plaque(BuildingFactory(**place | (building or {})), **fields)
        user = UserFactory(name="Margery Holloway")
        number = reserve_number(
            studio=item.opening.building.studio,
            kind=DocumentKind.PROOF,
            subject=item.pk,
            dated=today_at(item.opening.building),
            user=user,
        )
        snapshot = build_snapshot(item, figures_of(item.opening.building.studio), number, None)
        transaction.set_rollback(True)
    printed = print_draft(Draft(snapshot, proof_html(snapshot), {}))
    file = folder / "proof.pdf"
    file.write_bytes(printed.pdf)
    return Proof(snapshot, printed, file)


@pytest.fixture(scope="module")
def printing(django_db_setup, django_db_blocker, tmp_path_factory):
    """A function that prints a proof for the tests of this module."""

    def make(name: str, **options) -> Proof:
        with django_db_blocker.unblock():
            return printed_proof(tmp_path_factory.mktemp(name), **options)

    return make


@pytest.fixture(scope="module")
def proof(printing) -> Proof:
    return printing("a4")


@pytest.fixture(scope="module")
def american(printing) -> Proof:
    return printing(
        "letter", building={"paper": "Letter", "country": "US", "units": "inch"}, lettering="bold"
    )


@pytest.fixture(scope="module")
def large(printing) -> Proof:
    return printing("large", **sized(width="420", height="200", letter_height="14"))


def rectangles(pdf: pikepdf.Pdf) -> Iterator[tuple[float, float]]:
    """Width and height in points of each rectangle drawn, through every transformation."""
    for page in pdf.pages:
        for operator, operands, matrix in drawn(page):
            if operator == "re":
                x, y, width, height = map(float, operands)
                left, foot = matrix.transform((x, y))
                right, top = matrix.transform((x + width, y + height))
                yield abs(right - left), abs(top - foot)


def drawn(page: pikepdf.Page) -> Iterator[tuple[str, list, pikepdf.Matrix]]:
    """Each operator of a page with its operands and the transformation it is under."""
    matrix, kept = pikepdf.Matrix(), []
    for instruction in pikepdf.parse_content_stream(page):
        operands, operator = list(instruction.operands), str(instruction.operator)
        if operator == "q":
            kept.append(matrix)
        elif operator == "Q":
            matrix = kept.pop()
        elif operator == "cm":
            matrix = pikepdf.Matrix(*map(float, operands)) @ matrix
        yield operator, operands, matrix


def horizontals(pdf: pikepdf.Pdf) -> Iterator[float]:
    """The length in points of each level line drawn with one stroke."""
    for page in pdf.pages:
        start = (0.0, 0.0)
        for operator, operands, matrix in drawn(page):
            if operator in ("m", "l"):
                end = matrix.transform(tuple(map(float, operands)))
                if operator == "l" and abs(end[1] - start[1]) < 0.01:
                    yield abs(end[0] - start[0])
                start = end


def corner_of_plate(pdf: pikepdf.Pdf, width_mm: float, height_mm: float) -> tuple[float, float]:
    """The upper left corner of the plate on its page, in points."""
    for operator, operands, matrix in drawn(pdf.pages[1]):
        if operator == "re":
            x, y, width, height = map(float, operands)
            ends = [matrix.transform((x, y)), matrix.transform((x + width, y + height))]
            if abs(abs(ends[1][0] - ends[0][0]) - width_mm * POINTS_PER_MM) < 0.1:
                return min(end[0] for end in ends), max(end[1] for end in ends)
    raise AssertionError(f"no plate of {width_mm} by {height_mm} mm")


def letter_places(page: pikepdf.Page) -> Iterator[tuple[float, float]]:
    """Where each text of a page begins, in points."""
    for operator, operands, matrix in drawn(page):
        if operator == "Tm":
            placed = pikepdf.Matrix(*map(float, operands)) @ matrix
            yield placed.e, placed.f


def has_rectangle(proof: Proof, width_mm: float, height_mm: float) -> bool:
    return any(
        abs(width - width_mm * POINTS_PER_MM) < 0.1
        and abs(height - height_mm * POINTS_PER_MM) < 0.1
        for width, height in rectangles(proof.pdf)
    )


@pytest.mark.published("ISO 14289-1 (PDF/UA-1) as checked by outloud")
@pytest.mark.parametrize("which", ["proof", "american", "large"])
def test_it_is_accessible(which, request):
    result = outloud.check(str(request.getfixturevalue(which).file))
    assert result.error is None
    assert [f"{found.rule} {found.message}" for found in result.findings] == []


@pytest.mark.published("ISO 32000-1, 8.3.2.3: a unit of user space is 1/72 inch")
def test_the_plate_is_printed_at_true_size(proof):
    assert has_rectangle(proof, 180, 90)
    assert has_rectangle(proof, 180 - 16, 90 - 16)
    assert not has_rectangle(proof, 181, 90)


def test_a_plate_larger_than_the_paper_is_printed_at_half_size_and_says_so(large):
    assert has_rectangle(large, 210, 100)
    assert "printed at half size: 1 mm here is 2 mm on the plate" in large.text
    assert "Plate P1 at half size" in large.text


@pytest.mark.parametrize(
    ("paper", "width", "height"),
    [
        ("A4", "182", "197"),
        ("A4", "269", "110"),
        ("A4", "364", "394"),
        ("A4", "538", "220"),
        ("Letter", "187", "179"),
        ("Letter", "502", "231"),
    ],
)
def test_the_largest_plates_still_stand_alone_on_one_sheet(printing, paper, width, height):
    lengths = sized(width=width, height=height, letter_height="5")
    printed = printing("largest", building={"paper": paper}, **lengths)
    scale = printed.snapshot["plate"]["scale"]
    assert has_rectangle(printed, int(width) / scale, int(height) / scale)
    _, sheet, after, *_ = page_texts(printed.file)
    assert "Plate P1 at" in sheet
    assert "This line is exactly 100 mm long" in sheet
    assert "Not to be engraved before it is approved." in sheet
    assert "Read it letter by letter" in after


def test_a_line_to_measure_is_exactly_as_long_as_it_says(proof, american):
    assert any(abs(length - 100 * POINTS_PER_MM) < 0.1 for length in horizontals(proof.pdf))
    assert any(abs(length - 4 * 72) < 0.1 for length in horizontals(american.pdf))
    assert "This line is exactly 4 inches (101.6 mm) long" in american.text


def test_letters_stand_where_the_layout_puts_them(proof):
    """The first letter of the first line: the placing of its glyph, in points from the plate."""
    line = proof.snapshot["plate"]["lines"][0]
    first, baseline = float(line["places"].split()[0]), float(line["baseline"])
    left, top = corner_of_plate(proof.pdf, 180, 90)
    x, y = left + first * POINTS_PER_MM, top - baseline * POINTS_PER_MM
    assert any(
        abs(at[0] - x) < 0.1 and abs(at[1] - y) < 0.1 for at in letter_places(proof.pdf.pages[1])
    )


@pytest.mark.parametrize(("which", "size"), [("proof", (595, 842)), ("american", (612, 792))])
def test_it_is_on_the_building_s_paper(which, size, request):
    assert page_sizes(request.getfixturevalue(which).file) == {size}


def test_a_wide_plate_turns_its_sheet(large):
    assert page_sizes(large.file) == {(595, 842), (842, 595)}


def test_it_has_a_language_a_title_and_words_for_its_drawings(proof):
    assert str(proof.pdf.Root.Lang) == "en-GB"
    assert "Inscription proof IP-" in str(proof.pdf.docinfo.Title)
    figures = [each.alt for each in structure(proof.file) if each.kind == "Figure"]
    assert figures[0].startswith(
        "The plate, 180 by 90 mm, drawn at true size. Line 1: To the Glory"
    )
    assert figures[1] == "A line of exactly 100 mm"


def test_it_says_all_that_is_to_be_read_and_approved(proof):
    for said in (
        "Brass",
        "180 mm × 90 mm",
        "6 mm (about 1/4",
        "4 × soldered tab to lead came",
        "EDITH MARY TOLLIVER Name 3",
        "3rd March 1872 Date 5",
        "With what authority: family, donor, owner of the memorial",
        "makes this approval void",
        "Not to be engraved before it is approved.",
    ):
        assert said in proof.text, said


def test_what_does_not_fit_is_said_in_the_building_s_units(printing):
    printed = printing(
        "narrow", building={"units": "inch"}, **sized(width="100", height="60", letter_height="8")
    )
    assert printed.snapshot["remarks"][0].startswith("Line 1 is ")
    assert "mm (" in printed.snapshot["remarks"][0]
    assert printed.snapshot["remarks"][0] in printed.text.replace("”", '"')


def test_lines_keep_their_spaces_and_letters_of_no_typeface_are_named(printing):
    words = "  AVA   LOWE\n\n🌟 1931"
    printed = printing("odd", inscription=words, memorial_of="Ava Low", donors="")
    assert printed.snapshot["content"]["inscription"] == words.split("\n")
    assert printed.snapshot["plate"]["lines"][2]["letters"] == "□\u00a01931"
    assert "U+1F31F GLOWING STAR is in no typeface here" in printed.text
    assert "“In memory of” in the register has Low; the plate has LOWE in line 1." in printed.text


def test_the_same_proof_is_printed_with_the_same_bytes(proof):
    again = print_draft(Draft(proof.snapshot, proof_html(proof.snapshot), {}))
    assert again.pdf == proof.printed.pdf
