"""Reads the demonstration's data: the building, its windows, two surveys, their photographs."""

import csv
import re
import tomllib
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from pathlib import Path, PurePosixPath
from typing import Final

DATA: Final = Path(__file__).resolve().parents[2] / "fixtures" / "demo"

Row = dict[str, str]

_NAMED_AFTER: Final = re.compile(r"(?P<key>[0-9]{4}-[0-9]{2,3})(?:[ _].*)?")


@dataclass(frozen=True)
class PhotographPlan:
    """One photograph to be made: what it shows, and what its file says of itself."""

    file: str
    caption: str
    listed: bool
    picture: str
    taken: datetime
    offset: str
    orientation: int
    survey: str
    opening: str
    finding: Row | None

    @property
    def key(self) -> str:
        """Return what seeds the picture: its finding's key, or its survey and opening."""
        return self.finding["finding"] if self.finding else f"{self.survey} {self.opening}"


class Scenario:
    """All tables of the demonstration, each as rows by column heading."""

    def __init__(self, folder: Path = DATA) -> None:
        self.folder = folder

    def table(self, name: str) -> list[Row]:
        """Return the rows of one table, such as `openings`."""
        with (self.folder / f"{name}.csv").open(newline="", encoding="utf-8") as file:
            return list(csv.DictReader(file))

    def headings(self, name: str) -> list[str]:
        with (self.folder / f"{name}.csv").open(newline="", encoding="utf-8") as file:
            return next(csv.reader(file))

    @cached_property
    def building(self) -> Row:
        with (self.folder / "building.toml").open("rb") as file:
            return {key: str(value) for key, value in tomllib.load(file).items()}

    @cached_property
    def openings(self) -> dict[str, Row]:
        return {row["number"]: row for row in self.table("openings")}

    @cached_property
    def items(self) -> dict[tuple[str, str], Row]:
        return {(row["opening"], row["number"]): row for row in self.table("items")}

    @cached_property
    def findings(self) -> dict[str, Row]:
        return {row["finding"]: row for row in self.table("findings")}

    @cached_property
    def photographs(self) -> list[PhotographPlan]:
        return [self._plan(row) for row in self.table("photographs")]

    def _plan(self, row: Row) -> PhotographPlan:
        key = row["finding"] or key_in_name(row["file"])
        finding = self.findings[key] if key else None
        where = finding or row
        return PhotographPlan(
            file=row["file"],
            caption=row["caption"],
            listed=row["listed"] == "yes",
            picture=row["picture"],
            taken=datetime.fromisoformat(row["taken"]),
            offset=row["offset"],
            orientation=int(row["orientation"] or 1),
            survey=where["survey"],
            opening=where["opening"],
            finding=finding,
        )


def key_in_name(file: str) -> str:
    """Return the finding's key that a photograph's name begins with, or nothing."""
    match = _NAMED_AFTER.fullmatch(PurePosixPath(file).stem)
    return match["key"] if match else ""
