"""Settings of the benchmark: as in use, on a database and folder made for one run."""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

FOLDER = Path(tempfile.mkdtemp(prefix="saddlebar-bench-"))
atexit.register(shutil.rmtree, FOLDER, ignore_errors=True)
os.environ["DATA_DIR"] = str(FOLDER)
os.environ.setdefault("SECRET_KEY", "a-key-for-benchmarks-only-" * 3)
os.environ["LOG_LEVEL"] = "WARNING"

from restoration.settings.base import *  # noqa: E402, F403
