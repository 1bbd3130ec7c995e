"""One set of pages written twice: as PDF/UA-1 for reading, and as PDF/A-3a for keeping.

Laying out and drawing are what takes the time. The two files hold the same pages, tags, fonts and
attachments; what they say of themselves differs. All that PDF/A-3 asks for besides (the colour
profile, the associated files) may stand in a PDF/UA file as well.
"""

from functools import partial
from pathlib import Path
from typing import Any, Final

import pydyf
from weasyprint import Attachment, Document

from sites.printing.tags import mend

PDF_VERSION: Final = b"1.7"


def print_both(
    document: Document, reading: Path, archival: Path, attachments: list[Attachment]
) -> None:
    """Write the document to `reading` and to `keeping`, drawn once."""
    document.write_pdf(
        archival,
        finisher=partial(_finish, reading=reading),
        pdf_variant="pdf/a-3a",
        pdf_tags=True,
        attachments=attachments,
    )


def _finish(document: Document, pdf: pydyf.PDF, *, reading: Path) -> None:
    """Write the reading copy, then leave everything as the keeping copy needs it."""
    mend(document, pdf)
    _name_each_file_once(pdf)
    described = _object(pdf, pdf.catalog["Metadata"])
    as_archive, as_accessible = described.stream, _accessible(document, described)
    described.stream = as_accessible
    objects = len(pdf.objects)
    with reading.open("wb") as file:
        pdf.write(file, PDF_VERSION, identifier=False, compress=True)
    # Writing adds what every file has of its own (the tables of where things stand).
    del pdf.objects[objects:]
    pdf.current_position = 0
    described.stream = as_archive


def _accessible(document: Document, described: pydyf.Stream) -> list[bytes]:
    """The metadata of PDF/A with the statement of PDF/UA in the place of its own."""
    meta = document.metadata
    ours = meta.generate_rdf_metadata("ua", 1, None)
    theirs = meta.generate_rdf_metadata("a", 3, "A")
    return [part.replace(theirs, ours) for part in described.stream]


def _name_each_file_once(pdf: pydyf.PDF) -> None:
    """The library lists an attachment among the associated files twice."""
    if files := pdf.catalog.get("AF"):
        pdf.catalog["AF"] = pydyf.Array(dict.fromkeys(files))


def _object(pdf: pydyf.PDF, reference: bytes) -> Any:
    return pdf.objects[int(reference.split()[0])]
