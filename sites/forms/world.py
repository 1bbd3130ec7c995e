"""Choices the world has agreed on: countries, currencies, time zones, languages."""

import zoneinfo
from functools import cache

from babel import Locale
from babel.numbers import list_currencies
from django.utils.translation import get_language

Choices = list[tuple[str, str]]


def countries() -> Choices:
    """Every country's two letters (ISO 3166) and name."""
    names = _locale(get_language() or "en").territories
    listed = [(code, name) for code, name in names.items() if len(code) == 2 and code.isalpha()]
    return sorted(listed, key=lambda choice: choice[1])


def currencies() -> Choices:
    """Every currency's three letters (ISO 4217) with its name."""
    language = get_language() or "en"
    names = _locale(language).currencies
    return [(code, f"{code} – {names[code]}") for code in sorted(_money()) if code in names]


def time_zones() -> Choices:
    """Every named time zone of the world's list."""
    names = sorted(zoneinfo.available_timezones() - {"localtime", "Factory"})
    return [(name, name.replace("_", " ")) for name in names if "/" in name or name == "UTC"]


def languages() -> Choices:
    """Every language with a two-letter code (ISO 639-1) and its name."""
    names = _locale(get_language() or "en").languages
    listed = [(code, name) for code, name in names.items() if len(code) == 2]
    return sorted(listed, key=lambda choice: choice[1])


def with_present(choices: Choices, present: str) -> Choices:
    """The choices, and the one a record already has if it is not among them."""
    if not present or any(code == present for code, _ in choices):
        return choices
    return [(present, present), *choices]


@cache
def _locale(language: str) -> Locale:
    return Locale.parse(language, sep="-")


@cache
def _money() -> frozenset[str]:
    return frozenset(list_currencies())
