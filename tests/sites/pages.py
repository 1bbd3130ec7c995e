"""What a browser would send of a page's form: read from the page's own text."""

from html.parser import HTMLParser

BUTTONS = {"submit", "button", "image", "reset", "file"}


class _Boxes(HTMLParser):
    """The boxes of the forms with class "form", as they stand when nobody touches them."""

    def __init__(self) -> None:
        super().__init__()
        self.sent: dict[str, list[str]] = {}
        self.inside = False
        self.select, self.text, self.several = "", "", False

    def handle_starttag(self, tag, attrs):
        at = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.inside = "form" in at.get("class", "").split()
        name = at.get("name", "") if self.inside else ""
        if tag == "input" and name:
            self._input(name, at)
        elif tag == "textarea" and name:
            self.text, self.sent[name] = name, [""]
        elif tag == "select" and name:
            self.select, self.several = name, "multiple" in at
        elif tag == "option" and self.select:
            self._option(at)

    def _input(self, name, at):
        kind = at.get("type", "text")
        ticks = kind in ("checkbox", "radio")
        if kind not in BUTTONS and (not ticks or "checked" in at):
            self.sent.setdefault(name, []).append(at.get("value", "on" if ticks else ""))

    def _option(self, at):
        """The chosen one, or several; the first one where none is and one must be."""
        if self.several:
            if "selected" in at:
                self.sent.setdefault(self.select, []).append(at.get("value", ""))
        elif "selected" in at or self.select not in self.sent:
            self.sent[self.select] = [at.get("value", "")]

    def handle_endtag(self, tag):
        if tag == "form":
            self.inside = False
        elif tag == "select":
            self.select = ""
        elif tag == "textarea":
            self.text = ""

    def handle_data(self, data):
        if self.text:
            # The line end right after the tag is no part of the words.
            words = data.removeprefix("\n") if not self.sent[self.text][0] else data
            self.sent[self.text][0] += words


def boxes(response) -> dict[str, list[str]]:
    """Return what the form on a page would send if nobody touched it."""
    reader = _Boxes()
    reader.feed(response.content.decode())
    reader.sent.pop("csrfmiddlewaretoken", None)
    return reader.sent
