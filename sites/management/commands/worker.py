"""Do the waiting jobs, one after another."""

import os
import socket
import sys
import threading
import time
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.db import close_old_connections
from django.db.utils import OperationalError

from sites import jobs

IDLE_SECONDS = 0.5
REAP_SECONDS = 5.0


class Command(BaseCommand):
    """`manage.py worker`: run beside any number of web servers, on any number of machines."""

    help = "Do the waiting jobs, one after another."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--replaces", default="", help="the dead worker whose jobs to put back")
        parser.add_argument(
            "--leash", action="store_true", help="stop as soon as standard input closes"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["leash"]:
            threading.Thread(target=_stop_with_parent, daemon=True).start()
        name = worker_name(os.getpid())
        if options["replaces"]:
            jobs.requeue_stale(options["replaces"])
        self.stdout.write(f"worker {name} is ready")
        work_forever(name)


def worker_name(pid: int) -> str:
    return f"{socket.gethostname()}:{pid}"


def work_forever(name: str) -> None:
    reaped_at = 0.0
    while True:
        try:
            if time.monotonic() - reaped_at > REAP_SECONDS:
                reaped_at = time.monotonic()
                jobs.requeue_stale()
            job = jobs.claim(name)
        except OperationalError:
            # A locked or restarting database is no reason to stop: try again shortly.
            close_old_connections()
            job = None
        if job is None:
            time.sleep(IDLE_SECONDS)
        else:
            jobs.run(job)
        close_old_connections()


def _stop_with_parent() -> None:
    """The parent holds the other end of this pipe: however it dies, the pipe closes."""
    sys.stdin.buffer.read()
    os._exit(0)
