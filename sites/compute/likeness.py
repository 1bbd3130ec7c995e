"""Words that nearly are others: compared without case and hyphens, and asked about."""

import unicodedata
from collections.abc import Iterable
from difflib import get_close_matches


def alike(text: str) -> str:
    """Return `text` as headings and codes are compared: case and `_`, `-`, `*` do not count."""
    plain = unicodedata.normalize("NFKC", text).casefold()
    return " ".join(plain.replace("_", " ").replace("-", " ").replace("*", " ").split()).strip(" :")


def did_you_mean(text: str, known: Iterable[str], most_named: int = 12) -> str:
    """Return the nearest of `known` as a question, or else a sentence naming what there is."""
    names = list(known)
    by_likeness = {alike(name): name for name in names}
    near = get_close_matches(alike(text), list(by_likeness), n=1, cutoff=0.6)
    if near:
        return f'Did you mean "{by_likeness[near[0]]}"?'
    if not names:
        return "There is none."
    shown = ", ".join(names[:most_named])
    return f"There is: {shown}{', …' if len(names) > most_named else ''}."
