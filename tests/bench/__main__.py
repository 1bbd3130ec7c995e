"""`make bench`: speed as ratios to a yardstick of the same run. A table, and no assertion."""

import os
import platform
from collections.abc import Callable, Iterator

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.bench.settings")


def main() -> None:
    django.setup()
    from tests.bench import photographs, reports  # models need the settings first

    print(f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}\n")
    print(f"{'work':<88}{'time':>9}{'yardstick':>11}{'ratio':>8}{'target':>8}")
    for row in rows([photographs.rows, reports.rows]):
        target = f"≤ {row['target']:g}" if row["target"] else "–"
        print(
            f"{row['name']:<88}{row['seconds']:>8.3f}s{row['yardstick_seconds']:>10.3f}s"
            f"{row['ratio']:>8.2f}{target:>8}",
            flush=True,
        )
        if row.get("note"):
            print(f"    {row['note']}")


def rows(makers: list[Callable[[], list[dict]]]) -> Iterator[dict]:
    for make in makers:
        yield from make()


if __name__ == "__main__":
    main()
