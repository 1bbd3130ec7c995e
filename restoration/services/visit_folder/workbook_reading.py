"""Workbooks read in a child process: one that would fill the memory ends the child, not us.

The parent calls `read_workbooks`; the child is this module run by `sites.limited_child`. It writes
each workbook down as JSON, cells that are dates or times as an object of one name.
"""

import json
import logging
import sys
import tempfile
from collections.abc import Callable
from dataclasses import astuple
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any, Final

from restoration.compute.visit_folder.folder import FolderFile
from restoration.compute.visit_folder.problems import Place, Problem
from restoration.compute.visit_folder.workbooks import (
    Cell,
    RawSheet,
    RawWorkbook,
    read_workbook,
)
from sites.limited_child import ChildStoppedError, run_limited

logger = logging.getLogger(__name__)

# Far more than the largest register needs: 4 million cells take about half a minute.
SECONDS: Final = 120
READERS: Final[dict[str, Callable[..., Cell]]] = {
    "date": date.fromisoformat,
    "datetime": datetime.fromisoformat,
    "time": time.fromisoformat,
    "days": lambda parts: timedelta(*parts),
}


def read_workbooks(files: dict[str, FolderFile], memory_mib: int) -> dict[str, RawWorkbook]:
    """Return each workbook as it was read; one that could not be is among its own problems.

    memory_mib: of address space that reading may take.
    """
    read: dict[str, RawWorkbook] = {}
    while left := {kind: file for kind, file in files.items() if kind not in read}:
        with tempfile.TemporaryDirectory(prefix="workbooks-") as folder:
            try:
                _run_child(Path(folder), left, memory_mib)
            except ChildStoppedError as stopped:
                logger.warning("a workbook was not read: %s", stopped)
            read |= _written(Path(folder), left)
        # The child reads one after the other: the first it has not written down stopped it.
        if culprit := next((kind for kind in left if kind not in read), None):
            read[culprit] = _stopped(left[culprit].name)
    return read


def _run_child(folder: Path, files: dict[str, FolderFile], memory_mib: int) -> None:
    order = [[kind, str(file.path.resolve()), file.name] for kind, file in files.items()]
    (folder / "order.json").write_text(json.dumps(order), encoding="utf-8")
    run_limited(__name__, str(folder), memory_mib=memory_mib, seconds=SECONDS)


def _written(folder: Path, files: dict[str, FolderFile]) -> dict[str, RawWorkbook]:
    """The workbooks that the child has written down whole."""
    return {
        kind: _from_json(json.loads(path.read_text(encoding="utf-8"), object_hook=_as_cell))
        for kind in files
        if (path := folder / f"{kind}.json").exists()
    }


def _from_json(kept: list[Any]) -> RawWorkbook:
    file, sheets, problems = kept
    return RawWorkbook(
        file,
        tuple(RawSheet(file, name, tuple(rows)) for name, rows in sheets),
        tuple(Problem(*problem) for problem in problems),
    )


def _as_cell(kept: dict[str, Any]) -> Cell:
    ((kind, value),) = kept.items()
    return READERS[kind](value)


def _stopped(file: str) -> RawWorkbook:
    what = "This workbook is too large or damaged: reading it was stopped."
    possible = "Save it anew as .xlsx with only the sheets you need."
    return RawWorkbook(file, (), (Place(file).problem("", what, possible),))


def main(folder: Path) -> None:
    """Read the workbooks that `order.json` names; each is there as a whole or not at all."""
    for kind, path, file in json.loads((folder / "order.json").read_text(encoding="utf-8")):
        workbook = read_workbook(Path(path), file)
        sheets = [[sheet.name, sheet.rows] for sheet in workbook.sheets]
        problems = [astuple(problem) for problem in workbook.problems]
        half = folder / f"{kind}.half"
        with half.open("w", encoding="utf-8") as output:
            json.dump([file, sheets, problems], output, default=_kept_cell)
        half.rename(folder / f"{kind}.json")


def _kept_cell(cell: date | time | timedelta) -> dict[str, Any]:
    if isinstance(cell, timedelta):
        return {"days": [cell.days, cell.seconds, cell.microseconds]}
    kind = "datetime" if isinstance(cell, datetime) else type(cell).__name__
    return {kind: cell.isoformat()}


if __name__ == "__main__":
    main(Path(sys.argv[1]))
