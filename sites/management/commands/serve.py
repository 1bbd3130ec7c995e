"""Serve the pages and do the work behind them, as one command."""

import signal
import subprocess
import sys
import threading
import time
from typing import Any

from django.conf import settings
from django.core.checks import Tags, messages
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.core.servers.basehttp import get_internal_wsgi_application
from django.db import DEFAULT_DB_ALIAS, connection
from django.db.migrations.executor import MigrationExecutor

from sites.management.commands.worker import worker_name
from sites.web_server import create_server


class Command(BaseCommand):
    """`manage.py serve`: a production web server and a supervised worker."""

    help = "Serve the pages and do the work behind them."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--host", default="127.0.0.1")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--threads", type=int, default=8)

    def handle(self, *args: Any, **options: Any) -> None:
        self._refuse_unfinished_database()
        # The threads that answer have connections of their own.
        connection.close()
        supervisor = Supervisor([sys.executable, sys.argv[0], "worker", "--leash"])
        supervisor.start()
        # A server stopped by its manager (SIGTERM) leaves through `finally` below.
        signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))
        self.stdout.write(f"Serving at {settings.PUBLIC.url} (port {options['port']})")
        self.stdout.flush()
        try:
            server = create_server(
                get_internal_wsgi_application(),
                host=options["host"],
                port=options["port"],
                threads=options["threads"],
                max_request_body_size=settings.PHOTOGRAPH_MAX_BYTES * 4,
                **_proxy_options(),
            )
            server.run()
        finally:
            supervisor.stop()

    def _refuse_unfinished_database(self) -> None:
        """Raise CommandError, with what to do, where a migration or a rule is missing."""
        executor = MigrationExecutor(connection)
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            raise CommandError("The database is not up to date. Run `manage.py migrate`.")
        self.check(tags=[Tags.database], databases=[DEFAULT_DB_ALIAS], fail_level=messages.WARNING)


class Supervisor:
    """Keeps one worker alive: started again when it dies, gone when this process is.

    The worker reads a pipe we hold and stops when it closes, so that it follows us even
    when we are killed and run no code of our own.
    """

    def __init__(self, command: list[str]) -> None:
        self.command = command
        self.stopping = threading.Event()
        self.worker: subprocess.Popen[bytes] | None = None
        self.thread = threading.Thread(target=self._keep_alive, daemon=True)

    def start(self) -> None:
        self.thread.start()

    def stop(self) -> None:
        self.stopping.set()
        if self.worker is not None:
            self.worker.terminate()
            self.worker.wait()

    def _keep_alive(self) -> None:
        dead = ""
        while not self.stopping.is_set():
            started = time.monotonic()
            replaces = ["--replaces", dead] if dead else []
            self.worker = subprocess.Popen([*self.command, *replaces], stdin=subprocess.PIPE)
            self.worker.wait()
            dead = worker_name(self.worker.pid)
            # One that dies at once would otherwise be started hundreds of times a second.
            if time.monotonic() - started < 5:
                self.stopping.wait(1)


def _proxy_options() -> dict[str, Any]:
    """Believe a proxy's headers only where one is declared."""
    if not settings.BEHIND_PROXY:
        return {}
    return {
        "trusted_proxy": "*",
        "trusted_proxy_headers": {"x-forwarded-proto", "x-forwarded-host", "x-forwarded-for"},
        "clear_untrusted_proxy_headers": True,
    }
