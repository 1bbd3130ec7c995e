"""The child's side of printing: `python -m sites.printing.child <folder>`, imported nowhere."""

import json
import logging
import signal
import sys
from datetime import datetime
from pathlib import Path

from weasyprint import HTML, Attachment

from sites.printing.fetcher import GivenFilesFetcher
from sites.printing.tags import mend

try:
    import resource
except ImportError:  # Windows has no such limits; the time limit still holds.
    resource = None  # type: ignore[assignment]

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
    """Print the document in `folder`: leaves `document.pdf` and `told.json` there."""
    order = json.loads((folder / "order.json").read_text(encoding="utf-8"))
    _limit(order["memory_mib"], order["seconds"])
    ear = Ear()
    logging.getLogger("weasyprint").addHandler(ear)
    fetcher = GivenFilesFetcher({url: Path(path) for url, path in order["files"].items()})
    pages = _print(folder, fetcher, order["attachment_name"])
    # A file that could not be fetched is a fault however mildly the library speaks of it.
    unspoken = [url for url in fetcher.refused if not any(url in text for text in ear.errors)]
    told = {
        "pages": pages,
        "errors": ear.errors + unspoken,
        "remarks": ear.remarks,
        "refused": fetcher.refused,
    }
    (folder / "told.json").write_text(json.dumps(told), encoding="utf-8")


def _limit(memory_mib: int, seconds: int) -> None:
    if resource is not None:
        most = memory_mib * 1024 * 1024
        resource.setrlimit(resource.RLIMIT_AS, (most, most))
    # Should the parent be killed, nobody else would end us.
    if hasattr(signal, "alarm"):
        signal.alarm(seconds + 5)


def _print(folder: Path, fetcher: GivenFilesFetcher, attachment_name: str) -> int:
    html = HTML(
        string=(folder / "document.html").read_text(encoding="utf-8"),
        base_url="document:",
        url_fetcher=fetcher,
    )
    document = html.render(cache=folder / "images")
    document.write_pdf(
        folder / "document.pdf",
        finisher=mend,
        pdf_variant="pdf/ua-1",
        pdf_tags=True,
        attachments=_attachments(folder, attachment_name, document.metadata.created),
    )
    return len(document.pages)


def _attachments(folder: Path, name: str, dated: str) -> list[Attachment]:
    """The data the document was made from, dated as the document is."""
    source = folder / "attachment"
    if not source.exists():
        return []
    day = datetime.fromisoformat(dated)
    return [
        Attachment(
            filename=source,
            name=name,
            description="The data this document was printed from, as JSON",
            created=day,
            modified=day,
            relationship="Source",
        )
    ]


if __name__ == "__main__":
    main(Path(sys.argv[1]))
