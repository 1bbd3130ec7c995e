"""An inscription on its plate: every letter where the typeface puts it, no line broken anew."""

from decimal import Decimal
from io import BytesIO
from itertools import pairwise

import pikepdf
import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from sites.compute.inscription.face import read_face
from sites.compute.inscription.layout import drawn, lay_out, lines_of, width_em
from sites.fonts import FACES, font_bytes
from sites.printing import print_pdf
from tests.sites.inscription.faces import faces, spec

WORDS = "To the Glory of God\nIN MEMORY OF AVA TOLLIVER\n\n  1872 – 1931"


def laid_out(text, **changed):
    return lay_out(spec(text, **changed), faces(text))


def test_lines_stand_as_written_with_their_spaces_and_blank_lines():
    layout = laid_out(WORDS)
    assert [line.text for line in layout.lines] == WORDS.split("\n")
    assert layout.lines[3].letters == "\u00a0\u00a01872\u00a0–\u00a01931"
    assert [len(line.places_mm) for line in layout.lines] == [len(line) for line in lines_of(WORDS)]


@pytest.mark.parametrize("own", ["firago-regular", "firago-italic", "firago-bold"])
@pytest.mark.published(
    "OpenType specification, OS/2 table: sCapHeight is the height of a flat capital"
)
def test_a_capital_is_as_high_as_the_letters_are_asked_to_be(own):
    text = "HEH"
    layout = lay_out(spec(text, letter_mm=8.0), faces(text, own))
    with TTFont(BytesIO(font_bytes(FACES[own]))) as font:
        outline = font["glyf"][font.getBestCmap()[ord("H")]]
        high = outline.yMax / font["head"].unitsPerEm
    assert layout.font_mm * high == pytest.approx(8.0, abs=1e-6)
    assert layout.block_mm == pytest.approx(8.0, abs=1e-6)


def test_lines_follow_each_other_at_the_pitch_and_the_block_stands_in_the_middle():
    layout = laid_out("HHH\nHHH\n\nHHH")
    baselines = [line.baseline_mm for line in layout.lines]
    assert [b - a for a, b in pairwise(baselines)] == pytest.approx([14.0, 14.0, 14.0])
    top, foot = baselines[0] - 8.0, 100.0 - baselines[-1]
    assert top == pytest.approx(foot)
    assert layout.block_mm == pytest.approx(3 * 14.0 + 8.0)


def test_what_hangs_below_a_line_counts():
    assert laid_out("Hg").block_mm > laid_out("HH").block_mm
    assert laid_out("ÉH").block_mm > laid_out("EH").block_mm


def test_a_centred_line_has_as_much_room_on_either_side():
    line = laid_out("TOLLIVER").lines[0]
    assert line.places_mm[0] == pytest.approx(200.0 - line.places_mm[0] - line.width_mm)


def test_a_line_from_the_left_begins_at_the_margin():
    layout = laid_out(WORDS, alignment="left")
    assert [line.places_mm[0] for line in layout.lines if line.text] == pytest.approx([10.0] * 3)


def test_spaces_before_a_line_move_it():
    plain, moved = laid_out("AVA", alignment="left"), laid_out("  AVA", alignment="left")
    assert moved.lines[0].places_mm[2] > plain.lines[0].places_mm[0]


def test_letters_written_from_the_right_stand_from_the_right():
    places = laid_out("שלום").lines[0].places_mm
    assert list(places) == sorted(places, reverse=True)


@pytest.mark.published("Text shaped by HarfBuzz, as the printer sets it: an independent reading")
@pytest.mark.parametrize(
    "line",
    ["AVATOTAL", "To the Glory of God", "WAVERLEY, TYNE & LYTHAM", "1872 – 1931", "Łódź Ștefan"],
)
def test_a_line_is_as_wide_as_the_printer_sets_it(line, settings):
    """The page is as wide as the line: the printer's own measure of it, at 100 points."""
    html = (
        '<!DOCTYPE html><html lang="en"><head><title>Line</title>'
        '<meta name="dcterms.created" content="2026-01-01">'
        '<link rel="stylesheet" href="style:fonts.css"></head><body>'
        '<p><span style="font: 100pt Text; font-variant-ligatures: none; white-space: pre;'
        f' background: #eee">{line.replace("&", "&amp;")}</span></p></body></html>'
    )
    html = html.replace(
        "</head>", "<style>@page { size: 2000pt 300pt; margin: 20pt }</style></head>"
    )
    printed = print_pdf(html)
    with pikepdf.open(BytesIO(printed.pdf)) as pdf:
        widths = [
            abs(float(each.operands[2])) * 0.75
            for each in pikepdf.parse_content_stream(pdf.pages[0])
            if str(each.operator) == "re"
        ]
    ours = width_em(drawn(line), faces(line)) * 100
    assert any(abs(width - ours) < 0.15 for width in widths), (ours, widths)


def test_too_wide_and_too_high_are_told_with_what_would_fit():
    layout = laid_out(WORDS, width_mm=120.0, height_mm=50.0, margin_mm=8.0)
    assert not layout.fits
    wide = layout.lines[1]
    assert wide.over_mm == pytest.approx(wide.width_mm - 104.0)
    assert layout.over_height_mm == pytest.approx(layout.block_mm - 34.0)
    again = laid_out(
        WORDS,
        width_mm=120.0,
        height_mm=50.0,
        margin_mm=8.0,
        letter_mm=float(layout.greatest_letter_mm),
    )
    assert again.fits
    larger = laid_out(
        WORDS,
        width_mm=120.0,
        height_mm=50.0,
        margin_mm=8.0,
        letter_mm=float(layout.greatest_letter_mm + Decimal("0.1")),
    )
    assert not larger.fits


@given(
    width=st.floats(20, 900),
    height=st.floats(20, 900),
    margin=st.one_of(st.none(), st.floats(1, 30)),
    lines=st.lists(
        st.sampled_from(["AVA TOLLIVER", "y", "", "In memory of", "Á"]), min_size=1, max_size=9
    ),
)
def test_the_greatest_letter_fits_and_a_tenth_more_does_not(width, height, margin, lines):
    text = "\n".join(lines)
    kept = faces(text)

    def fits(letter: Decimal) -> bool:
        return lay_out(
            spec(text, width_mm=width, height_mm=height, margin_mm=margin, letter_mm=float(letter)),
            kept,
        ).fits

    start = lay_out(spec(text, width_mm=width, height_mm=height, margin_mm=margin), kept)
    greatest = start.greatest_letter_mm
    assert greatest == greatest.quantize(Decimal("0.1"))
    if greatest:
        assert fits(greatest)
    if any(line.strip() for line in lines):
        assert not fits(greatest + Decimal("0.1"))


@pytest.mark.parametrize("wrong", ["width_mm", "height_mm", "letter_mm", "pitch"])
def test_nothing_of_no_size_is_laid_out(wrong):
    with pytest.raises(ValueError, match="above zero"):
        laid_out(WORDS, **{wrong: 0.0})


def test_a_letter_the_typeface_lacks_is_measured_from_the_one_that_stands_in():
    text = "✠"
    own, *others = faces(text)
    assert not own.has("✠")
    assert width_em(text, (own, *others)) == next(f for f in others if f.has("✠")).advances["✠"]


def test_kerning_is_of_letters_side_by_side_in_a_line():
    kerns = read_face(font_bytes(FACES["firago-regular"]), "AV\nAT").kerns
    assert set(kerns) == {("A", "V"), ("A", "T")}
    assert all(kern < 0 for kern in kerns.values())
