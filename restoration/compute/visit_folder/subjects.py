"""Which openings, panels and items there are, in the folder and in the register together."""

from collections.abc import Collection, Iterator, Mapping
from typing import Final

from condition.compute.recording.subjects import ITEM_ELSEWHERE, PANEL_ELSEWHERE
from restoration.compute.visit_folder.known import Known, not_known
from restoration.compute.visit_folder.problems import Place, Problem, did_you_mean
from restoration.compute.visit_folder.rows import OpeningRow, Rows
from sites.compute.numbering import panel_grid

MOST_LETTERS = 26
ELSEWHERE: Final = {"panel": PANEL_ELSEWHERE, "item": ITEM_ELSEWHERE}


class Subjects:
    """The numbers of all openings, and of the panels and items in each.

    Numbers are compared as they stand: nII is of the main level and NII of the clerestory.
    """

    def __init__(self, rows: Rows, known: Known) -> None:
        self.panels = {number: set(place.panels) for number, place in known.openings.items()}
        self.items = {number: dict(place.items) for number, place in known.openings.items()}
        openings = [opening for opening in rows.openings if opening.number]
        for opening in openings:
            self.panels.setdefault(opening.number, set())
            self.items.setdefault(opening.number, {})
        for panel in rows.panels:
            self.panels.get(panel.opening, set()).add(panel.number)
        for opening in openings:
            if not self.panels[opening.number]:
                self.panels[opening.number].update(grid_of(opening))
        for item in rows.items:
            in_opening = self.items.get(item.opening, {})
            in_opening[item.number] = item.panel or in_opening.get(item.number, "")

    def check(self, at: Place, opening: str, panel: str = "", item: str = "") -> Iterator[Problem]:
        """Say what is wrong with a row's naming of an opening, and of a panel or item in it."""
        if not opening:
            return
        if opening not in self.panels:
            yield at.problem("opening", *not_known("Opening", opening, self.panels))
        else:
            yield from self._check_part(at, "panel", self.panels, opening, panel)
            yield from self._check_part(at, "item", self.items, opening, item)

    def check_together(self, at: Place, opening: str, panel: str, item: str) -> Iterator[Problem]:
        """Say so where a row names an item and a panel that it is not on."""
        on = self.items.get(opening, {}).get(item, "")
        if panel and on and on != panel:
            yield at.problem(
                "panel", f"{item} is on panel {on}, not {panel}.", "Correct one of the two."
            )

    def _check_part(
        self,
        at: Place,
        what: str,
        parts: Mapping[str, Collection[str]],
        opening: str,
        number: str,
    ) -> Iterator[Problem]:
        if not number or number in parts[opening]:
            return
        elsewhere = [other for other in parts if number in parts[other]]
        if elsewhere and not parts[opening]:
            wrong = f"{opening} has no {what}s; {number} is in {', '.join(elsewhere[:3])}."
        elif elsewhere:
            there = ", ".join(elsewhere[:3])
            wrong = ELSEWHERE[what] % {"part": number, "there": there, "here": opening}
        else:
            wrong = f"{opening} has no {what} {number}."
        yield at.problem(what, wrong, did_you_mean(number, sorted(parts[opening])))


def grid_of(opening: OpeningRow) -> list[str]:
    """Return the numbers of the panels that an opening's lights and rows stand for."""
    lights = opening.lights or 1
    if opening.rows is None or lights > MOST_LETTERS:
        return []
    return panel_grid(lights, opening.rows)
