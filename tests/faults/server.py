"""A real server in a folder of its own, to be worked on from outside and killed."""

import atexit
import functools
import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Callable
from pathlib import Path
from typing import Any

import psutil

ROOT = Path(__file__).resolve().parents[2]

DATABASE = "saddlebar.sqlite3"


@functools.cache
def migrated() -> Path:
    """An empty SQLite database with every migration in it: made once, copied by each server."""
    folder = Path(tempfile.mkdtemp(prefix="saddlebar-migrated-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    subprocess.run(
        [sys.executable, "manage.py", "migrate", "-v", "0"],
        cwd=ROOT,
        env=os.environ
        | {
            "DJANGO_SETTINGS_MODULE": "restoration.settings.base",
            "SECRET_KEY": "k" * 64,
            "DATA_DIR": str(folder),
            "DATABASE_URL": "",
        },
        check=True,
    )
    return folder / DATABASE


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
        if database_url:
            self.manage("migrate", "-v", "0")
        else:
            shutil.copy(migrated(), folder / DATABASE)
        if "STATIC_FILES_ARE_COLLECTED" not in os.environ:
            self.manage("collectstatic", "--noinput", "-v", "0")

    def manage(self, *words: str) -> str:
        done = subprocess.run(
            [sys.executable, "manage.py", *words],
            cwd=ROOT,
            env=self.environment,
            capture_output=True,
            text=True,
            timeout=300,
        )
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout

    def run(self, code: str) -> Any:
        """Run code that leaves its answer, plain JSON, in `answer`."""
        text = f"import json\n{code}\nprint('ANSWER' + json.dumps(answer))"
        return json.loads(self.manage("shell", "-v", "0", "-c", text).split("ANSWER")[1])

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
