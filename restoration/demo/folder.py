"""Writes the demonstration's visit folder: two workbooks and the photographs."""

from collections.abc import Callable
from pathlib import Path

from restoration.demo.photographs import save_photograph
from restoration.demo.scenario import Scenario
from restoration.demo.workbooks import write_findings, write_register

Progress = Callable[[int, int, str], None]


class FolderInUseError(Exception):
    """The folder to be written holds something already."""


def write_visit_folder(out: Path, progress: Progress) -> None:
    """Write register.xlsx, findings.xlsx and photographs/ into a new or empty folder.

    progress: called after each file with how many are done, how many there are, and its name.

    Raises FolderInUseError, before anything is written, when the folder is not empty.
    """
    if out.exists() and (not out.is_dir() or any(out.iterdir())):
        raise FolderInUseError(f"{out} is not an empty folder. Give a new one, or empty it first.")
    out.mkdir(parents=True, exist_ok=True)
    scenario = Scenario()
    total = len(scenario.photographs) + 2
    write_register(out / "register.xlsx", scenario)
    progress(1, total, "register.xlsx")
    write_findings(out / "findings.xlsx", scenario)
    progress(2, total, "findings.xlsx")
    for done, plan in enumerate(scenario.photographs, start=3):
        save_photograph(plan, scenario, out / "photographs")
        progress(done, total, plan.file)
