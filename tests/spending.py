"""What each test spends in processor time, its child processes included; a dear one fails."""

import json
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final

import pytest

MOST_SECONDS: Final = 10.0


class Spending:
    """A plugin of pytest. What several tests share, such as a printed document, is no test's own.

    elsewhere: returns the seconds that processes spent which are still running. file: where the
    seconds of each test and of each shared fixture are left, if anywhere.
    """

    def __init__(self, elsewhere: Callable[[], float], file: str, most: float) -> None:
        self.elsewhere, self.file, self.most = elsewhere, file, most
        self.by_name: dict[str, float] = {}
        self.shared = self.before = 0.0
        self.inside_shared = False

    def spent(self) -> float:
        times = os.times()
        mine, children = times.user + times.system, times.children_user + times.children_system
        return mine + children + self.elsewhere()

    @pytest.hookimpl(wrapper=True)
    def pytest_fixture_setup(self, fixturedef: Any) -> Iterator[None]:
        if fixturedef.scope == "function" or self.inside_shared:
            return (yield)
        self.inside_shared, before = True, self.spent()
        try:
            return (yield)
        finally:
            self.inside_shared, seconds = False, self.spent() - before
            self.shared += seconds
            name = f"{fixturedef.baseid}: shared {fixturedef.argname}"
            self.by_name[name] = self.by_name.get(name, 0.0) + seconds

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        self.before = self.spent() - self.shared
        return (yield)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_teardown(self, item: pytest.Item) -> Iterator[None]:
        # Before the teardown: the last test would be charged with ending what all have shared.
        seconds = self.spent() - self.shared - self.before
        self.by_name[item.nodeid] = seconds
        answer = yield
        own = item.get_closest_marker("budget")
        most = max(self.most, own.args[0]) if own else self.most
        if seconds > most:
            pytest.fail(f"spent {seconds:.1f} processor seconds: a test has {most:.0f}")
        return answer

    def pytest_sessionfinish(self) -> None:
        if self.file:
            Path(self.file).write_text(json.dumps(self.by_name))
