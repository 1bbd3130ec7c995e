"""Rows of boxes of the window editor: a bar, a tracery light, an attached item."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext_lazy as _

from sites.compute.lengths import Length, LengthError
from sites.compute.plain_json import plain_json
from sites.compute.record_fields import REQUIRED
from sites.compute.register_data import BarData, ItemData, PanelData
from sites.forms.fields import CountField, LengthField, NumberField, ask_about
from sites.forms.recorded import RuleBoxes
from sites.models import AttachedItem, Bar, Opening, Panel
from sites.models.choices import BarKind, BarMaterial, BarSection, Head, ItemKind
from sites.models.opening import FEWEST_FOILS, MOST_FOILS
from sites.services.drawing_editor.sheet import Row
from sites.services.drawing_editor.writing import place_of

TRACERY_SHAPES = [
    (head.value, head.label)
    for head in (
        Head.ROUNDEL,
        Head.FOILED_IN_CIRCLE,
        Head.FOILED,
        Head.VESICA,
        Head.ELLIPSE,
        Head.CURVED_TRIANGLE,
        Head.TRIANGLE,
        Head.RECTANGLE,
        Head.POINTS,
    )
]


class PlaceField(LengthField):
    """A place along an axis: nought and below it are places too. Cleans to millimetres."""

    def clean(self, value: Any) -> Any:
        text = forms.CharField.clean(self, value)
        if not text:
            return None
        try:
            return place_of(text, self.units)
        except LengthError as error:
            raise ValidationError(str(error), code="length") from error


class RowForm(RuleBoxes, forms.Form):
    """One row of boxes; `record` is what they say, made into a record that is not saved."""

    kind_of_row: ClassVar[str]
    boxes = {"x_mm": "x", "y_mm": "y", "turn_degrees": "turn"}
    # Said only where one is empty: a row of boxes is no place for "required" six times.
    needed: ClassVar[tuple[str, ...]] = ("number",)
    sizes: ClassVar[tuple[str, ...]] = ("width", "height")
    # What its sizes are sizes of: keys of `USUAL`.
    usual: ClassVar[dict[str, str]] = {}
    key = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, row: Row, place: int, units: str, lights: int = 0) -> None:
        prefix = f"{self.kind_of_row}-{place}"
        super().__init__({f"{prefix}-{name}": text for name, text in row.items()}, prefix=prefix)
        self.place, self.units, self.row = place, units, row
        for box in self.fields.values():
            box.error_messages["required"] = REQUIRED
            if isinstance(box, LengthField):
                box.units = units
        self.leave_limits_to_the_rules()
        self.prepare(lights)

    def prepare(self, lights: int) -> None:
        """Narrow choices to the window, which has so many lights."""

    def ask(self, stored: Mapping[str, models.Model]) -> None:
        """Ask about sizes out of their usual range, other than those that are recorded already."""
        for name, quantity in self.usual.items():
            kept = getattr(self.known(stored), f"{name}_mm", None)
            ask_about(self, name, quantity, kept)

    def clean(self) -> None:
        for name in self.needed:
            if name in self.cleaned_data and self.cleaned_data[name] in (None, ""):
                self.add_error(name, ValidationError(REQUIRED, code="required"))

    @property
    def name(self) -> str:
        """What the row is called where its errors are listed."""
        return str(self.row.get("number", ""))

    def choice_name(self, name: str) -> str:
        """The words of a choice as it stands in its box."""
        return str(dict(self.fields[name].choices).get(self.row.get(name, ""), ""))

    @property
    def has_key(self) -> bool:
        return bool(self.row.get("key"))

    def known(self, stored: Mapping[str, models.Model]) -> Any:
        """The stored record the row is of, if there is one."""
        return stored.get(self.row.get("key", ""))

    def fill_length(self, record: models.Model, name: str) -> None:
        """Set a length; the same length keeps the words it was first typed in."""
        length: Length | None = self.cleaned_data.get(name)
        if length is not None and getattr(record, f"{name}_mm") == length.mm:
            return
        setattr(record, f"{name}_typed", length.typed if length else "")
        setattr(record, f"{name}_mm", length.mm if length else None)


class BarForm(RowForm):
    kind_of_row = "bar"
    data_class = BarData
    needed = ("height",)
    height = LengthField(label=_("Above the sill"), max_length=40)
    kind = forms.ChoiceField(label=_("Kind"), choices=BarKind.choices)
    light = forms.TypedChoiceField(
        label=_("Across"), required=False, coerce=int, empty_value=None, choices=()
    )
    section = forms.ChoiceField(
        label=_("Section"), required=False, choices=[("", _("Not recorded")), *BarSection.choices]
    )
    width = LengthField(label=_("Seen width, or diameter"), max_length=40)
    depth = LengthField(label=_("Depth, front to back"), max_length=40)
    material = forms.ChoiceField(
        label=_("Material"), required=False, choices=[("", _("Not recorded")), *BarMaterial.choices]
    )

    def prepare(self, lights: int) -> None:
        each = [(str(n), _("Light %d") % n) for n in range(1, lights + 1)]
        self.fields["light"].choices = [("", _("Every light")), *each]
        if lights < 2 and not self.row.get("light"):
            self.fields["light"].widget = forms.HiddenInput()

    @property
    def name(self) -> str:
        return self.choice_name("kind")

    @property
    def made_of(self) -> str:
        """What is recorded of the bar itself, in a few words."""
        shape = self.choice_name("section") if self.row.get("section") else ""
        material = self.choice_name("material") if self.row.get("material") else ""
        sizes = [self.row.get(name, "") for name in ("width", "depth")]
        told = (shape, " × ".join(dict.fromkeys(size for size in sizes if size)), material)
        return ", ".join(each for each in told if each)

    def record(self, stored: Mapping[str, Bar]) -> Bar | None:
        """Return the bar, or None while its height is not to be read."""
        if "height" not in self.cleaned_data or "kind" not in self.cleaned_data:
            return None
        bar = self.known(stored) or Bar()
        bar.kind, bar.light = self.cleaned_data["kind"], self.cleaned_data.get("light")
        self.fill_length(bar, "height")
        self._fill_make(bar)
        return bar

    def _fill_make(self, bar: Bar) -> None:
        """Set what the row says of the bar itself; a page without these boxes leaves it alone."""
        for name in ("section", "material"):
            if name in self.row and name in self.cleaned_data:
                setattr(bar, name, self.cleaned_data[name])
        for name in ("width", "depth"):
            if name in self.row and name in self.cleaned_data:
                self.fill_length(bar, name)


class TraceryForm(RowForm):
    kind_of_row = "tracery"
    data_class = PanelData
    needed = ("number", "x", "y", "width")
    usual = {"width": "panel width", "height": "panel height"}
    number = forms.CharField(label=_("Number"), max_length=24, required=False)
    shape = forms.ChoiceField(label=_("Shape"), choices=TRACERY_SHAPES)
    x = PlaceField(label=_("Middle, from the left"), max_length=40)
    y = PlaceField(label=_("Middle, above the sill"), max_length=40)
    width = LengthField(label=_("Width"), max_length=40)
    height = LengthField(label=_("Height, if another"), max_length=40)
    turn = NumberField(label=_("Turned, degrees"), required=False)
    foils = CountField(
        label=_("Foils"), required=False, min_value=FEWEST_FOILS, max_value=MOST_FOILS
    )
    points = forms.CharField(required=False, widget=forms.HiddenInput)

    @property
    def shape_name(self) -> str:
        return self.choice_name("shape")

    def clean_points(self) -> list[Any]:
        try:
            points = plain_json(self.cleaned_data["points"] or "[]")
        except ValueError:
            return []
        return points if isinstance(points, list) else []

    def record(self, stored: Mapping[str, Panel]) -> Panel | None:
        """Return the tracery light, or None while a box it needs is not to be read."""
        got = self.cleaned_data
        if any(name not in got for name in ("number", "shape", "x", "y", "width")):
            return None
        panel = self.known(stored) or stored.get(got["number"]) or Panel()
        panel.number, panel.shape = got["number"], got["shape"]
        panel.x_mm, panel.y_mm = got["x"], got["y"]
        panel.turn_degrees = got.get("turn") or Decimal(0)
        panel.foils, panel.points = got.get("foils"), got.get("points") or []
        for name in self.sizes:
            self.fill_length(panel, name)
        return panel


class PlaqueForm(RowForm):
    kind_of_row = "plaque"
    usual = {"width": "item width", "height": "item height"}
    data_class = ItemData
    number = forms.CharField(label=_("Number"), max_length=24, required=False)
    kind = forms.ChoiceField(label=_("Kind"), choices=ItemKind.choices)
    x = PlaceField(label=_("Middle, from the left"), max_length=40)
    y = PlaceField(label=_("Middle, above the sill"), max_length=40)
    width = LengthField(label=_("Width"), max_length=40)
    height = LengthField(label=_("Height"), max_length=40)
    inscription = forms.CharField(
        label=_("Inscription"),
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    @property
    def kind_name(self) -> str:
        return self.choice_name("kind")

    @property
    def is_placed(self) -> bool:
        return bool(self.row.get("x") and self.row.get("y"))

    def record(self, stored: Mapping[str, AttachedItem]) -> AttachedItem | None:
        """Return the item, or None while a box it needs is not to be read."""
        got = self.cleaned_data
        if any(name not in got for name in ("number", "kind", "x", "y")):
            return None
        item = self.known(stored) or AttachedItem()
        item.number, item.kind = got["number"], got["kind"]
        item.x_mm, item.y_mm = got["x"], got["y"]
        item.inscription = got.get("inscription", "").replace("\r\n", "\n")
        for name in self.sizes:
            self.fill_length(item, name)
        return item


def stored_of(opening: Opening) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    """Return an opening's bars, panels and items by their keys, panels by their numbers too."""
    if opening._state.adding:
        return {}, {}, {}
    bars = {str(bar.pk): bar for bar in opening.bars.all()}
    panels = list(opening.panels.all())
    by_number = {panel.number: panel for panel in panels}
    by_key = {str(panel.pk): panel for panel in panels}
    items = {str(item.pk): item for item in opening.attached_items.all()}
    return bars, {**by_number, **by_key}, items
