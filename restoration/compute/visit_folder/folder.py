"""What lies in a visit folder: its two workbooks, its photographs, and what does not belong."""

import hashlib
import os
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from restoration.compute.visit_folder.problems import Place, Problem
from restoration.compute.visit_folder.workbooks import (
    OLD_FORMAT,
    OLD_SUFFIX,
    SAVE_AS_XLSX,
    WORKBOOK_SUFFIXES,
)

PHOTOGRAPH_SUFFIXES = (".jpg", ".jpeg", ".png", ".heic", ".tif", ".tiff")
PHOTOGRAPHS = "photographs"
WORKBOOKS = ("register", "findings")
# What operating systems and spreadsheet programs leave beside people's files.
_LEFT_BEHIND = ("thumbs.db", "desktop.ini", "__macosx")
_BLOCK_BYTES = 1 << 20


@dataclass(frozen=True)
class FolderFile:
    """A file of the folder: its path, and its name below the folder with `/` between parts."""

    path: Path
    name: str


@dataclass(frozen=True)
class FolderFiles:
    """The files of a folder, the photographs by their names below `photographs/`."""

    workbooks: dict[str, FolderFile]
    photographs: dict[str, FolderFile]
    left_alone: tuple[str, ...]
    problems: tuple[Problem, ...]


def list_folder(root: Path) -> FolderFiles:
    """Return the files of the folder `root`; what is missing or out of place is among its problems.

    Hidden files and what programs leave behind are passed over. Links are not followed: what
    they lead to may lie anywhere. Nothing is read but names.
    """
    if not root.is_dir():
        place = Place(root.name or str(root))
        return FolderFiles({}, {}, (), (place.problem("", "There is no such folder."),))
    problems: list[Problem] = []
    files = list(_walk(root, problems))
    photographs, loose, tops = _sort(files, problems)
    workbooks = {kind: _workbook(kind, tops, problems) for kind in WORKBOOKS}
    known = {file.name for file in workbooks.values() if file}
    return FolderFiles(
        {kind: file for kind, file in workbooks.items() if file},
        photographs,
        tuple(sorted({file.name for file in (*loose, *tops)} - known)),
        tuple(problems),
    )


def digest_folder(files: FolderFiles) -> str:
    """Return the SHA-256 over the names and bytes of all that is taken in, in order of name."""
    digest = hashlib.sha256()
    for file in sorted(
        (*files.workbooks.values(), *files.photographs.values()), key=lambda file: file.name
    ):
        # Lengths first: no two folders can then run together into the same bytes.
        name = file.name.encode()
        digest.update(f"{len(name)} {file.path.stat().st_size} ".encode() + name)
        with file.path.open("rb") as opened:
            while block := opened.read(_BLOCK_BYTES):
                digest.update(block)
    return digest.hexdigest()


def is_left_behind(name: str) -> bool:
    """Whether a file's own name shows that no person put it there."""
    return name.startswith((".", "~$")) or name.casefold() in _LEFT_BEHIND


def _walk(root: Path, problems: list[Problem]) -> Iterator[FolderFile]:
    def unreadable(error: OSError) -> None:
        shown = Path(error.filename).relative_to(root).as_posix()
        problems.append(
            Place(shown).problem("", "This folder cannot be opened.", "Give the right to read it.")
        )

    for folder, folders, names in os.walk(root, onerror=unreadable):
        folders[:] = sorted(name for name in folders if not is_left_behind(name))
        for name in (*folders, *sorted(names)):
            path = Path(folder) / name
            if not _is_text(name) and not is_left_behind(name):
                problems.append(_no_text(path.relative_to(root)))
                continue
            shown = unicodedata.normalize("NFC", path.relative_to(root).as_posix())
            if path.is_symlink():
                problems.append(_link(shown, path, root))
            elif path.is_file() and not is_left_behind(name):
                yield FolderFile(path, shown)
        folders[:] = filter(_is_text, folders)


def _is_text(name: str) -> bool:
    """Whether a name is UTF-8 on the disk: other bytes are surrogates, which nothing can write."""
    return not re.search("[\ud800-\udfff]", name)


def _no_text(name: Path) -> Problem:
    shown = os.fsencode(name.as_posix()).decode("utf-8", "backslashreplace")
    return Place(shown).problem("", "This name is not written in UTF-8.", "Give it another name.")


def _link(shown: str, path: Path, root: Path) -> Problem:
    inside = path.resolve().is_relative_to(root.resolve())
    where = "another place in the folder" if inside else "somewhere outside the folder"
    return Place(shown).problem(
        "", f"This is a link to {where}.", "Put the file itself here, or take the link away."
    )


def _sort(
    files: list[FolderFile], problems: list[Problem]
) -> tuple[dict[str, FolderFile], list[FolderFile], list[FolderFile]]:
    """Return the photographs, the files that are let lie, and those at the top of the folder."""
    photographs: dict[str, FolderFile] = {}
    loose, tops = [], []
    for file in files:
        top, slash, below = file.name.partition("/")
        suffix = file.path.suffix.casefold()
        if slash and top.casefold() == PHOTOGRAPHS:
            if suffix not in PHOTOGRAPH_SUFFIXES:
                problems.append(_no_photograph(file))
            elif below in photographs:
                problems.append(_same_name(file))
            else:
                photographs[below] = file
        elif suffix in PHOTOGRAPH_SUFFIXES:
            problems.append(_outside(file))
        elif slash:
            loose.append(file)
        else:
            tops.append(file)
    return photographs, loose, tops


def _no_photograph(file: FolderFile) -> Problem:
    kinds = ", ".join(PHOTOGRAPH_SUFFIXES)
    return Place(file.name).problem(
        "", "This is no photograph.", f"Photographs end in {kinds}. Take other files out of here."
    )


def _same_name(file: FolderFile) -> Problem:
    return Place(file.name).problem(
        "",
        "Another photograph has this very name, with its accents written otherwise.",
        "Give one of the two another name.",
    )


def _outside(file: FolderFile) -> Problem:
    return Place(file.name).problem(
        "", f"This photograph lies outside {PHOTOGRAPHS}/.", f"Move it into {PHOTOGRAPHS}/."
    )


def _workbook(kind: str, tops: list[FolderFile], problems: list[Problem]) -> FolderFile | None:
    """Return the one workbook whose name has `kind` in it."""
    named = [file for file in tops if kind in file.path.stem.casefold()]
    found = [file for file in named if file.path.suffix.casefold() in WORKBOOK_SUFFIXES]
    old = [file for file in named if file.path.suffix.casefold() == OLD_SUFFIX]
    if len(found) == 1:
        return found[0]
    if not found and old:
        problems.append(Place(old[0].name).problem("", OLD_FORMAT, SAVE_AS_XLSX))
    elif not found:
        possible = f"Its name has “{kind}” in it and ends in {', '.join(WORKBOOK_SUFFIXES)}."
        problems.append(Place(f"{kind}.xlsx").problem("", "This workbook is missing.", possible))
    for file in found:
        problems.append(
            Place(file.name).problem(
                "", f"There are {len(found)} workbooks called {kind}.", "Keep the one that counts."
            )
        )
    return None
