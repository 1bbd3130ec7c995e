"""Work in a child process: over its limits, or killed, it ends alone and the parent is told."""

import os

import pytest

from sites.limited_child import ChildStoppedError, ChildTooSlowError, run_limited


def run(program: str, *, memory_mib: int = 500, seconds: int = 30, **environment: str) -> None:
    """Run a line of Python in the child; `timeit` is a program that every Python has."""
    run_limited(
        "timeit",
        "-n1",
        "-r1",
        program,
        memory_mib=memory_mib,
        seconds=seconds,
        environment=environment,
    )


def test_a_child_that_ends_well_says_nothing():
    run("bytearray(100_000_000)")


def test_more_memory_than_allowed_stops_the_child():
    with pytest.raises(ChildStoppedError, match="MemoryError"):
        run("bytearray(100_000_000)", memory_mib=100)


@pytest.mark.parametrize("program", ["while True: pass", "import time; time.sleep(60)"])
def test_more_time_than_allowed_stops_the_child(program):
    with pytest.raises(ChildTooSlowError):
        run(program, seconds=1)


def test_a_child_killed_by_a_signal_is_told_by_its_number():
    with pytest.raises(ChildStoppedError, match="ended with -9"):
        run("import os; os.kill(os.getpid(), 9)")


def test_a_child_knows_none_of_our_secrets(monkeypatch):
    monkeypatch.setitem(os.environ, "SECRET_KEY", "not for children")
    run(
        "import os; assert 'SECRET_KEY' not in os.environ; assert os.environ['GIVEN'] == '1'",
        GIVEN="1",
    )
