"""The copy for keeping: PDF/A-3a beside PDF/UA-1, of the same pages, printed at one go."""

from io import BytesIO
from xml.etree import ElementTree

import pikepdf
import pytest
from PIL import Image

from sites.printing import Attachment, Printed, print_pdf
from tests.sites.test_printing import PHOTOGRAPH, PICTURE, page

INSIDE = [
    Attachment("snapshot.json", b'{"a":1}', "The data", "Source"),
    Attachment("schema.json", b'{"type":"object"}', "What the data holds", "Supplement"),
]
BODY = (
    f'<h1>A try</h1><p><a href="#part" title="Go to the part">A link</a></p>{PICTURE}'
    '<h2 id="part">A part</h2><table><thead><tr><th scope="col">A</th><th scope="col">B</th></tr>'
    "</thead><tbody><tr><td>1</td><td>2</td></tr></tbody></table>"
)


@pytest.fixture(scope="module")
def printed(tmp_path_factory) -> Printed:
    file = tmp_path_factory.mktemp("kept") / "photograph.jpg"
    Image.effect_noise((320, 240), 60).convert("RGB").save(file, quality=90)
    return print_pdf(page(BODY), images={PHOTOGRAPH: file}, attachments=INSIDE, archival=True)


@pytest.fixture(scope="module")
def kept(printed) -> pikepdf.Pdf:
    return pikepdf.open(BytesIO(printed.archival))


@pytest.fixture(scope="module")
def read(printed) -> pikepdf.Pdf:
    return pikepdf.open(BytesIO(printed.pdf))


@pytest.mark.published(
    "ISO 19005-3:2012 (PDF/A-3), 6.6.4: version and conformance in the XMP (clause from memory)"
)
def test_each_copy_says_what_it_is_and_not_what_it_is_not(read, kept):
    with kept.open_metadata() as metadata:
        assert (metadata["pdfaid:part"], metadata["pdfaid:conformance"]) == ("3", "A")
        assert "pdfuaid:part" not in metadata
    with read.open_metadata() as metadata:
        assert metadata["pdfuaid:part"] == "1"
        assert "pdfaid:part" not in metadata
    for pdf in (read, kept):
        ElementTree.fromstring(pdf.Root.Metadata.read_bytes())
        assert bool(pdf.Root.MarkInfo.Marked)
        assert str(pdf.Root.Lang) == "en"


@pytest.mark.published(
    "ISO 19005-3:2012 (PDF/A-3), 6.8: each embedded file and its relationship (clause from memory)"
)
def test_each_file_inside_has_its_relationship_and_is_an_associated_file_once(kept):
    relationships = {
        str(each.UF if "/UF" in each else each.F): str(each.AFRelationship) for each in kept.Root.AF
    }
    assert relationships == {"snapshot.json": "/Source", "schema.json": "/Supplement"}
    assert len(kept.Root.AF) == 2
    for each in INSIDE:
        file = kept.attachments[each.name].get_file()
        assert file.read_bytes() == each.data
        assert file.mime_type


@pytest.mark.published(
    "ISO 19005-3:2012 (PDF/A-3), 6.1.3, 6.2.4, 6.2.8, 6.2.11, 6.3: no encryption, an output "
    "intent, no interpolation, fonts inside, annotations that print (clauses from memory)"
)
def test_it_holds_all_it_needs_to_be_shown(kept):
    assert not kept.is_encrypted
    assert "/ID" in kept.trailer
    (intent,) = kept.Root.OutputIntents
    assert str(intent.S) == "/GTS_PDFA1"
    assert int(intent.DestOutputProfile.N) == 3
    fonts = [each for each in kept.objects if of_type(each, "/FontDescriptor")]
    assert fonts
    assert all({"/FontFile", "/FontFile2", "/FontFile3"} & set(each.keys()) for each in fonts)
    for each in kept.objects:
        if isinstance(each, pikepdf.Stream):
            assert not bool(each.get("/Interpolate", False))
            assert "/LZWDecode" not in str(each.get("/Filter", ""))
    notes = [note for each in kept.pages for note in each.get("/Annots", [])]
    assert notes
    assert all(int(note.F) & 4 for note in notes)


@pytest.mark.published("ISO 19005-3:2012 (PDF/A-3), 6.6.3: dates agree (clause from memory)")
def test_the_two_places_that_tell_the_title_and_date_agree(kept):
    with kept.open_metadata() as metadata:
        assert metadata["dc:title"] == str(kept.docinfo.Title) == "A try"
        assert metadata["xmp:CreateDate"] == "2026-03-01"
        assert str(kept.docinfo.CreationDate).startswith("D:20260301")


def test_both_copies_have_the_same_pages_and_tags(read, kept):
    assert len(read.pages) == len(kept.pages)
    for one, other in zip(read.pages, kept.pages, strict=True):
        assert one.Contents.read_bytes() == other.Contents.read_bytes()
    assert tags(read.Root.StructTreeRoot) == tags(kept.Root.StructTreeRoot)


def test_the_reading_copy_is_whole_beside_the_other(printed):
    """Neither file holds what the other's writing left behind."""
    read, kept = (pikepdf.open(BytesIO(each)) for each in (printed.pdf, printed.archival))
    assert len(read.objects) == len(kept.objects)
    assert read.check_pdf_syntax() == kept.check_pdf_syntax() == []


def test_the_same_input_gives_the_same_bytes():
    one, two = (print_pdf(page("<h1>A</h1>"), attachments=INSIDE, archival=True) for _ in range(2))
    assert (one.pdf, one.archival) == (two.pdf, two.archival)


def test_without_being_asked_there_is_none():
    assert print_pdf(page("<h1>A try</h1>")).archival == b""


def of_type(thing: pikepdf.Object, name: str) -> bool:
    return isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == name


def tags(element: pikepdf.Object) -> list:
    children = element.get("/K", [])
    below = children if isinstance(children, pikepdf.Array) else [children]
    found = [tags(child) for child in below if isinstance(child, pikepdf.Dictionary)]
    return [str(element.get("/S", "")), found]
