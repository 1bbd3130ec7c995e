"""Keeping a run of the tests to itself, and finding what it leaves behind all the same."""

import os
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

import psutil

# What every process of the run carries in its environment, so that it is found again.
MARK: Final = "SADDLEBAR_TESTS_RUN"
# Where programs keep things of a user's; libraries of the tests write caches there.
STAND_INS: Final = {
    "HOME": "home",
    "XDG_CACHE_HOME": "home/.cache",
    "XDG_CONFIG_HOME": "home/.config",
    "XDG_DATA_HOME": "home/.local/share",
    "XDG_RUNTIME_DIR": "runtime",
    "TMPDIR": "tmp",
}
PATIENCE_SECONDS: Final = 5


@contextmanager
def contained() -> Iterator[Path]:
    """A folder that stands in for the home folder and that of temporary files, until it goes.

    Compiled modules are kept in the build folder: every process of the run starts faster.
    """
    before = dict(os.environ)
    with tempfile.TemporaryDirectory(prefix="saddlebar-tests-") as name:
        for variable, place in STAND_INS.items():
            (Path(name) / place).mkdir(parents=True, exist_ok=True, mode=0o700)
            os.environ[variable] = str(Path(name) / place)
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        os.environ["PYTHONPYCACHEPREFIX"] = str(Path(__file__).parents[1] / ".build" / "python")
        os.environ[MARK] = name
        tempfile.tempdir = None
        try:
            yield Path(name)
        finally:
            os.environ.clear()
            os.environ.update(before)
            tempfile.tempdir = None


def in_home() -> set[Path]:
    """What lies in the home folder of who runs this, and in the folders programs use there."""
    home = Path.home()
    folders = [home, *(home / each for each in (".cache", ".config", ".local/share"))]
    return {file for folder in folders if folder.is_dir() for file in folder.iterdir()}


# What browsers that tests kill on purpose cannot take away any more.
OF_THE_KILLED = (".lockfile", ".ses")


def left_behind(folder: Path) -> list[str]:
    """Return each process of the run that is still there, and each temporary file."""
    until = time.monotonic() + PATIENCE_SECONDS
    while (running := _running()) and time.monotonic() < until:
        time.sleep(0.2)
    processes = [" ".join(process.cmdline()) for process in running]
    for process in running:
        process.kill()
    files = (folder / STAND_INS["TMPDIR"]).iterdir()
    return processes + [str(file) for file in files if not file.name.startswith(OF_THE_KILLED)]


def _running() -> list[psutil.Process]:
    found = []
    for process in psutil.process_iter():
        try:
            marked = process.environ().get(MARK) == os.environ[MARK]
            if marked and process.pid != os.getpid():
                found.append(process)
        except psutil.Error:
            continue
    return found
