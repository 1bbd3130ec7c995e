"""What the demonstration adds after its folder: marks, terms, wind, notices, a safety sheet."""

import tomllib
from typing import Any, cast

from django.conf import settings

from condition.documents.make_safe.build import NoticeWords
from condition.models import (
    Danger,
    Finding,
    FindingMark,
    ReportTerms,
    SafetySheet,
    Survey,
    WindSite,
)
from condition.services.notices import ask_for_notice
from sites.compute.geometry.rings import Box
from sites.compute.lengths import parse_length
from sites.jobs import run_now
from sites.models import Building, Panel, User, VisitFolder
from sites.services.shapes import division_of

WORKER = "demo"

Told = dict[str, Any]


def add_judgement(folder: VisitFolder, user: User) -> None:
    """Add all of it to the building of the folder, once; notices are issued by `user`."""
    told = read_judgement()
    survey = Survey.objects.get(pk=folder.keys["latest survey"])
    building = folder.building
    ReportTerms.objects.create(building=building, **told["terms"])
    WindSite.objects.create(building=building, **_with_lengths(told["wind"], "reference_height"))
    SafetySheet.objects.create(
        building=building, survey=survey, **_with_lengths(told["safety"], "height")
    )
    for mark in told["mark"]:
        _draw(_finding(building, mark["finding"]), mark)
    for notice in told["notice"]:
        _issue(_finding(building, notice.pop("finding")), NoticeWords(**notice), user)


def read_judgement() -> Told:
    with (settings.BASE_DIR / "fixtures" / "demo" / "judgement.toml").open("rb") as file:
        return tomllib.load(file)


def _with_lengths(told: Told, name: str) -> Told:
    """The same with a length as it is typed and in mm."""
    length = parse_length(told[name])
    kept = {key: value for key, value in told.items() if key != name}
    return kept | {f"{name}_typed": length.typed, f"{name}_mm": length.mm}


def _finding(building: Building, key: str) -> Finding:
    """The finding of a key such as 2026-003: the year of its survey, and its number there."""
    year, number = key.split("-")
    return Finding.objects.select_related("opening", "panel", "survey__building__studio").get(
        survey__building=building, survey__day__year=year, number=int(number)
    )


def _draw(finding: Finding, mark: Told) -> None:
    """Mark a finding on the drawing of its opening, at places given in shares of its panel."""
    cells = {cell.number: cell.ring.box for cell in division_of(finding.opening).cells}
    panel = cast("Panel", finding.panel)
    box: Box = cells[panel.number]
    points = [
        [round(box.left + x * box.width, 1), round(box.bottom + y * box.height, 1)]
        for x, y in mark["points"]
    ]
    FindingMark.objects.create(finding=finding, stroke=mark["stroke"], points=points)


def _issue(finding: Finding, words: NoticeWords, user: User) -> None:
    danger = cast("Danger", finding.danger)
    run_now(ask_for_notice(danger, words, 1, user), WORKER)
