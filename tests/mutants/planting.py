"""A copy of the project in which one defect at a time is planted, and tests are run on it."""

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
COPY = ROOT / ".build" / "mutants"
PATIENCE_S = 900
# Pytest's own codes: 0 all passed, 1 some failed, 5 none was there; the rest says it did not run.
PASSED, FAILED = 0, 1


class NotPlantedError(Exception):
    """A defect that does not fit the code any more, or tests that do not run without it."""


@dataclass(frozen=True)
class Defect:
    """One fault: in `file`, `before` (which stands there once) is replaced by `after`.

    tests: files or single tests of which at least one must fail then.
    """

    what: str
    file: str
    before: str
    after: str
    tests: tuple[str, ...]


@dataclass(frozen=True)
class Outcome:
    """What became of a defect: the first test that failed, or none where it survived."""

    defect: Defect
    caught_by: str
    seconds: float

    @property
    def survived(self) -> bool:
        return not self.caught_by


def copy_project() -> None:
    """Copy what git knows, and what is new, into a folder of its own; its environment is linked."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT, capture_output=True, check=True, text=True,
    )  # fmt: skip
    shutil.rmtree(COPY, ignore_errors=True)
    for name in filter(None, listed.stdout.split("\0")):
        if (ROOT / name).is_file():
            (COPY / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, COPY / name)


@contextmanager
def planted(defect: Defect) -> Iterator[None]:
    """Hold the copy with the defect in it. Raises NotPlantedError where it does not fit."""
    file = COPY / defect.file
    whole = file.read_text() if file.is_file() else ""
    if whole.count(defect.before) != 1:
        count = whole.count(defect.before)
        raise NotPlantedError(f"{defect.what}: its place stands {count} times in {defect.file}")
    file.write_text(whole.replace(defect.before, defect.after))
    try:
        yield
    finally:
        file.write_text(whole)


def first_failure(tests: Sequence[str]) -> str:
    """Run tests in the copy and return the first that fails, or "".

    Raises NotPlantedError where they could not be run at all.
    """
    command = [sys.executable, "-m", "pytest", "-x", "-q", "--no-header", "-p", "no:cacheprovider"]
    # Nothing is written beside the sources: the next defect may change them within the second.
    environment = os.environ | {"PYTHONDONTWRITEBYTECODE": "1"}
    try:
        done = subprocess.run(
            [*command, *tests],
            cwd=COPY,
            env=environment,
            capture_output=True,
            text=True,
            timeout=PATIENCE_S,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return f"no end within {PATIENCE_S} s"
    if done.returncode == PASSED:
        return ""
    lines = [line for line in done.stdout.splitlines() if line.startswith(("FAILED ", "ERROR "))]
    if done.returncode == FAILED and lines:
        return lines[0].split(" - ")[0].partition(" ")[2]
    if "Error" in done.stdout and "conftest" in done.stdout + done.stderr:
        return "the project does not start"
    raise NotPlantedError(f"the tests did not run: {' '.join(tests)}\n{done.stdout[-2000:]}")


def outcome_of(defect: Defect) -> Outcome:
    """Plant a defect, run its tests, take it out again."""
    began = time.monotonic()
    with planted(defect):
        caught_by = first_failure(defect.tests)
    return Outcome(defect, caught_by, time.monotonic() - began)
