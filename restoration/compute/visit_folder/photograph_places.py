"""Where each photograph of a folder goes: by its row in the sheet, or by its name."""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from condition.compute.recording.facts import Context, PhotographData
from condition.compute.recording.photographs import photograph_problems
from restoration.compute.visit_folder.folder import PHOTOGRAPHS, FolderFile
from restoration.compute.visit_folder.known import not_known
from restoration.compute.visit_folder.problems import Place, Problem
from restoration.compute.visit_folder.rows import PhotographRow, Rows
from restoration.compute.visit_folder.subjects import Subjects

# What may follow a finding's key in a file's name: `2026-014 b`, `2026-014_from the tower`.
_AFTER_KEY = (" ", "_")
COLUMNS: Final = {"findings": "finding"}


@dataclass(frozen=True)
class PlacedPhotograph:
    """A photograph and where it goes: to findings, or to a survey and an opening.

    at: the row that lists it, or the file itself where only its name says where it goes.
    """

    file: FolderFile
    at: Place
    findings: tuple[str, ...]
    survey: str
    opening: str
    caption: str

    @property
    def goes_to(self) -> str:
        return "; ".join(self.findings) or f"{self.survey}, {self.opening}"


class PhotographPlaces:
    """Works out where the photographs go; `problems` holds what stands in the way."""

    def __init__(
        self, files: Mapping[str, FolderFile], rows: Rows, subjects: Subjects, known: Context
    ) -> None:
        self.files, self.rows, self.subjects, self.known = files, rows, subjects, known
        self.findings = {row.finding: row for row in rows.findings if row.finding}
        self.surveys = {row.survey for row in rows.surveys}
        self.problems: list[Problem] = []
        # Longest first: 2026-014 b.jpg is of "2026-014 b" where there is such a finding.
        self._keys = sorted(self.findings, key=len, reverse=True)
        self._by_folded_name = {name.casefold(): name for name in files}

    def work_out(self) -> list[PlacedPhotograph]:
        """Return a place for each photograph that has one, in order of file name."""
        placed: dict[str, PlacedPhotograph] = {}
        listed: set[str] = set()
        for row in self.rows.photographs:
            name = self._file_of(row)
            if name is not None:
                listed.add(name)
                self._add(placed, name, self._place_of_row(row, name))
        for name in self.files:
            if name not in listed:
                self._add(placed, name, self._place_of_name(name))
        return [placed[name] for name in sorted(placed)]

    def _add(
        self, placed: dict[str, PlacedPhotograph], name: str, found: PlacedPhotograph | None
    ) -> None:
        before = placed.get(name)
        if found is None:
            return
        if before is None:
            placed[name] = found
        elif before.goes_to != found.goes_to:
            what = f"{name} is listed against {before.goes_to} in {before.at} already."
            possible = "Name all findings that it shows in one row, apart by semicolons."
            self.problems.append(found.at.problem("file", what, possible))
        else:
            placed[name] = replace(before, caption=before.caption or found.caption)

    def _file_of(self, row: PhotographRow) -> str | None:
        """Return the name of the photograph that a row lists, None where there is no such file."""
        if not row.file:
            return None
        written = unicodedata.normalize("NFC", row.file.replace("\\", "/"))
        parts = [part for part in written.split("/") if part not in ("", ".")]
        if ".." in parts or written.startswith("/") or written[1:2] == ":":
            what = f'"{row.file}" leads out of the folder.'
            self.problems.append(row.at.problem("file", what, f"Name a file in {PHOTOGRAPHS}/."))
            return None
        if len(parts) > 1 and parts[0].casefold() == PHOTOGRAPHS:
            del parts[0]
        name = "/".join(parts)
        found = name if name in self.files else self._by_folded_name.get(name.casefold())
        if found is None:
            what, possible = not_known("The photograph", row.file, self.files)
            what = what.replace("is not known", f"is not in {PHOTOGRAPHS}/")
            self.problems.append(row.at.problem("file", what, possible))
        return found

    def _place_of_row(self, row: PhotographRow, name: str) -> PlacedPhotograph | None:
        by_name = self.finding_by_name(name)
        unknown = [key for key in row.finding or () if key not in self.findings]
        for key in unknown:
            self._say(row.at, "finding", *not_known("Finding", key, self.findings))
        if unknown:
            return None
        if row.finding and by_name and by_name not in row.finding:
            what = f"The name of {name} says {by_name}, its row says {'; '.join(row.finding)}."
            self._say(row.at, "finding", what, "Rename the file, or correct the row.")
            return None
        if findings := row.finding or ((by_name,) if by_name else ()):
            return self._with_findings(row, name, findings)
        return self._without_finding(row, name)

    def _with_findings(
        self, row: PhotographRow, name: str, findings: tuple[str, ...]
    ) -> PlacedPhotograph | None:
        first = self.findings[findings[0]]
        survey, opening = row.survey or first.survey, row.opening or first.opening
        data = PhotographData(building=None, survey=survey, opening=opening, findings=findings)
        refusals = list(photograph_problems(data, self.known))
        for refusal in refusals:
            self._say(row.at, COLUMNS.get(refusal.field, refusal.field), str(refusal), "")
        if refusals:
            return None
        unique = tuple(dict.fromkeys(findings))
        return PlacedPhotograph(self.files[name], row.at, unique, survey, opening, row.caption)

    def _without_finding(self, row: PhotographRow, name: str) -> PlacedPhotograph | None:
        if not (row.survey and row.opening):
            what = f"It is not said what {name} shows."
            self._say(row.at, "finding", what, "Name a finding, or a survey and an opening.")
            return None
        wrong = list(self.subjects.check(row.at, row.opening))
        if row.survey not in self.surveys:
            wrong.append(row.at.problem("survey", *not_known("Survey", row.survey, self.surveys)))
        self.problems += wrong
        if wrong:
            return None
        return PlacedPhotograph(self.files[name], row.at, (), row.survey, row.opening, row.caption)

    def _place_of_name(self, name: str) -> PlacedPhotograph | None:
        at = Place(self.files[name].name)
        key = self.finding_by_name(name)
        if key is None:
            what = "It is not said what this photograph shows."
            self._say(
                at,
                "",
                what,
                "List it in the sheet Photographs, or begin its name with the key of a finding.",
            )
            return None
        finding = self.findings[key]
        return PlacedPhotograph(self.files[name], at, (key,), finding.survey, finding.opening, "")

    def finding_by_name(self, name: str) -> str | None:
        """Return the key of the finding that a photograph is named after."""
        stem = name.rpartition("/")[2].rpartition(".")[0].casefold()
        for key in self._keys:
            folded = key.casefold()
            if stem == folded or stem.startswith(tuple(folded + mark for mark in _AFTER_KEY)):
                return key
        return None

    def _say(self, at: Place, column: str, what: str, possible: str) -> None:
        self.problems.append(at.problem(column, what, possible))
