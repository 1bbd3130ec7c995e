"""Printing: what a document may bring in, what it must be, and what is said when it cannot."""

import subprocess
import sys
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest
from PIL import Image

from sites.documents.characters import covered_by_our_fonts
from sites.errors import PrintError
from sites.printing import Attachment, press, print_pdf

pytestmark = pytest.mark.one_engine

PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>A try</title>
<meta name="author" content="Withy Brook Glass"><meta name="dcterms.created" content="2026-03-01">
<meta name="dcterms.modified" content="2026-03-01"><link rel="stylesheet" href="style:fonts.css">
<link rel="stylesheet" href="style:text.css"><link rel="stylesheet" href="style:page.css">
<link rel="stylesheet" href="style:paper-a4.css"></head>
<body data-number="CR-1" data-version="version 1" data-building="St Aldhelm" data-studio="Withy">
{body}</body></html>"""
# Read before the tests put their own in its place.
AS_IN_USE = press.run_limited
PHOTOGRAPH = "photo:0198c1f0-0000-7000-8000-000000000001/800"
PICTURE = f'<p><img src="{PHOTOGRAPH}" alt="Photograph 12: finding 7, nII 3b"></p>'


@pytest.fixture
def started_anew(monkeypatch):
    """The child started as it is in use, not the one the other tests have ready."""
    monkeypatch.setattr(press, "run_limited", AS_IN_USE)


@pytest.fixture
def photograph(tmp_path) -> Path:
    file = tmp_path / "photograph.jpg"
    Image.effect_noise((320, 240), 60).convert("RGB").save(file, quality=90)
    return file


def page(body: str) -> str:
    return PAGE.format(body=body)


def opened(pdf: bytes) -> pikepdf.Pdf:
    return pikepdf.open(BytesIO(pdf))


def test_the_parent_process_never_imports_the_layout_library():
    program = (
        "import sys, django; django.setup(); import sites.printing, condition.services.issuing\n"
        "from PIL import ImageFile\n"
        "assert 'weasyprint' not in sys.modules\n"
        "assert ImageFile.LOAD_TRUNCATED_IMAGES is False\n"
    )
    environment = {"DJANGO_SETTINGS_MODULE": "restoration.settings.test", "PATH": ""}
    root = Path(__file__).resolve().parents[2]
    done = subprocess.run([sys.executable, "-c", program], cwd=root, env=environment, check=False)
    assert done.returncode == 0


def test_a_page_printed_again_gives_the_same_bytes(photograph, monkeypatch):
    html = page(f"<h1>Łódź, Ștefan, Ελληνικά</h1>{PICTURE}")
    first, again = (print_pdf(html, images={PHOTOGRAPH: photograph}) for _ in range(2))
    monkeypatch.setattr(press, "run_limited", AS_IN_USE)
    anew = print_pdf(html, images={PHOTOGRAPH: photograph})
    assert first.pdf == again.pdf == anew.pdf
    assert (first.pages, first.remarks) == (1, ())


def test_a_page_is_dated_as_it_says_and_names_its_author_and_language():
    pdf = opened(print_pdf(page("<h1>A try</h1>")).pdf)
    assert str(pdf.docinfo["/CreationDate"]) == "D:20260301"
    assert str(pdf.docinfo["/Author"]) == "Withy Brook Glass"
    assert str(pdf.Root.Lang) == "en"
    assert str(pdf.docinfo["/Title"]) == "A try"


@pytest.mark.parametrize(
    "address",
    [
        "file:///etc/passwd",
        "http://example.org/a.jpg",
        "https://example.org/a.jpg",
        "data:image/svg+xml,<svg xmlns='http://www.w3.org/2000/svg'/>",
        "/etc/passwd",
        "photo:../../etc/passwd",
        "style:../../../manage.py",
    ],
)
def test_nothing_is_fetched_that_was_not_given(address):
    with pytest.raises(PrintError, match="not printed"):
        print_pdf(page(f'<p><img src="{address}" alt="A picture from outside"></p>'))


def test_a_style_sheet_from_outside_is_refused_too():
    sheet = '<link rel="stylesheet" href="file:///etc/passwd">'
    with pytest.raises(PrintError, match="file:///etc/passwd"):
        print_pdf(page("<h1>A try</h1>").replace("</head>", f"{sheet}</head>"))


def test_a_picture_in_a_style_is_refused_though_the_library_only_warns():
    with pytest.raises(PrintError, match="never fetched"):
        print_pdf(page('<p style="background: url(file:///etc/hostname)">x</p>'))


def test_a_missing_photograph_is_named_by_its_caption(photograph):
    photograph.unlink()
    with pytest.raises(PrintError, match="missing or damaged: Photograph 12: finding 7, nII 3b"):
        print_pdf(page(PICTURE), images={PHOTOGRAPH: photograph})


def test_half_a_photograph_is_not_printed_as_a_whole_one(photograph):
    photograph.write_bytes(photograph.read_bytes()[: photograph.stat().st_size // 2])
    with pytest.raises(PrintError, match="missing or damaged: Photograph 12"):
        print_pdf(page(PICTURE), images={PHOTOGRAPH: photograph})


def test_a_picture_without_a_description_stops_the_document(photograph):
    with pytest.raises(PrintError, match="no description"):
        print_pdf(page(f'<img src="{PHOTOGRAPH}">'), images={PHOTOGRAPH: photograph})


def test_a_broken_drawing_stops_the_document(photograph):
    photograph.with_suffix(".svg").write_text("<svg")
    with pytest.raises(PrintError, match="not printed"):
        print_pdf(page(PICTURE), images={PHOTOGRAPH: photograph.with_suffix(".svg")})


def test_a_character_no_typeface_has_is_named_by_its_code():
    with pytest.raises(PrintError, match=r"U\+1F600"):
        print_pdf(page("<h1>\N{GRINNING FACE}</h1>"))


def test_every_character_we_call_covered_prints_in_every_style():
    text = "".join(f"&#{code}; " for code in sorted(covered_by_our_fonts()) if code > 0x20)
    styles = ("<p>{}</p>", "<p><strong>{}</strong></p>", "<p><i>{}</i></p>")
    assert print_pdf(page("".join(style.format(text) for style in styles))).pages > 5


def test_too_little_memory_is_said_in_words(settings, started_anew):
    settings.PRINT_MEMORY_MIB = 64
    with pytest.raises(PrintError, match=r"64 MiB.*PRINT_MEMORY_MIB"):
        print_pdf(page("<h1>A try</h1>"))


def test_too_little_time_is_said_in_words(settings, started_anew):
    settings.PRINT_TIMEOUT_SECONDS = 0
    with pytest.raises(PrintError, match="PRINT_TIMEOUT_SECONDS"):
        print_pdf(page("<h1>A try</h1>"))


def test_what_a_document_was_made_from_is_kept_inside_it():
    printed = print_pdf(
        page("<h1>A try</h1>"), attachments=[Attachment("a.json", b'{"a":1}', "Data")]
    )
    pdf = opened(printed.pdf)
    kept = pdf.attachments["a.json"]
    assert kept.get_file().read_bytes() == b'{"a":1}'
    assert kept.description == "Data"


def test_only_our_own_typefaces_are_used_and_all_are_embedded():
    pdf = opened(print_pdf(page("<h1>A try ⚠</h1><p><b>bold</b> <i>italic</i> Ω</p>")).pdf)
    names = set()
    for each in pdf.objects:
        if isinstance(each, pikepdf.Dictionary) and each.get("/Type") == "/FontDescriptor":
            names.add(str(each.FontName).split("+")[1].split("-")[0])
            assert "/FontFile2" in each or "/FontFile3" in each
    assert names <= {"Text", "Fallback", "Symbols", "Signs"}


@pytest.mark.published("ISO 14289-1:2014 (PDF/UA-1), 7.5: header cells have a scope")
def test_every_header_cell_says_what_it_heads():
    table = (
        '<table><thead><tr><th scope="col">Opening</th><th scope="col">Seen</th></tr></thead>'
        '<tbody><tr><th scope="row">nII</th><td>Nothing</td></tr></tbody></table>'
    )
    pdf = opened(print_pdf(page(table)).pdf)
    scopes = [str(each.A.Scope) for each in elements(pdf) if each.S == "/TH"]
    assert sorted(scopes) == ["/Column", "/Column", "/Row"]


@pytest.mark.published("ISO 14289-1:2014 (PDF/UA-1), 7.8: running heads are pagination artifacts")
def test_running_heads_and_feet_are_no_content():
    pdf = opened(print_pdf(page("<h1>A try</h1>")).pdf)
    marks = [
        operation.operands
        for operation in pikepdf.parse_content_stream(pdf.pages[0])
        if str(operation.operator) == "BDC"
    ]
    artifacts = [each for each in marks if str(each[0]) == "/Artifact"]
    assert [str(each[1].Type) for each in artifacts] == ["/Pagination"] * 4
    assert len(marks) - len(artifacts) == 1


def test_a_link_is_described_in_words_and_prints():
    body = '<h1 id="a">A</h1><p><a href="#a" title="Go to the top">top</a></p>'
    pdf = opened(print_pdf(page(body)).pdf)
    link = pdf.pages[0].Annots[0]
    assert (str(link.Contents), int(link.F)) == ("Go to the top", 4)


def elements(pdf: pikepdf.Pdf) -> list[pikepdf.Dictionary]:
    return [
        each
        for each in pdf.objects
        if isinstance(each, pikepdf.Dictionary) and each.get("/Type") == "/StructElem"
    ]
