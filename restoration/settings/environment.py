"""What PUBLIC_URL and the other environment variables mean; what is wrong is refused at once."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import dj_database_url
from django.core.exceptions import ImproperlyConfigured

LOCAL_NAMES = ("localhost", "127.0.0.1", "[::1]")


@dataclass(frozen=True)
class PublicAddress:
    """The one address people type; hosts, origins, cookies and links follow from it."""

    url: str
    host: str
    secure: bool

    @property
    def allowed_hosts(self) -> list[str]:
        """The host itself; on the studio's own machine every name of that machine."""
        return list(LOCAL_NAMES) if self.is_local else [self.host]

    @property
    def trusted_origins(self) -> list[str]:
        return [self.url]

    @property
    def is_local(self) -> bool:
        return self.host in LOCAL_NAMES


def public_address(value: str) -> PublicAddress:
    """Read PUBLIC_URL. Raises ImproperlyConfigured for anything but http(s)://host[:port]."""
    parts = urlsplit(value)
    if parts.scheme not in ("http", "https") or not parts.hostname or parts.path not in ("", "/"):
        raise ImproperlyConfigured(
            f"PUBLIC_URL must look like https://records.example.org, not {value!r}"
        )
    host = f"[{parts.hostname}]" if ":" in parts.hostname else parts.hostname
    return PublicAddress(f"{parts.scheme}://{parts.netloc}", host, parts.scheme == "https")


def secret_key(value: str, file: str) -> str:
    """The key, or the contents of the file named. Raises ImproperlyConfigured for neither."""
    key = value or (Path(file).read_text().strip() if file else "")
    if len(key) < 50:
        raise ImproperlyConfigured(
            "Set SECRET_KEY (or SECRET_KEY_FILE) to a random text of 50 characters or more."
        )
    return key


def database(url: str, data: Path) -> dict[str, Any]:
    """The database of `url`; without one, SQLite in the data folder.

    SQLite holds the write lock from a transaction's start (IMMEDIATE): a read that turns into a
    write in the middle of one would otherwise fail at once, whatever the timeout.
    """
    if url:
        return dict(dj_database_url.parse(url, conn_max_age=60, conn_health_checks=True))
    return sqlite(data / "saddlebar.sqlite3")


def sqlite(path: Path) -> dict[str, Any]:
    """SQLite at `path` as the program needs it; see `database`."""
    return {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": path,
        "OPTIONS": {
            "transaction_mode": "IMMEDIATE",
            "timeout": 20,
            "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
        },
    }
