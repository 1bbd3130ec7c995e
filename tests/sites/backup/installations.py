"""Installations with a database and a folder of their own, to back up and to restore into."""

import functools
import os
import shutil
import signal
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import StringIO
from pathlib import Path
from typing import Any

import psycopg
from django.apps import apps
from django.core.management import call_command
from django.db import connection, connections
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.test import override_settings
from psycopg import sql

from restoration.settings.environment import database, sqlite
from sites.keys import uuid7

SERVER = os.environ.get("DATABASE_URL", "")
OWN_ENGINE = "postgresql" if SERVER else "sqlite"


class Installation:
    """A database and a folder of stored files; `with installation:` makes them the program's."""

    def __init__(self, engine: str, folder: Path, name: str) -> None:
        self.engine, self.folder, self.name = engine, folder, name
        self.media = folder / "files"
        if engine == "sqlite":
            self.settings = sqlite(folder / "saddlebar.sqlite3")
        else:
            self.settings = database(SERVER, folder) | {"NAME": name}
        self.outside: list[Any] = []

    def __enter__(self) -> "Installation":
        storage = {
            "BACKEND": "django.core.files.storage.FileSystemStorage",
            "OPTIONS": {"location": self.media},
        }
        change = override_settings(
            MEDIA_ROOT=self.media,
            STORAGES={
                "default": storage,
                "staticfiles": {"BACKEND": "sites.finders.ModuleManifestStorage"},
            },
        )
        self.outside = [connections["default"], connections.settings["default"], change]
        change.enable()
        connections.settings |= connections.configure_settings({"default": dict(self.settings)})
        del connections["default"]
        return self

    def __exit__(self, *error: object) -> None:
        connection.close()
        connections["default"], connections.settings["default"], change = self.outside
        change.disable()

    def manage(self, *words: object) -> tuple[int, str]:
        """Run a command inside `with`; return how it ended and what it printed."""
        out, code = StringIO(), 0
        try:
            call_command(*map(str, words), stdout=out, stderr=out)
        except SystemExit as ended:
            code = int(ended.code or 0)
        return code, out.getvalue()

    def kill_after(self, seconds: float, *words: object) -> bool:
        """Run a command in a process of its own and kill it; False if it had ended by then."""
        connection.close()
        child = os.fork()
        if child == 0:
            try:
                self.manage(*words)
            finally:
                os._exit(0)
        time.sleep(seconds)
        os.kill(child, signal.SIGKILL)
        return os.WIFSIGNALED(os.waitpid(child, 0)[1])

    def raw(self) -> Any:
        """A connection that knows nothing of the program."""
        import sqlite3

        if self.engine == "sqlite":
            return sqlite3.connect(self.settings["NAME"], timeout=5)
        return psycopg.connect(SERVER, dbname=self.name)


class Installations:
    """Makes installations, and takes them away again."""

    def __init__(self) -> None:
        self.root = Path(tempfile.mkdtemp(prefix="saddlebar-backup-"))
        self.databases: list[str] = []

    def new(self, engine: str = OWN_ENGINE) -> Installation:
        """An installation that was migrated and has nothing in it yet."""
        template = self._template(engine)
        made = self._bare(engine)
        if engine == "sqlite":
            shutil.copy(template.settings["NAME"], made.settings["NAME"])
        else:
            run_on_server("CREATE DATABASE {} TEMPLATE {}", made.name, template.name)
        return made

    def close(self) -> None:
        for name in reversed(self.databases):
            run_on_server("DROP DATABASE IF EXISTS {} WITH (FORCE)", name)
        shutil.rmtree(self.root)

    def _bare(self, engine: str) -> Installation:
        name = f"backup_{uuid7().hex}"
        folder = self.root / name
        folder.mkdir()
        if engine == "postgresql":
            self.databases.append(name)
        return Installation(engine, folder, name)

    @functools.cache  # noqa: B019  (it lives as long as the tests that use it)
    def _template(self, engine: str) -> Installation:
        """Made from the models at one go: going through every migration takes ten times as long."""
        made = self._bare(engine)
        if engine == "postgresql":
            run_on_server("CREATE DATABASE {}", made.name)
        with made:
            labels = {app.label: None for app in apps.get_app_configs()}
            with override_settings(MIGRATION_MODULES=labels):
                call_command("migrate", run_syncdb=True, verbosity=0)
            recorder = MigrationRecorder(connection)
            for app, name in MigrationLoader(None).disk_migrations:
                recorder.record_applied(app, name)
        return made


def run_on_server(statement: str, *names: str) -> None:
    with psycopg.connect(SERVER, dbname="postgres", autocommit=True) as server:
        server.execute(sql.SQL(statement).format(*map(sql.Identifier, names)))


@contextmanager
def in_threads(count: int, work: Callable[[int], None]) -> Iterator[None]:
    """Run `work(number)` in `count` threads beside the block, and wait for them after it."""
    import threading

    threads = [threading.Thread(target=work, args=(number,)) for number in range(count)]
    for thread in threads:
        thread.start()
    try:
        yield
    finally:
        for thread in threads:
            thread.join()
