"""Settings of the servers that the fault tests start and kill: as in use, plus one slow task."""

from restoration.settings.base import *  # noqa: F403
from restoration.settings.base import INSTALLED_APPS

INSTALLED_APPS = [*INSTALLED_APPS, "tests.faults.slow"]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
