"""The known points of a photograph: where they are on it, and where on the window."""

from dataclasses import dataclass
from typing import Any, Final

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from condition.compute.rectify.homography import RectifyError, solve
from condition.compute.strokes import StrokeError
from condition.compute.typed_places import read_mm, read_share, write_mm, write_share
from condition.models import Photograph, PhotographScale
from condition.services.rectifying import known_points, set_scale
from sites.forms.base import RecordForm
from sites.forms.fields import LengthField, bare_unit_of
from sites.models import Panel, User

ROWS: Final = 8
CORNERS: Final = (
    _("Lower left corner"),
    _("Lower right corner"),
    _("Upper right corner"),
    _("Upper left corner"),
)
Row = tuple[float, float, float, float]


@dataclass(frozen=True)
class PointRow:
    """The four boxes of one point, as the page lays them out."""

    number: int
    name: Any
    boxes: tuple[forms.BoundField, ...]

    @property
    def errors(self) -> list[str]:
        return [str(error) for box in self.boxes for error in box.errors]


class ScaleForm(RecordForm):
    """Four corners of a rectangle of known size, or any four to eight points known.

    The places of the first four on the window may stay empty: then they are the corners. A width
    and a height that are typed make them the corners whatever stood there.
    """

    class Meta:
        model = PhotographScale
        fields = ["panel", "from_outside", "known_from"]
        labels = {
            "panel": _("Which panel it shows"),
            "from_outside": _("Taken from outside"),
            "known_from": _("How the sizes are known"),
        }
        help_texts = {
            "known_from": _("Taped on the bench; off the rubbing of 1998; the recorded made size."),
        }

    def __init__(self, *args: Any, photograph: Photograph, user: User, **kwargs: Any) -> None:
        self.photograph, self.user = photograph, user
        instance = PhotographScale.objects.filter(photograph=photograph).first()
        kwargs["instance"] = instance or PhotographScale(photograph=photograph)
        self.unit = bare_unit_of(kwargs.get("units", user.units))
        kwargs.setdefault("units", user.units)
        kwargs["initial"] = _initial(kwargs["instance"], self.unit) | (kwargs.get("initial") or {})
        super().__init__(*args, **kwargs)

    def prepare(self) -> None:
        opening = self.photograph.opening
        panels = opening.panels.all() if opening else Panel.objects.none()
        self.fields["panel"].queryset = panels
        self.fields["panel"].empty_label = gettext("No panel of the register")
        self.fields["width"] = LengthField(label=_("Width between the corners"), units=self.units)
        self.fields["height"] = LengthField(label=_("Height between the corners"), units=self.units)
        for n in range(1, ROWS + 1):
            for name, label in (
                ("u", _("Point %d: across the photograph, in per cent")),
                ("v", _("Point %d: down the photograph, in per cent")),
                ("x", _("Point %d: across the window, from the left")),
                ("y", _("Point %d: up the window, from below")),
            ):
                box = forms.CharField(label=gettext(str(label)) % n, required=False, max_length=40)
                box.widget.attrs.update({"autocomplete": "off", "inputmode": "text"})
                self.fields[f"{name}_{n}"] = box

    @property
    def rows(self) -> list[PointRow]:
        return [
            PointRow(
                number=n,
                name=CORNERS[n - 1] if n <= len(CORNERS) else gettext("Point %d") % n,
                boxes=tuple(self[f"{name}_{n}"] for name in "uvxy"),
            )
            for n in range(1, ROWS + 1)
        ]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        size = self._size(cleaned)
        rows = [
            (n, row) for n in range(1, ROWS + 1) if (row := self._row(cleaned, n, size)) is not None
        ]
        if self.errors:
            return cleaned
        self.points = [row for _n, row in rows]
        try:
            solve(known_points(self.photograph, self.points))
        except RectifyError as error:
            at = [rows[point - 1][0] for point in error.points if point <= len(rows)]
            self.add_error(f"u_{at[-1]}" if at else "u_1", str(error))
        return cleaned

    def write(self) -> None:
        given = self.cleaned_data
        set_scale(
            self.photograph,
            self.points,
            panel=given.get("panel"),
            from_outside=given.get("from_outside", False),
            known_from=given.get("known_from") or self.usual_source,
            user=self.user,
        )

    def _size(self, cleaned: dict[str, Any]) -> tuple[float, float] | None:
        """The rectangle's size: as typed, else as the register has it of the panel."""
        panel = cleaned.get("panel")
        typed = (cleaned.get("width"), cleaned.get("height"))
        of_panel = (panel.width_mm, panel.height_mm) if panel else (None, None)
        sides = [
            float(length.mm) if length else float(mm) if mm else None
            for length, mm in zip(typed, of_panel, strict=True)
        ]
        self.usual_source = ""
        if panel and not any(typed) and all(sides):
            self.usual_source = gettext("the recorded size of panel %s") % panel.number
        return (sides[0], sides[1]) if sides[0] and sides[1] else None

    def _row(self, cleaned: dict[str, Any], n: int, size: tuple[float, float] | None) -> Row | None:
        """One point, or None where its boxes are empty or wrong."""
        u, v, x, y = (str(cleaned.get(f"{name}_{n}") or "").strip() for name in "uvxy")
        if not (u or v):
            if x or y:
                self.add_error(f"u_{n}", _("Say where this point is on the photograph."))
            return None
        at = [self._read(f"{name}_{n}", text, read_share) for name, text in (("u", u), ("v", v))]
        typed_size = bool(cleaned.get("width") and cleaned.get("height"))
        if (x or y) and not (typed_size and n <= len(CORNERS)):
            read = read_mm(self.unit)
            place = [self._read(f"{name}_{n}", text, read) for name, text in (("x", x), ("y", y))]
        else:
            place = self._corner(n, size)
        if None in at or None in place:
            return None
        return (at[0] / 100, at[1] / 100, place[0], place[1])  # type: ignore[operator,return-value]

    def _corner(self, n: int, size: tuple[float, float] | None) -> list[float | None]:
        if n > len(CORNERS):
            self.add_error(f"x_{n}", _("Say where this point is on the window."))
            return [None, None]
        if size is None:
            if not {"width", "height"} & self.errors.keys():
                text = _(
                    "Give the width and the height between the corners, or choose a panel "
                    "whose size is recorded."
                )
                self.add_error("width", text)
            return [None, None]
        width, height = size
        return [width if n in (2, 3) else 0.0, height if n in (3, 4) else 0.0]

    def _read(self, name: str, text: str, read: Any) -> float | None:
        if not text:
            self.add_error(name, _("Both numbers of a place are needed."))
            return None
        try:
            return float(read(text))
        except StrokeError as error:
            self.add_error(name, ValidationError(str(error)))
            return None


def _initial(scale: PhotographScale, unit: Any) -> dict[str, str]:
    """What the boxes hold of a scale that is there."""
    filled: dict[str, str] = {}
    rows = scale.points if isinstance(scale.points, list) else []
    for n, row in enumerate(rows[:ROWS], start=1):
        try:
            u, v, x, y = (float(value) for value in row)
        except (TypeError, ValueError):
            continue
        filled |= {
            f"u_{n}": write_share(u * 100),
            f"v_{n}": write_share(v * 100),
            f"x_{n}": write_mm(x, unit),
            f"y_{n}": write_mm(y, unit),
        }
    return filled
