"""The plan as a form: one row a wall; nothing typed is lost, and what is wrong is told by name."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Final

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sites.compute.plan.directions import DirectionError, compass_degrees, compass_text
from sites.compute.plan.rows import (
    COLUMNS,
    ReadWall,
    Row,
    RowError,
    read_rows,
    unknown_openings,
)
from sites.forms.base import Words
from sites.forms.fields import bare_unit_of
from sites.models import Building, PlanPicture
from sites.services.plan import lay_picture, rows_of, save_plan

FEWEST_ROWS: Final = 8
EMPTY_ROWS: Final = 3
MORE_ROWS: Final = 8
# Each is six boxes, and a form with more than a thousand is not read at all.
MOST_ROWS: Final = 150
LAID: Final = ("mm_per_px", "left_mm", "top_mm")
MOST_MM_PER_PX: Final = 100_000
FURTHEST_MM: Final = 1_000_000_000
LABELS: Final[dict[str, Words]] = {
    "name": gettext_lazy("Name"),
    "start": gettext_lazy("Starts at"),
    "direction": gettext_lazy("Direction"),
    "length": gettext_lazy("Length"),
    "rise": gettext_lazy("Rise, if curved"),
    "openings": gettext_lazy("Openings on it, in order"),
}


@dataclass(frozen=True)
class Cell:
    """One box of the table."""

    column: str
    label: str
    value: str
    place: int
    error: str = ""

    @property
    def anchor(self) -> str:
        return f"{self.column}-{self.place + 1}"


class PlanForm:
    """What is typed of a plan: its rows, liturgical east, and how a traced picture lies."""

    def __init__(self, building: Building, units: str, data: QueryDict | None = None) -> None:
        self.building, self.bare_unit = building, bare_unit_of(units)
        self.is_bound = data is not None
        self.errors: list[RowError] = []
        self.other_errors: list[str] = []
        self.walls: list[ReadWall] = []
        self.east: Decimal | None = building.ritual_east
        self.east_error = ""
        self.laid: tuple[Decimal, Decimal, Decimal] | None = None
        # Asked for more lines, or sent along with a picture: kept, and not judged yet.
        self.is_unfinished = data is not None and "more" in data
        self.laid_typed = _laid(self.picture) if data is None else _laid_of(data)
        if data is None:
            self.rows = rows_of(building, self.bare_unit)
            self.east_typed = "" if self.east is None else compass_text(float(self.east), 1)
        else:
            self.rows = [*_rows(data)]
            self.east_typed = data.get("ritual_east", "")
        self._read(data)

    @property
    def picture(self) -> PlanPicture | None:
        return PlanPicture.objects.filter(building=self.building).first()

    def says_as(self, other: "PlanForm") -> bool:
        """Whether both say the same plan; lines with nothing on them say nothing."""
        mine, theirs = ([row for row in each.rows if not row.is_blank] for each in (self, other))
        return mine == theirs and self.east_typed == other.east_typed

    def is_valid(self) -> bool:
        return self.is_bound and not (self.errors or self.other_errors or self.east_error)

    def store(self) -> None:
        """Save the plan that was read."""
        save_plan(self.building, self.walls, self.east)
        picture = self.picture
        if picture and self.laid:
            lay_picture(picture, *self.laid)

    def table(self) -> list[list[Cell]]:
        """The rows as boxes, with empty ones to go on with."""
        empty = MORE_ROWS if self.is_unfinished else EMPTY_ROWS
        filled = len(self.rows)
        while filled and self.rows[filled - 1].is_blank:
            filled -= 1
        count = max(filled, min(MOST_ROWS, max(FEWEST_ROWS, filled + empty)))
        rows = [*self.rows[:filled], *[Row()] * (count - filled)]
        wrong = {(error.row, error.column): error.message for error in self.errors}
        return [
            [
                Cell(
                    column,
                    str(label),
                    getattr(row, column),
                    place,
                    wrong.get((place, column), "")
                    if self.is_bound and not self.is_unfinished
                    else "",
                )
                for column, label in LABELS.items()
            ]
            for place, row in enumerate(rows)
        ]

    def _read(self, data: QueryDict | None) -> None:
        known = dict.fromkeys(self.building.openings.values_list("number", flat=True))
        self.walls, self.errors = read_rows(self.rows, self.bare_unit)
        self.errors += unknown_openings(self.walls, known)
        self.errors.sort(key=lambda error: error.row)
        if data is None:
            return
        if any(not row.is_blank for row in self.rows[MOST_ROWS:]):
            self.other_errors.append(
                _("A plan has at most %d lines of walls. Leave some out: nothing is saved yet.")
                % MOST_ROWS
            )
        if not self.walls and not self.errors:
            self.other_errors.append(
                _("No wall is drawn: the plan stays as it was. Begin with one wall.")
            )
        self._read_east()
        self._read_picture()

    def _read_east(self) -> None:
        try:
            said = self.east_typed.strip()
            self.east = Decimal(f"{compass_degrees(said) % 360:.1f}") % 360 if said else None
        except DirectionError as error:
            self.east_error = str(error)

    def _read_picture(self) -> None:
        said = [text.strip() for text in self.laid_typed.values()]
        if not all(said):
            return
        try:
            scale = Decimal(said[0]).quantize(Decimal("0.000001"))
            left, top = (Decimal(text).quantize(Decimal("0.01")) for text in said[1:])
        except InvalidOperation:
            # Also raised for NaN, infinity and more figures than a Decimal takes.
            self.other_errors.append(_("The scale of the picture is no number. Set it again."))
            return
        if not all(number.is_finite() for number in (scale, left, top)):
            self.other_errors.append(_("The scale of the picture is no number. Set it again."))
        elif not 0 < scale < MOST_MM_PER_PX or max(abs(left), abs(top)) >= FURTHEST_MM:
            self.other_errors.append(_("The scale of the picture is out of reach. Set it again."))
        else:
            self.laid = scale, left, top


def _laid(picture: PlanPicture | None) -> dict[str, str]:
    """How a picture lies, as it is sent along with the rows; nothing until its scale is set."""
    if picture is None or picture.mm_per_px is None:
        return dict.fromkeys(LAID, "")
    return {name: str(getattr(picture, name)) for name in LAID}


def _laid_of(data: QueryDict) -> dict[str, str]:
    return {name: data.get(name, "") for name in LAID}


def _rows(data: QueryDict) -> Iterator[Row]:
    columns = [data.getlist(column) for column in COLUMNS]
    for place in range(max(len(column) for column in columns)):
        yield Row(*(column[place] if place < len(column) else "" for column in columns))


class PlanPictureForm(forms.Form):
    """A drawing or a photograph of the plan, and what its top faces."""

    # The quarters a picture is turned to the left, by what its top faces.
    QUARTERS: Final = {"N": 0, "W": 1, "S": 2, "E": 3}

    picture = forms.FileField(
        label=gettext_lazy("Picture of the plan"),
        error_messages={"required": gettext_lazy("Choose a picture first.")},
    )
    top = forms.ChoiceField(
        label=gettext_lazy("The top of the picture faces"),
        required=False,
        choices=[
            ("N", gettext_lazy("north")),
            ("E", gettext_lazy("east")),
            ("S", gettext_lazy("south")),
            ("W", gettext_lazy("west")),
        ],
        widget=forms.Select(attrs={"class": "form-select", "form": "plan-form"}),
    )

    @property
    def quarters_left(self) -> int:
        return self.QUARTERS.get(self.cleaned_data["top"], 0)
