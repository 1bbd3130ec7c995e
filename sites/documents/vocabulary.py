"""The cautions and the glossary that documents print, from the project's reference files."""

import re
import tomllib
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

VOCABULARY = Path(__file__).resolve().parents[2] / "fixtures" / "vocabulary"

Entry = dict[str, str]


@cache
def _read(name: str) -> dict[str, Any]:
    return tomllib.loads((VOCABULARY / name).read_text(encoding="utf-8"))


def caution_codes_known() -> frozenset[str]:
    """Return the code of every caution of the reference file."""
    return frozenset(caution["code"] for caution in _read("cautions.toml")["caution"])


def cautions_for(codes: Iterable[str]) -> list[Entry]:
    """Return the cautions of `codes`, each once, in the order of the reference file.

    Each has code, title, text and source. Raises KeyError for a code that is not there.
    """
    wanted = set(codes)
    found = [dict(caution) for caution in _read("cautions.toml")["caution"]]
    if unknown := wanted - {caution["code"] for caution in found}:
        raise KeyError(f"no caution has the code {', '.join(sorted(unknown))}")
    return [caution for caution in found if caution["code"] in wanted]


def terms_in(data: Any) -> list[Entry]:
    """Return the glossary's terms that stand in any text of plain data, by alphabet.

    Each has term and meaning. A term counts when it, its plural or another form of it is
    there as whole words, in capitals or not.
    """
    texts = "\n".join(_texts(data)).lower()
    return [
        {"term": entry["term"], "meaning": entry["meaning"]}
        for entry in sorted(_read("glossary.toml")["term"], key=lambda entry: entry["term"].lower())
        if _pattern((entry["term"], *entry["also"])).search(texts)
    ]


@cache
def _pattern(forms: tuple[str, ...]) -> re.Pattern[str]:
    either = "|".join(re.escape(form.lower()) for form in sorted(forms, key=len, reverse=True))
    return re.compile(rf"(?<!\w)(?:{either})s?(?!\w)")


def _texts(data: Any) -> Iterator[str]:
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        for value in data.values():
            yield from _texts(value)
    elif isinstance(data, list | tuple):
        for value in data:
            yield from _texts(value)
