"""Running a module of ours in a child process with a limit of memory and of time.

The parent calls `run_limited`; the child is `python -m sites.limited_child`, which sets the limits
and then runs the module, so that they hold from its first import on.
"""

import os
import runpy
import signal
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

try:
    import resource
except ImportError:  # Windows has no such limits; the time limit still holds.
    resource = None  # type: ignore[assignment]

PROJECT = Path(__file__).resolve().parents[1]
# What a program needs to start and to find its libraries; none of the secrets of ours.
PASSED_ON = (
    "PATH",
    "HOME",
    "SYSTEMROOT",
    "LANG",
    "LC_ALL",
    "PYTHONPATH",
    "LD_LIBRARY_PATH",
    "DYLD_FALLBACK_LIBRARY_PATH",
    "WEASYPRINT_DLL_DIRECTORIES",
)
# Should the parent be killed, the child ends itself this much later than the parent would.
GRACE_SECONDS = 5


class ChildStoppedError(Exception):
    """The child did not end well: over a limit, killed by a signal, or by an error of its own.

    The text, for the log, is the code it ended with and the end of what it wrote as errors.
    """


class ChildTooSlowError(ChildStoppedError):
    """The child took longer than it was given."""


def run_limited(
    module: str,
    *arguments: str,
    memory_mib: int,
    seconds: int,
    environment: Mapping[str, str] | None = None,
) -> None:
    """Run `module` as a program in a child process, and return once it has ended well.

    memory_mib: of address space. seconds: of processor time, and by the clock on the wall.
    environment: added to the few variables every child is given.

    Raises ChildTooSlowError, and ChildStoppedError for every other end than a good one.
    """
    limits = [str(memory_mib), str(seconds)]
    passed_on = {name: os.environ[name] for name in PASSED_ON if name in os.environ}
    try:
        child = subprocess.run(
            [sys.executable, "-W", "ignore", "-m", __name__, *limits, module, *arguments],
            cwd=PROJECT,
            env={**passed_on, **(environment or {})},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            timeout=seconds,
            check=False,
        )
    except subprocess.TimeoutExpired as problem:
        raise ChildTooSlowError(f"{module} took more than {seconds} s") from problem
    if child.returncode:
        error = ChildTooSlowError if _ran_out_of_time(child.returncode) else ChildStoppedError
        raise error(f"{module} ended with {child.returncode}: {child.stderr[-2000:]!r}")


def _ran_out_of_time(returncode: int) -> bool:
    return hasattr(signal, "SIGXCPU") and returncode == -signal.SIGXCPU


def limit_this_process(memory_mib: int, seconds: int) -> None:
    """Limit this very process, for good, to MiB of address space and seconds of time."""
    if resource is not None:
        memory_bytes = memory_mib * 1024 * 1024
        resource.setrlimit(resource.RLIMIT_AS, (memory_bytes, memory_bytes))
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + GRACE_SECONDS))
        # A program that dies of its limits leaves no image of its memory on the disk.
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    if hasattr(signal, "alarm"):
        signal.alarm(seconds + GRACE_SECONDS)


def main(memory_mib: str, seconds: str, module: str, *arguments: str) -> None:
    """Set the limits and become `module` with `arguments`."""
    limit_this_process(int(memory_mib), int(seconds))
    sys.argv = [module, *arguments]
    runpy.run_module(module, run_name="__main__", alter_sys=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
