"""Settings of the test suite: as in use, but with a cheap password hash and folders of its own."""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

os.environ.setdefault("SECRET_KEY", "a-key-for-tests-only-" * 4)
os.environ.setdefault("PUBLIC_URL", "http://localhost:8000")
os.environ.setdefault("LOG_LEVEL", "WARNING")

from restoration.settings.base import *  # noqa: F403
from restoration.settings.base import DATABASES, STORAGES

TEST_DIR = Path(tempfile.mkdtemp(prefix="saddlebar-test-"))
OWNER = os.getpid()


@atexit.register
def tidy_up() -> None:
    """Leave nothing behind; a child that a test forks off ends before its parent does."""
    if os.getpid() == OWNER:
        shutil.rmtree(TEST_DIR, ignore_errors=True)


MEDIA_ROOT = TEST_DIR / "files"
STORAGES["default"]["OPTIONS"]["location"] = MEDIA_ROOT
# Or each test's client would list all the static files anew.
WHITENOISE_AUTOREFRESH = True
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
# Several connections to one in-memory database fail under parallel writers: use a file.
if "sqlite" in DATABASES["default"]["ENGINE"]:
    DATABASES["default"]["TEST"] = {"NAME": TEST_DIR / "test.sqlite3"}
    # What tests write need not outlive a power cut.
    DATABASES["default"]["OPTIONS"]["init_command"] += "PRAGMA synchronous=OFF;"
