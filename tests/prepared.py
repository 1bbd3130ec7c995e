"""What takes long to make and is the same each time: an empty migrated database, and the demo.

Each is made once, under a name that carries the digest of what it is made from, and copied by every
run of the tests. They lie in the build folder, PostgreSQL's database on the server itself.
"""

import fcntl
import functools
import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

import psycopg
from django.conf import settings
from django.db import connection
from psycopg import sql

ROOT = Path(__file__).resolve().parents[1]
ROOMS = ("sites", "condition", "restoration")
KEPT = ROOT / ".build" / "tests"
DATABASE = "saddlebar.sqlite3"
DEMO_PASSWORD = "a long password for tests"
TEMPLATE = "saddlebar_migrated_"
DROP = "DROP DATABASE IF EXISTS {} WITH (FORCE)"
# Any number, so long as nobody else on the server locks by it.
LOCK = 4_201_917_005


def digest_of(files: Iterable[Path]) -> str:
    """Return sixteen hexadecimal digits that change with any file's name or content."""
    digest = hashlib.sha256()
    for file in sorted(files):
        digest.update(f"{file.relative_to(ROOT)}\0".encode())
        digest.update(hashlib.sha256(file.read_bytes()).digest())
    return digest.hexdigest()[:16]


@functools.cache
def schema_digest() -> str:
    """The digest of all that makes an empty database what it is: tables, triggers, rows."""
    patterns = ("migrations/*.py", "models/**/*.py", "rules.py", "rules/*.py", "settings/base.py")
    files = [file for room in ROOMS for each in patterns for file in (ROOT / room).glob(each)]
    return digest_of([*files, ROOT / "requirements.txt"])


@contextmanager
def locked() -> Iterator[None]:
    """Hold off other runs of the tests of this clone, so that they find what this one makes."""
    KEPT.mkdir(parents=True, exist_ok=True)
    with (KEPT / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def manage(*words: str, **environment: str) -> str:
    """Run a command of the project as it is in use, and return what it printed."""
    done = subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=ROOT,
        env=os.environ
        | {"DJANGO_SETTINGS_MODULE": "restoration.settings.base", "SECRET_KEY": "k" * 64}
        | environment,
        capture_output=True,
        text=True,
        timeout=900,
    )
    assert done.returncode == 0, (
        f"{words[0]} ended with {done.returncode}: {done.stdout}{done.stderr}"
    )
    return done.stdout


def collect_static_files() -> None:
    """Collect the static files, where they have changed since: pages are tested with them."""
    files = [file for file in (ROOT / "static").rglob("*") if file.is_file()]
    sources = ("sites/finders.py", "sites/fonts.py", "restoration/settings/base.py")
    digest = digest_of([*files, *(ROOT / each for each in (*sources, "requirements.txt"))])
    kept = KEPT / "static.digest"
    with locked():
        there = (ROOT / ".build" / "static" / "staticfiles.json").exists() and kept.exists()
        if not there or kept.read_text() != digest:
            manage("collectstatic", "--noinput", "-v", "0")
            kept.write_text(digest)


def migrated() -> Path:
    """Return an empty SQLite database with every migration in it, to be copied and never opened."""
    kept = KEPT / f"migrated-{schema_digest()}.sqlite3"
    with locked():
        if not kept.exists():
            folder = KEPT / "being-migrated"
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir()
            manage("migrate", "-v", "0", DATA_DIR=str(folder), DATABASE_URL="")
            for older in KEPT.glob("migrated-*.sqlite3"):
                older.unlink()
            (folder / DATABASE).rename(kept)
            shutil.rmtree(folder)
    return kept


@functools.cache
def demo_digest() -> str:
    """The digest of all that the demonstration is made from: code, figures, what is printed."""
    patterns = ("templates/documents/**/*", "static/css/documents/*", "fixtures/**/*")
    files = [file for room in ROOMS for file in (ROOT / room).rglob("*.py")]
    files += [file for each in patterns for file in ROOT.glob(each) if file.is_file()]
    return digest_of([*files, ROOT / "requirements.txt", Path(__file__)])


def demo_set_up() -> Path:
    """Return a data folder with the demonstration in it, to be copied and never served."""
    kept = KEPT / f"demo-{demo_digest()}"
    empty = migrated()
    with locked():
        if not kept.exists():
            half = KEPT / "being-demonstrated"
            shutil.rmtree(half, ignore_errors=True)
            half.mkdir()
            shutil.copy(empty, half / DATABASE)
            manage(
                "demo", str(half), "--password", DEMO_PASSWORD, DATA_DIR=str(half), DATABASE_URL=""
            )
            for older in KEPT.glob("demo-*"):
                shutil.rmtree(older)
            half.rename(kept)
    return kept


def address_of(server: str, name: str) -> str:
    """Return the address of the database of that name on the server another address names."""
    return urlunsplit(urlsplit(server)._replace(path=f"/{name}"))


def make_database(server: str, name: str) -> None:
    """Make a PostgreSQL database with every migration in it; one of that name there goes."""
    template = TEMPLATE + schema_digest()
    with administrator(server) as connection:
        connection.execute("SELECT pg_advisory_lock(%s)", [LOCK])
        there = connection.execute(
            "SELECT datname FROM pg_database WHERE starts_with(datname, %s)", [TEMPLATE]
        ).fetchall()
        if (template,) not in there:
            for (older,) in there:
                connection.execute(named(DROP, older))
            half = f"{TEMPLATE}half"
            connection.execute(named("CREATE DATABASE {}", half))
            manage("migrate", "-v", "0", DATABASE_URL=address_of(server, half))
            connection.execute(named("ALTER DATABASE {} RENAME TO {}", half, template))
        connection.execute(named(DROP, name))
        connection.execute(named("CREATE DATABASE {} TEMPLATE {}", name, template))


def drop(server: str, name: str) -> None:
    """Remove a PostgreSQL database, whoever is still connected to it."""
    with administrator(server) as connection:
        connection.execute(named(DROP, name))


def administrator(server: str) -> psycopg.Connection:
    return psycopg.connect(address_of(server, "postgres"), autocommit=True)


def named(statement: str, *names: str) -> sql.Composed:
    return sql.SQL(statement).format(*map(sql.Identifier, names))


@contextmanager
def test_database() -> Iterator[None]:
    """The database of the tests of this process: a copy, which goes with it."""
    server = os.environ.get("DATABASE_URL", "")
    wanted = settings.DATABASES["default"]["TEST"]["NAME"]
    name = str(wanted or f"test_{connection.settings_dict['NAME']}")
    connection.close()
    if server:
        make_database(server, name)
    else:
        shutil.copy(migrated(), name)
    settings.DATABASES["default"]["NAME"] = connection.settings_dict["NAME"] = name
    yield
    connection.close()
    if server:
        drop(server, name)
