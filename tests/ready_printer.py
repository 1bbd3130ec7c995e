"""A printing child that is ready: `python -m tests.ready_printer`, for the tests alone.

Importing the layout library takes longer than most of the tests' documents do. Here it is imported
once, in a process apart, and each document is printed by a fork of it: limits of memory and of
time, environment and folder are that document's own, as they are in use.
"""

import json
import os
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any, Final

from sites.limited_child import (
    PASSED_ON,
    ChildStoppedError,
    ChildTooSlowError,
    limit_this_process,
)

ROOT: Final = Path(__file__).resolve().parents[1]
# As `sites.printing.press` starts its child, and for the same reason: equal bytes.
FIXED: Final = {"PYTHONHASHSEED": "0", "SOURCE_DATE_EPOCH": "0"}


class ReadyPrinter:
    """The side of the tests: stands in for `sites.limited_child.run_limited`, of printing alone."""

    def __init__(self) -> None:
        self.process: subprocess.Popen[bytes] | None = None
        self.seconds_spent = 0.0

    def run_limited(
        self,
        module: str,
        folder: str,
        *,
        memory_mib: int,
        seconds: int,
        environment: dict[str, str],
    ) -> None:
        """Print what lies in the folder. Raises as `run_limited` does."""
        passed_on = {name: os.environ[name] for name in PASSED_ON if name in os.environ}
        if self.process is None:
            self.process = subprocess.Popen(
                [sys.executable, "-W", "ignore", "-m", "tests.ready_printer"],
                cwd=ROOT,
                env=passed_on | environment | FIXED,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
            )
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        order = {
            "folder": folder,
            "environment": passed_on | environment,
            "seconds": seconds,
            "memory_mib": memory_mib,
        }
        self.process.stdin.write(json.dumps(order).encode() + b"\n")
        self.process.stdin.flush()
        ended = json.loads(self.process.stdout.readline())
        self.seconds_spent += ended["spent"]
        if ended["late"]:
            raise ChildTooSlowError(f"{module} took more than {seconds} s")
        if ended["code"]:
            stderr = (Path(folder) / "stderr").read_bytes()
            raise ChildStoppedError(f"{module} ended with {ended['code']}: {stderr[-2000:]!r}")

    def close(self) -> None:
        if self.process is not None and self.process.stdin is not None:
            self.process.stdin.close()
            self.process.wait()


def serve() -> None:
    """Print one document after the other until nobody asks any more."""
    # Imported before the first fork: this is what takes the time.
    import sites.printing.child  # noqa: F401

    for line in sys.stdin:
        print(json.dumps(printed(json.loads(line))), flush=True)


def printed(order: dict[str, Any]) -> dict[str, Any]:
    child = os.fork()
    if child == 0:
        limit_this_process(order["memory_mib"], order["seconds"])
        print_one(Path(order["folder"]), order["environment"])
    until, late = time.monotonic() + order["seconds"], False
    pid, status, used = os.wait4(child, os.WNOHANG)
    while pid == 0:
        if time.monotonic() > until and not late:
            late = True
            os.kill(child, signal.SIGKILL)
        time.sleep(0.005)
        pid, status, used = os.wait4(child, os.WNOHANG)
    spent = used.ru_utime + used.ru_stime
    return {"code": os.waitstatus_to_exitcode(status), "late": late, "spent": spent}


def print_one(folder: Path, environment: dict[str, str]) -> None:
    """Print, and end this process as the real child would end."""
    from sites.printing.child import main

    os.environ.clear()
    os.environ.update(environment)
    # Found once by the parent; each document has a folder of its own.
    tempfile.tempdir = None
    os.dup2(os.open(os.devnull, os.O_RDWR), 0)
    os.dup2(0, 1)
    os.dup2(os.open(folder / "stderr", os.O_WRONLY | os.O_CREAT), 2)
    code = 1
    try:
        main(folder)
        code = 0
    except BaseException:
        sys.excepthook(*sys.exc_info())
    finally:
        os._exit(code)


if __name__ == "__main__":
    serve()
