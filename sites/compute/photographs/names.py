"""The surveyor's own name for a file, made safe to show; it never names a file of ours."""

import re
import unicodedata

MAX_NAME_CHARACTERS = 120
NAMELESS = "unnamed photograph"

# Joiners inside a word are part of the spelling of several scripts, and of emoji.
_JOINERS = frozenset("\u200c\u200d")
# Control, format, surrogate, private-use and unassigned characters: NUL, new lines in a name, and
# the marks that turn the reading direction round, so that "gpj.exe" reads "exe.jpg".
_HIDDEN_CATEGORIES = frozenset(("Cc", "Cf", "Cs", "Co", "Cn"))
_MAX_SUFFIX_CHARACTERS = 12


def plain_text(text: str, max_characters: int) -> str:
    """Return `text` on one line in NFC, without hidden characters, cut to `max_characters`."""
    shown = "".join(
        character
        for character in re.sub(r"\s", " ", text)
        if character in _JOINERS or unicodedata.category(character) not in _HIDDEN_CATEGORIES
    )
    one_line = re.sub(" +", " ", unicodedata.normalize("NFC", shown))
    return one_line.strip(" \u200c\u200d")[:max_characters]


def safe_display_name(name: str) -> str:
    """Return what a file was called where it came from, as one line of 120 characters at most.

    Only the last part of a path is kept, hidden and direction-turning characters are dropped, and
    a long name is shortened in its middle so that its ending stays. Returns "unnamed photograph"
    when nothing is left. The result is text for people, still to be escaped where it is shown.
    """
    last_part = re.split(r"[\\/]", name)[-1]
    shown = plain_text(last_part, len(last_part) + 1)
    if not shown.strip(". "):
        return NAMELESS
    if len(shown) <= MAX_NAME_CHARACTERS:
        return shown
    stem, dot, suffix = shown.rpartition(".")
    if not stem or len(suffix) > _MAX_SUFFIX_CHARACTERS:
        return shown[: MAX_NAME_CHARACTERS - 1] + "…"
    ending = f"…{dot}{suffix}"
    return stem[: MAX_NAME_CHARACTERS - len(ending)] + ending
