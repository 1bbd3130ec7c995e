"""A real server in a folder of its own, to be worked on from outside and killed."""

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable
from pathlib import Path
from typing import Any

import psutil

from tests.faults.shell import Shell
from tests.prepared import DATABASE, ROOT, manage, migrated


class Server:
    """`manage.py serve` on a database of its own; `run` runs Python inside the project."""

    def __init__(
        self, folder: Path, database_url: str = "", settings: str = "tests.faults.settings"
    ) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.url = f"http://localhost:{self.port}"
        self.environment = os.environ | {
            "DJANGO_SETTINGS_MODULE": settings,
            "SECRET_KEY": "k" * 64,
            "DATA_DIR": str(folder),
            "PUBLIC_URL": self.url,
            "DATABASE_URL": database_url,
            "LOG_LEVEL": "INFO",
        }
        self.log = folder / "log.txt"
        self.process: subprocess.Popen[bytes] | None = None
        self.shell: Shell | None = None
        if not database_url and not (folder / DATABASE).exists():
            shutil.copy(migrated(), folder / DATABASE)

    def manage(self, *words: str) -> str:
        return manage(*words, **self.environment)

    def run(self, code: str) -> Any:
        """Run code that leaves its answer, plain JSON, in `answer`."""
        if self.shell is None:
            self.shell = Shell(self.environment)
        return self.shell.run(code)

    def start(self) -> None:
        with self.log.open("ab") as log:
            self.process = subprocess.Popen(
                [sys.executable, "manage.py", "serve", "--port", str(self.port)],
                cwd=ROOT,
                env=self.environment,
                stdout=log,
                stderr=log,
            )
        wait_for(self.answers, "the server to answer")

    def answers(self) -> bool:
        try:
            with urllib.request.urlopen(f"{self.url}/accounts/login/", timeout=2) as page:
                return bool(page.status == 200)
        except OSError:
            return False

    def worker(self) -> psutil.Process | None:
        if self.process is None:
            return None
        children = psutil.Process(self.process.pid).children()
        return next((child for child in children if is_worker(child)), None)

    def kill(self) -> None:
        if self.shell is not None:
            self.shell.close()
            self.shell = None
        if self.process is not None and self.process.poll() is None:
            self.process.send_signal(signal.SIGKILL)
            self.process.wait()


def is_worker(process: psutil.Process) -> bool:
    """Whether it is a worker and alive: one just killed may still be in the list."""
    try:
        return "worker" in process.cmdline()
    except psutil.Error:
        return False


def wait_for(ready: Callable[[], Any], what: str, seconds: float = 30) -> Any:
    """Wait until `ready` returns something true, and return it."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        answer = ready()
        if answer:
            return answer
        time.sleep(0.1)
    raise AssertionError(f"waited {seconds} s in vain for {what}")
