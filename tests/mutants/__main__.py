"""Plant each defect of the list and each of those drawn by a seed; print which test caught it.

python -m tests.mutants [--only WORDS] [--drawn NUMBER --seed SEED]

Fails where one of the list survives, or fits the code no more. One of those drawn that survives is
to be looked at: it may change nothing that anybody could see, or show that a test is missing.
"""

import argparse
import sys
import tomllib
from collections.abc import Iterable, Iterator
from pathlib import Path

from tests.mutants.drawn import draw
from tests.mutants.planting import (
    Defect,
    NotPlantedError,
    Outcome,
    copy_project,
    first_failure,
    outcome_of,
)

LIST = Path(__file__).with_name("defects.toml")


def main() -> int:
    asked = arguments()
    defects = [each for each in listed() if asked.only.lower() in each.what.lower()]
    copy_project()
    if wrong := fails_without_defect(defects):
        print(f"Without any defect this fails already: {wrong}")
        return 1
    of_list = list(plant(defects))
    drawn = list(plant(draw(asked.drawn, asked.seed)))
    for title, outcomes in (("Of the list", of_list), (f"Drawn by seed {asked.seed}", drawn)):
        if outcomes:
            print_table(title, outcomes)
    return int(any(each.survived for each in of_list))


def fails_without_defect(defects: Iterable[Defect]) -> str:
    """Return what is wrong with the tests of the list before anything is planted, or ""."""
    tests = sorted({test for each in defects for test in each.tests})
    try:
        # Without any named, pytest would run them all.
        return first_failure(tests) if tests else ""
    except NotPlantedError as problem:
        return str(problem)


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.mutants")
    parser.add_argument("--only", default="", help="those whose description holds these words")
    parser.add_argument("--drawn", type=int, default=0, help="how many more are drawn by the seed")
    parser.add_argument("--seed", type=int, default=1)
    return parser.parse_args()


def listed() -> list[Defect]:
    """Return the defects of the list."""
    with LIST.open("rb") as file:
        entries = tomllib.load(file)["defect"]
    return [Defect(**entry | {"tests": tuple(entry["tests"])}) for entry in entries]


def plant(defects: Iterable[Defect]) -> Iterator[Outcome]:
    """Plant one after the other and say so as each is done."""
    for defect in defects:
        outcome = outcome_of(defect)
        print(f"{outcome.seconds:5.0f} s  {verdict(outcome)}  {defect.what}", flush=True)
        if outcome.trouble:
            print(outcome.trouble, flush=True)
        yield outcome


def verdict(outcome: Outcome) -> str:
    if outcome.trouble:
        return "NOT PLANTED"
    return "SURVIVED" if outcome.survived else "caught"


def print_table(title: str, outcomes: list[Outcome]) -> None:
    """Print what was planted where, which test caught it, and after how long."""
    rows = [("defect", "file", "caught by", "s")]
    for each in outcomes:
        test = each.caught_by.removeprefix("tests/") or verdict(each)
        rows.append((each.defect.what, each.defect.file, test, f"{each.seconds:.0f}"))
    widths = [max(len(row[column]) for row in rows) for column in range(3)]
    survivors = sum(each.survived for each in outcomes)
    print(f"\n{title}: {len(outcomes)} defects, {survivors} survived")
    for row in rows:
        cells = [cell.ljust(width) for cell, width in zip(row, widths, strict=False)]
        print(" | ".join([*cells, row[3].rjust(4)]))


if __name__ == "__main__":
    sys.exit(main())
