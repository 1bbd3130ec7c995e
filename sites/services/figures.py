"""The studio's figures: those that are shipped, with its own in place of some."""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, Final

from django.db import transaction

from sites.compute.figures import Figure, Figures, figure_from, with_own
from sites.models import Studio, StudioFigure

SHIPPED: Final = Path(__file__).resolve().parents[2] / "fixtures" / "vocabulary" / "figures.toml"


@dataclass(frozen=True)
class FigureGroup:
    """Figures that belong together, under one heading."""

    key: str
    name: str
    figures: Sequence[Figure]


@cache
def _read() -> dict[str, Any]:
    return tomllib.loads(SHIPPED.read_text(encoding="utf-8"), parse_float=Decimal)


@cache
def shipped_figures() -> Figures:
    """Return the figures of the reference file. Raises FigureError for one that is not whole."""
    return Figures(figure_from(entry) for entry in _read()["figure"])


def figures_of(studio: Studio) -> Figures:
    """Return every figure by key: the studio's own value where it has one, else the shipped."""
    own = {row.key: (row.value, row.source) for row in studio.figures.all()}
    return with_own(shipped_figures().values(), own)


def groups_of(figures: Figures) -> list[FigureGroup]:
    """Return the figures by group, in the order of the reference file."""
    names = {group["key"]: group["name"] for group in _read()["group"]}
    by_group: dict[str, list[Figure]] = {key: [] for key in names}
    for figure in figures.values():
        by_group.setdefault(figure.group, []).append(figure)
    return [
        FigureGroup(key, names.get(key, key.capitalize()), members)
        for key, members in by_group.items()
        if members
    ]


@transaction.atomic
def set_figure(studio: Studio, key: str, value: Decimal, source: str) -> None:
    """Make `value` the studio's own figure. Raises FigureError for a key that is not listed."""
    shipped_figures()[key]
    StudioFigure.objects.update_or_create(
        studio=studio, key=key, defaults={"value": value, "source": source.strip()}
    )


@transaction.atomic
def forget_figure(studio: Studio, key: str) -> None:
    """Go back to the shipped figure."""
    studio.figures.filter(key=key).delete()
