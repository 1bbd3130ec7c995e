"""The parent's side of printing: hand the work to a child process, and read what came of it.

The layout library changes Pillow for the whole process that imports it, and keeps the memory of
a long report: it is imported in the child alone, which has a limit of memory and of time.
"""

import json
import logging
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from django.conf import settings

from sites.errors import PrintError
from sites.fonts import print_fonts
from sites.limited_child import PROJECT, ChildStoppedError, ChildTooSlowError, run_limited
from sites.printing.troubles import in_plain_words

logger = logging.getLogger(__name__)

# Only the fonts that come with the program: the machine's own would make its bytes differ.
FONT_CONFIGURATION = (
    '<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">'
    "<fontconfig><cachedir>{cache}</cachedir></fontconfig>"
)


@dataclass(frozen=True)
class Printed:
    """A printed document: its bytes, its number of pages, and what the printer remarked."""

    pdf: bytes
    pages: int
    remarks: tuple[str, ...] = field(default=(), compare=False)
    archival: bytes = b""


@dataclass(frozen=True)
class Attachment:
    """A file carried inside a document: `relationship` as ISO 19005-3 names it."""

    name: str
    data: bytes
    description: str
    relationship: str = "Source"


def print_pdf(
    html: str,
    *,
    images: Mapping[str, Path] | None = None,
    attachments: Sequence[Attachment] = (),
    archival: bool = False,
) -> Printed:
    """Return `html` as a PDF/UA-1 file. The same input gives the same bytes.

    html: a whole page; its `<meta name="dcterms.created">` is the date the file bears. It may
        name `style:` files of static/css/documents, and the photographs given in `images`.
    images: `photo:<key>/<size>` to a local JPEG file.
    inside: files kept inside the document, such as the data it was made from.
    keeping: whether to return the same pages as PDF/A-3a too, at the cost of one more writing.

    Raises PrintError, in the user's words, when anything at all could not be printed as meant.
    """
    with tempfile.TemporaryDirectory(prefix="print-") as name:
        folder = Path(name)
        _lay_out_order(folder, html, images or {}, attachments, archival)
        _run_child(folder)
        return _read_result(folder, html)


def _lay_out_order(
    folder: Path,
    html: str,
    images: Mapping[str, Path],
    attachments: Sequence[Attachment],
    archival: bool,
) -> None:
    (folder / "document.html").write_text(html, encoding="utf-8")
    (folder / "fonts.conf").write_text(FONT_CONFIGURATION.format(cache=folder / "font-cache"))
    order = {
        "files": {url: str(path) for url, path in (_house_files() | dict(images)).items()},
        # By name: a PDF's tree of names is sorted, and the library writes them as they come.
        "attachments": [
            _attachment(folder, place, each)
            for place, each in enumerate(sorted(attachments, key=lambda each: each.name))
        ],
        "archival": archival,
    }
    (folder / "order.json").write_text(json.dumps(order), encoding="utf-8")


def _attachment(folder: Path, place: int, given: Attachment) -> dict[str, str]:
    """Lay one file down under a name of ours; its own name is only told."""
    file = f"inside-{place}"
    (folder / file).write_bytes(given.data)
    return {
        "file": file,
        "name": given.name,
        "description": given.description,
        "relationship": given.relationship,
    }


def _house_files() -> dict[str, Path]:
    """What every document may name: our style sheets with their drawings, and our fonts."""
    styles = PROJECT / "static" / "css" / "documents"
    fonts = print_fonts(settings.BUILD_DIR / "fonts")
    return {f"style:{file.name}": file for file in sorted(styles.iterdir())} | {
        f"font:{file.stem}": file for file in fonts
    }


def _run_child(folder: Path) -> None:
    seconds = settings.PRINT_TIMEOUT_SECONDS
    try:
        run_limited(
            "sites.printing.child",
            str(folder),
            memory_mib=settings.PRINT_MEMORY_MIB,
            seconds=seconds,
            environment={
                "FONTCONFIG_FILE": str(folder / "fonts.conf"),
                "TMPDIR": str(folder),
                # Both are for equal bytes: the order of sets, and the dates inside embedded fonts.
                "PYTHONHASHSEED": "0",
                "SOURCE_DATE_EPOCH": "0",
            },
        )
    except ChildTooSlowError as problem:
        raise PrintError(
            f"Printing took longer than the {seconds} seconds allowed and was stopped. Whoever "
            "runs this program can allow more (PRINT_TIMEOUT_SECONDS)."
        ) from problem
    except ChildStoppedError as problem:
        logger.warning("printing stopped: %s", problem)
        raise PrintError(
            "Printing stopped before the document was whole. The usual reason is a document that "
            f"needs more than the {settings.PRINT_MEMORY_MIB} MiB of memory allowed: whoever runs "
            "this program can allow more (PRINT_MEMORY_MIB), and the log has the details."
        ) from problem


def _read_result(folder: Path, html: str) -> Printed:
    told: dict[str, Any] = json.loads((folder / "told.json").read_text(encoding="utf-8"))
    if told["errors"]:
        raise PrintError(in_plain_words(told["errors"], told["refused"], html))
    kept = folder / "archival.pdf"
    return Printed(
        pdf=(folder / "document.pdf").read_bytes(),
        pages=told["pages"],
        remarks=tuple(told["remarks"]),
        archival=kept.read_bytes() if kept.exists() else b"",
    )
