"""A copy of the project in which one defect at a time is planted, and tests are run on it."""

import itertools
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
ENVIRONMENT = os.environ | {"PYTHONPYCACHEPREFIX": str(COPY / ".build" / "python")}
# Python knows a source that was changed by its time, in whole seconds: each writing has one.
TIMES = itertools.count(int(time.time()))
# For a single test, so that a defect may leave it in a circle without end.
PATIENCE_S = 300
PYTEST = (
    *(sys.executable, "-m", "pytest", "-x", "-q", "--no-header", "-p", "no:cacheprovider"),
    # No defect is looked for in a browser.
    *("-p", "no:playwright"),
    *("-o", f"faulthandler_timeout={PATIENCE_S}", "-o", "faulthandler_exit_on_timeout=true"),
)
# Pytest's own codes: 1 some tests failed, 2 some could not be read, 4 it could not begin.
PASSED, FAILED, INTERRUPTED, NOT_BEGUN = 0, 1, 2, 4
# How a line of its summary begins; a line of a log may begin with ERROR as well.
NAMES_A_TEST = ("FAILED tests/", "ERROR tests/")


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
    """What became of a defect: the first test that failed, or "" where it survived.

    trouble: why it was not planted at all, or the tests did not run.
    """

    defect: Defect
    caught_by: str = ""
    seconds: float = 0.0
    trouble: str = ""

    @property
    def survived(self) -> bool:
        return not self.caught_by


def copy_project() -> None:
    """Copy what git knows, and what is new, into a folder of its own."""
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
        raise NotPlantedError(f"its place stands {count} times in {defect.file}")
    _write(file, whole.replace(defect.before, defect.after))
    try:
        yield
    finally:
        _write(file, whole)


def _write(file: Path, text: str) -> None:
    file.write_text(text)
    seconds = next(TIMES)
    os.utime(file, (seconds, seconds))


def first_failure(tests: Sequence[str]) -> str:
    """Run tests in the copy and return the first that fails, or "".

    Raises NotPlantedError where they could not be run at all.
    """
    done = subprocess.run(
        [*PYTEST, *tests], cwd=COPY, env=ENVIRONMENT, capture_output=True, text=True, check=False
    )
    if done.returncode == PASSED:
        return ""
    lines = [line for line in done.stdout.splitlines() if line.startswith(NAMES_A_TEST)]
    if done.returncode in (FAILED, INTERRUPTED) and lines:
        return lines[0].split(" - ")[0].partition(" ")[2]
    if "Timeout (" in done.stderr:
        return f"a test that does not end within {PATIENCE_S} s"
    if done.returncode == NOT_BEGUN and "ImportError while loading conftest" in done.stderr:
        return "the project, which does not start"
    raise NotPlantedError(f"the tests did not run:\n{done.stdout[-1500:]}{done.stderr[-500:]}")


def outcome_of(defect: Defect) -> Outcome:
    """Plant a defect, run its tests, take it out again."""
    began = time.monotonic()
    try:
        with planted(defect):
            caught_by = first_failure(defect.tests)
    except NotPlantedError as problem:
        return Outcome(defect, trouble=str(problem))
    return Outcome(defect, caught_by, time.monotonic() - began)
