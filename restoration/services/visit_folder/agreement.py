"""Whether a row agrees with what is registered: equal, new to it, or at odds with it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Model

from restoration.compute.visit_folder.problems import Place, Problem
from sites.compute.lengths import Length
from sites.services.register import edtf_of, old_date_columns

# Words that stand for "nobody has said": a row may put something better in their place.
UNSAID = ("unknown", "not seen")
VAGUE = ("", None, "other", *UNSAID)
LENGTHS = (
    "width", "height", "sill_height", "thickness", "springing", "small_radius", "mullion",
    "light_springing", "rebate", "plan_along", "glass_thickness", "letter_height", "margin",
    "reading_distance", "lower_edge", "length", "depth", "span", "within",
)  # fmt: skip
OLD_DATES = ("made", "installed")

Stated = Mapping[str, Any]


@dataclass
class Agreement:
    """A registered row with what a folder adds to it, and where the two are at odds."""

    record: Model
    changed: list[str] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


def stated(row: object, names: tuple[str, ...]) -> dict[str, Any]:
    """Return what a row says in the columns named, its empty cells left out."""
    values = {name: getattr(row, name) for name in names}
    return {name: value for name, value in values.items() if value not in ("", None)}


def as_columns(said: Stated) -> dict[str, Any]:
    """Return what a row says as columns of a table: a length is two of them, a date too."""
    columns: dict[str, Any] = {}
    for name, value in said.items():
        if isinstance(value, Length):
            columns |= {f"{name}_typed": value.typed, f"{name}_mm": value.mm}
        elif name == "light_widths":
            columns |= {name: joined(value), f"{name}_mm": [float(each.mm) for each in value]}
        else:
            columns[name] = value
            if name in OLD_DATES:
                columns |= old_date_columns(name, value)
    return columns


def agree(record: Model, said: Stated, at: Place) -> Agreement:
    """Fill what `record` leaves open with what a row says; it is changed in memory only.

    What differs is a problem that names both values; nothing registered is written over.
    """
    agreement = Agreement(record)
    for name, value in said.items():
        there = _registered(record, name)
        if value in UNSAID or _same(record, name, there, value):
            continue
        if there in VAGUE:
            for column, filled in as_columns({name: value}).items():
                setattr(record, column, filled)
                agreement.changed.append(column)
        else:
            agreement.problems.append(_at_odds(at, name, there, value))
    return agreement


def _registered(record: Model, name: str) -> Any:
    return getattr(record, f"{name}_typed" if name in LENGTHS else name)


def joined(lengths: Iterable[Length]) -> str:
    """Return several lengths as they were typed, one after the other."""
    return "; ".join(each.typed for each in lengths)


def _same(record: Model, name: str, there: Any, value: Any) -> bool:
    if name == "light_widths":
        return bool(record.light_widths_mm == [float(each.mm) for each in value])  # type: ignore[attr-defined]
    if isinstance(value, Length):
        return bool(getattr(record, f"{name}_mm") == value.mm)
    if isinstance(value, str) and isinstance(there, str):
        if " ".join(there.split()) == " ".join(value.split()):
            return True
        return name in OLD_DATES and bool(there) and edtf_of(there) == edtf_of(value)
    return bool(there == value)


def _at_odds(at: Place, name: str, there: Any, value: Any) -> Problem:
    return at.problem(
        name.replace("_", " "),
        f"The register says {_shown(there)}, this row says {_shown(value)}.",
        "Correct whichever is wrong.",
    )


def _shown(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        value = joined(value)
    text = value.typed if isinstance(value, Length) else str(value)
    return f'"{text}"'
