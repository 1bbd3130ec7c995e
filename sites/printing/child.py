"""The child's side of printing, run by `sites.limited_child` and imported nowhere."""

import json
import logging
import sys
from datetime import datetime
from pathlib import Path
from typing import Any

from weasyprint import HTML, Attachment

from sites.printing.archival import print_both
from sites.printing.fetcher import GivenFilesFetcher
from sites.printing.tags import mend

# A warning that means a wrong document, not a matter of style.
GRAVE_WARNINGS = (".notdef glyph", "Unknown image mode", "cannot be loaded")


class Ear(logging.Handler):
    """Collects what the layout library says: errors apart from remarks."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.errors: list[str] = []
        self.remarks: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        text = record.getMessage()
        grave = record.levelno >= logging.ERROR or any(word in text for word in GRAVE_WARNINGS)
        (self.errors if grave else self.remarks).append(text)


def main(folder: Path) -> None:
    """Print the document in `folder`: leaves `document.pdf` and `told.json` there.

    Where the order asks for a copy for keeping, `keeping.pdf` too: laid out and drawn once.
    """
    order = json.loads((folder / "order.json").read_text(encoding="utf-8"))
    ear = Ear()
    logging.getLogger("weasyprint").addHandler(ear)
    fetcher = GivenFilesFetcher({url: Path(path) for url, path in order["files"].items()})
    pages = _print(folder, fetcher, order)
    # A file that could not be fetched is a fault however mildly the library speaks of it.
    unspoken = [url for url in fetcher.refused if not any(url in text for text in ear.errors)]
    told = {
        "pages": pages,
        "errors": ear.errors + unspoken,
        "remarks": ear.remarks,
        "refused": fetcher.refused,
    }
    (folder / "told.json").write_text(json.dumps(told), encoding="utf-8")


def _print(folder: Path, fetcher: GivenFilesFetcher, order: dict[str, Any]) -> int:
    html = HTML(
        string=(folder / "document.html").read_text(encoding="utf-8"),
        base_url="document:",
        url_fetcher=fetcher,
    )
    document = html.render(cache=folder / "images")
    attachments = _attachments(folder, order["attachments"], document.metadata.created)
    if order["archival"]:
        print_both(document, folder / "document.pdf", folder / "archival.pdf", attachments)
    else:
        document.write_pdf(
            folder / "document.pdf",
            finisher=mend,
            pdf_variant="pdf/ua-1",
            pdf_tags=True,
            attachments=attachments,
        )
    return len(document.pages)


def _attachments(folder: Path, given: list[dict[str, str]], dated: str) -> list[Attachment]:
    """What goes inside the file, dated as the document is."""
    return [
        Attachment(
            filename=folder / each["file"],
            name=each["name"],
            description=each["description"],
            created=datetime.fromisoformat(dated),
            modified=datetime.fromisoformat(dated),
            relationship=each["relationship"],
        )
        for each in given
    ]


if __name__ == "__main__":
    main(Path(sys.argv[1]))
