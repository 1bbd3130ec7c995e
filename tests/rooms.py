"""Which rooms a piece of work has changed."""

import subprocess
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parents[1]
# From the bottom: what changes in one may show in those above it.
ROOMS: Final = ("sites", "condition", "restoration")
# Folders whose files are of the room they are named for.
BY_ROOM: Final = ("", "tests/", "templates/", "static/css/", "static/js/")
VOCABULARY: Final = "fixtures/"


def changed_rooms() -> list[str]:
    """Return the rooms with a file changed since the work left the main line, or not committed."""
    since = _git("merge-base", "HEAD", "origin/main") or _git("merge-base", "HEAD", "main")
    changed = _git("diff", "--name-only", *(since or ["HEAD"]))
    return rooms_of([*changed, *_git("ls-files", "--others", "--exclude-standard")])


def rooms_of(names: list[str]) -> list[str]:
    """Return the rooms that the files, named from the root, belong to."""
    folders = {room: tuple(f"{each}{room}/" for each in BY_ROOM) for room in ROOMS}
    folders["restoration"] = (*folders["restoration"], VOCABULARY)
    return [room for room in ROOMS if any(name.startswith(folders[room]) for name in names)]


def _git(*words: str) -> list[str]:
    done = subprocess.run(["git", *words], cwd=ROOT, capture_output=True, text=True, check=False)
    return done.stdout.split()
