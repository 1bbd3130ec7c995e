"""Plant each defect of the list and each of those drawn by a seed; print which test caught it.

python -m tests.mutants [--only WORDS] [--drawn NUMBER --seed SEED]
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
    if wrong := first_failure(sorted({test for each in defects for test in each.tests})):
        print(f"Without any defect this fails already: {wrong}")
        return 1
    outcomes = list(plant(defects))
    outcomes += list(plant(draw(asked.drawn, asked.seed)))
    survivors = [each for each in outcomes if each is None or each.survived]
    print(f"\n{len(outcomes)} defects planted, {len(survivors)} survived")
    return 1 if survivors else 0


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


def plant(defects: Iterable[Defect]) -> Iterator[Outcome | None]:
    """Plant one after the other and print a line for each; None for one that does not fit."""
    for defect in defects:
        try:
            outcome = outcome_of(defect)
        except NotPlantedError as problem:
            print(f"NOT PLANTED  {problem}", flush=True)
            yield None
            continue
        verdict = outcome.caught_by or "SURVIVED"
        print(f"{outcome.seconds:5.0f} s  {defect.what}\n         {verdict}", flush=True)
        yield outcome


if __name__ == "__main__":
    sys.exit(main())
