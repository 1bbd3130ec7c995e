"""Reading a printed document back in tests: its pages, and its tag tree with its text."""

import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from outloud.model import Document
from outloud.rules._common import element_text


@dataclass(frozen=True)
class Element:
    """One element of the tag tree, in reading order. `text` includes what is below it."""

    kind: str
    text: str
    alt: str
    depth: int
    page: int


@contextmanager
def _opened(file: Path) -> Iterator[Document]:
    document = Document(str(file))
    try:
        yield document
    finally:
        document.close()


def structure(file: Path) -> list[Element]:
    """Return every element of the tag tree in reading order."""
    with _opened(file) as document:
        return [
            Element(
                kind=each.type,
                text=plain(element_text(document, each)),
                alt=each.alt or "",
                depth=each.depth,
                page=(each.page or 0) + 1,
            )
            for each in document.elements
        ]


def page_lines(file: Path) -> list[list[str]]:
    """Return the lines of each page, running heads and feet included, from top to bottom."""
    with _opened(file) as document:
        return [
            [plain(line.text) for line in document.content(page.index).lines]
            for page in document.pages
        ]


def page_texts(file: Path) -> list[str]:
    """Return the text of each page on one line."""
    return [" ".join(lines) for lines in page_lines(file)]


def page_sizes(file: Path) -> set[tuple[int, int]]:
    """Return the sizes of the pages in whole points."""
    with _opened(file) as document:
        return {(round(page.width), round(page.height)) for page in document.pages}


def reach(file: Path) -> float:
    """Return how far to the right any text goes, as a share of its page's width."""
    with _opened(file) as document:
        return max(
            line.bbox[2] / page.width
            for page in document.pages
            for line in document.content(page.index).lines
        )


def plain(text: str) -> str:
    """Text with single spaces, and letters instead of ligatures."""
    return " ".join(unicodedata.normalize("NFKC", text).split())
