"""What went wrong in printing, in the words of whoever asked for the document."""

import re
from collections.abc import Sequence
from html.parser import HTMLParser

MISSING_GLYPH = re.compile(
    r'\.notdef glyph .*: "(?P<character>.*)" \((?P<code>U\+[0-9A-F]+)\)', re.S
)
MISSING_ALT = re.compile(r'Image "(?P<source>[^"]*)" has no required alt')
MOST_NAMED = 10


def in_plain_words(errors: Sequence[str], refused: Sequence[str], html: str) -> str:
    """Return one text naming each trouble once, photographs by their captions in `html`."""
    pictures = Pictures(html).texts
    told: list[str] = []
    for error in errors:
        words = _one(error, refused, pictures)
        if words not in told:
            told.append(words)
    more = len(told) - MOST_NAMED
    rest = [f"and {more} more like these"] if more > 0 else []
    return "The document was not printed: " + "; ".join(told[:MOST_NAMED] + rest) + "."


def _one(error: str, refused: Sequence[str], pictures: dict[str, str]) -> str:
    if glyph := MISSING_GLYPH.search(error):
        return f"no typeface here has the character {glyph['code']}"
    if alt := MISSING_ALT.search(error):
        return f"a picture ({alt['source']}) has no description for those who cannot see it"
    for url in refused:
        if url in error:
            return _refused(url, pictures)
    return error


def _refused(url: str, pictures: dict[str, str]) -> str:
    if url.startswith("photo:"):
        return f"this photograph's file is missing or damaged: {pictures.get(url) or url}"
    return f"it names something from outside that is never fetched ({url})"


class Pictures(HTMLParser):
    """The description of each picture of a page, by its address."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.texts: dict[str, str] = {}
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = dict(attrs)
        if tag == "img":
            self.texts[named.get("src") or ""] = named.get("alt") or ""
