"""What an approval stands for, where a plate fits on paper, and the plate that was delivered."""

from decimal import Decimal

import pytest

from sites.compute.inscription.delivered import compare
from sites.compute.inscription.paper import PAPERS_MM, PaperError, sheet_for
from sites.compute.inscription.proof_content import changes, content

WORDS = {
    "material": "brass",
    "lettering": "upright",
    "alignment": "centred",
    "memorial_of": "Ava",
    "donors": "",
}


def of(lines=("AVA", "LOWE"), pitch="1.75", lengths=None, **words):
    lengths = {"width": "180", "height": "90", "letter": "6"} | (lengths or {})
    return content(
        lines=lines,
        lengths_mm={name: Decimal(mm) for name, mm in lengths.items() if mm},
        words=WORDS | words,
        pitch=Decimal(pitch),
    )


def told(before, after):
    return [change.words for change in changes(before, after)]


def test_equal_contents_have_no_changes_however_their_figures_are_written():
    assert of(lengths={"width": "180.000000"}) == of(lengths={"width": "180"})
    assert told(of(), of()) == []


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"lines": ("AVA", "LOW")}, ["line 2: “LOWE” → “LOW”"]),
        (
            {"lines": ("AVA", "", "LOWE")},
            ["line 2: “LOWE” → an empty line", "line 3: nothing → “LOWE”"],
        ),
        ({"lines": ("AVA",)}, ["line 2: “LOWE” → nothing"]),
        ({"lengths": {"letter": "7"}}, ["letter height: 6 mm → 7 mm"]),
        ({"lengths": {"thickness": "3"}}, ["thickness: nothing → 3 mm"]),
        ({"lengths": {"width": ""}}, ["width: 180 mm → nothing"]),
        ({"material": "bronze"}, ["material: brass → bronze"]),
        ({"lettering": "bold"}, ["lettering: upright → bold"]),
        ({"alignment": "left"}, ["lines: centred → left"]),
        ({"memorial_of": "Eva"}, ["in memory of: Ava → Eva"]),
        ({"donors": "Her sons"}, ["given by: nothing → Her sons"]),
        ({"pitch": "2"}, ["distance of lines, in letter heights: 1.75 → 2"]),
    ],
)
def test_each_change_is_told_with_what_was_and_what_is(changed, words):
    assert told(of(), of(**changed)) == words


def test_a_part_another_version_of_the_program_kept_is_a_change_too():
    assert told(of() | {"colour": "gilt"}, of()) == ["colour: gilt → nothing"]


@pytest.mark.published("ISO 216 (A4) and ANSI/ASME Y14.1 (size A, 8 1/2 by 11 in)")
def test_papers_are_as_large_as_their_standards_say():
    assert PAPERS_MM["A4"] == (210, 297)
    assert PAPERS_MM["Letter"] == pytest.approx((8.5 * 25.4, 11 * 25.4))


@pytest.mark.parametrize(
    ("size", "scale", "landscape"),
    [
        ((180, 90), 1, False),
        ((182, 197), 1, False),
        ((183, 90), 1, True),
        ((269, 110), 1, True),
        ((270, 110), 2, False),
        ((600, 300), 5, False),
        ((3000, 300), 20, False),
    ],
)
def test_a_plate_is_printed_as_large_as_the_paper_lets_it(size, scale, landscape):
    sheet = sheet_for(*size, "A4")
    assert (sheet.scale, sheet.landscape) == (scale, landscape)
    assert sheet.true_size == (scale == 1)


def test_a_plate_no_paper_can_show_is_refused_by_its_size():
    with pytest.raises(PaperError, match="A plate of 9000 by 300 mm is too large"):
        sheet_for(9000, 300, "A4")


def test_a_delivered_plate_that_is_as_approved_has_no_difference():
    assert all(line.same for line in compare(["AVA", "", "LOWE"], ["AVA", "", "LOWE"]))


def test_a_delivered_letter_that_differs_is_pointed_at():
    (line,) = compare(["TOLLIVER 1931"], ["TOLIVER 1931"])
    assert not line.same
    assert [(piece.text, piece.same) for piece in line.approved_pieces if not piece.same] == [
        ("L", False)
    ]
    assert "".join(piece.text for piece in line.delivered_pieces) == "TOLIVER 1931"


def test_capitals_accents_and_lines_count_in_a_delivered_plate():
    assert [line.same for line in compare(["José", "Ava"], ["Jose", "ava", "x"])] == [False] * 3
    assert compare(["A"], [])[0].delivered is None
