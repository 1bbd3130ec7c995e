"""The form with which a window is drawn: single boxes, and rows of them."""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from copy import copy
from typing import Any, NamedTuple

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sites.compute.division import Division
from sites.compute.lengths import LengthError, parse_length
from sites.compute.problems import Problem, once_a_field
from sites.compute.register_data import BarData
from sites.compute.register_rules import (
    BAR_TAKEN,
    bar_problems,
    grid_problems,
    item_problems,
    panel_problems,
)
from sites.compute.typed_numbers import NumberError, read_number
from sites.compute.typed_text import parts_of
from sites.forms.drawing_rows import (
    TRACERY_SHAPES,
    BarForm,
    PlaqueForm,
    RowForm,
    TraceryForm,
    stored_of,
)
from sites.forms.fields import CountField, LengthField, bare_unit_of
from sites.forms.recorded import RecordedForm
from sites.models import AttachedItem, Bar, Opening, Panel, User
from sites.models.choices import Head
from sites.services.drawing_editor.draft import Draft, Refusal, divided
from sites.services.drawing_editor.laying import MOST_ROWS, MOST_TRACERY, lay_out
from sites.services.drawing_editor.sheet import Sheet
from sites.services.recording import values_of
from sites.services.register_recording import ITEMS, OPENINGS, PANELS

HEADS = [(head.value, head.label) for head in Head if head != Head.OTHER]
# What is said when the window is saved, not while it is typed.
TOO_LATE = frozenset({"required", "implausible"})


class DrawingForm(RecordedForm):
    """The single boxes: which window, its shape, its lights, and what is laid out in it."""

    recording = OPENINGS
    boxes = {"points": "corners"}
    lengths = {
        "width": gettext_lazy("Width (span)"),
        "height": gettext_lazy("Height"),
        "springing": gettext_lazy("Springing above the sill"),
        "small_radius": gettext_lazy("Small radius"),
        "mullion": gettext_lazy("Mullion width"),
        "light_springing": gettext_lazy("Springing of the lights"),
    }
    usual = {"width": "opening width", "height": "opening height"}
    rows = CountField(
        label=gettext_lazy("Rows of panels"), required=False, min_value=1, max_value=MOST_ROWS
    )
    tracery_count = CountField(
        label=gettext_lazy("Tracery lights"),
        required=False,
        min_value=0,
        max_value=MOST_TRACERY,
    )
    tracery_shape = forms.ChoiceField(
        label=gettext_lazy("Their shape"), required=False, choices=TRACERY_SHAPES
    )
    corners = forms.CharField(
        label=gettext_lazy("Corners"), required=False, widget=forms.Textarea(attrs={"rows": 4})
    )

    class Meta:
        model = Opening
        fields = [
            "number",
            "title",
            "wall",
            "level",
            "head",
            "foils",
            "lights",
            "light_head",
            "light_widths",
        ]

    def prepare(self) -> None:
        self.heads = list(HEADS)
        if self.instance.head == Head.OTHER and not self.instance._state.adding:
            self.heads.append((Head.OTHER.value, Head.OTHER.label))
        self.fields["head"].choices = self.heads
        self.fields["light_head"].choices = [("", _("As the window's head cuts them")), *HEADS[:5]]
        self.fields["saddle_every"] = LengthField(
            label=_("Saddle bars every"), units=self.units, max_length=40
        )
        self.fields["number"].help_text = _("Such as nII or s4.")
        self.fields["light_widths"].help_text = _(
            "Only if uneven: from the left, with a comma and a space between."
        )
        self.fields["corners"].help_text = _(
            "One corner a line, counter-clockwise from the left foot, in mm: from the left, "
            "above the sill, and the bulge of the edge that follows if it is an arc."
        )

    def problems(self) -> list[Problem]:
        # The editor letters the panels it draws.
        return [*super().problems(), *grid_problems(self.instance.lights or 0, "lights")]

    def clean_corners(self) -> list[list[float]]:
        """Each line as numbers; words that are none are named."""
        corners = []
        for at, line in enumerate(self.cleaned_data["corners"].splitlines(), start=1):
            try:
                corner = [float(read_number(part)) for part in line.split()]
            except NumberError as error:
                raise ValidationError(
                    _("Line %(line)d: %(error)s") % {"line": at, "error": error}
                ) from error
            if corner and len(corner) not in (2, 3):
                raise ValidationError(_("Line %d needs two numbers, or three for an arc.") % at)
            if corner:
                corners.append([*corner, 0.0][:3])
        return corners

    def clean(self) -> dict[str, Any]:
        got = super().clean() or self.cleaned_data
        self._read_light_widths(got)
        if "corners" in got:
            self.instance.points = got["corners"]
        return got

    def _read_light_widths(self, got: dict[str, Any]) -> None:
        parts = parts_of(got.get("light_widths", ""))
        widths = []
        for part in parts:
            try:
                widths.append(float(parse_length(part, bare_unit_of(self.units)).mm))
            except LengthError as error:
                self.add_error("light_widths", str(error))
                return
        self.instance.light_widths_mm = widths


class Complaint(NamedTuple):
    """An error with the box it belongs to, for the list of all of them; `box` is an id or ""."""

    box: str
    label: str
    words: str


class WindowForms:
    """All forms of one window, bound to what stands in the boxes."""

    def __init__(self, sheet: Sheet, opening: Opening, user: User) -> None:
        """Fill the opening from what can be read, lay out what is asked for, divide the rest."""
        self.sheet, self.opening, self.user, self.units = sheet, opening, user, user.units
        self.stored = stored_of(opening)
        self._bound: tuple[dict[str, str], Opening] | None = None
        self._bare: tuple[dict[str, str], Division | None] | None = None
        lay_out(sheet, self._bare_of, self.units)
        self.draft = self._draft_of(sheet)
        self.division: Division | None = None
        self.division, refusals = divided(self.draft)
        self._check_rows()
        for refusal in refusals:
            self._refuse(refusal)
        # Last, so that the window is drawn with the size that is asked about.
        every: tuple[Sequence[RowForm], ...] = (self.bars, self.tracery, self.plaques)
        for rows, stored in zip(every, self.stored, strict=True):
            for row in rows:
                row.ask(stored)

    def _bare_of(self, sheet: Sheet) -> Division | None:
        """The window without bars and tracery; divided once for the same boxes."""
        if self._bare is None or self._bare[0] != sheet.boxes:
            draft = Draft(self._opening_of(sheet), [], [], [])
            self._bare = (dict(sheet.boxes), divided(draft)[0])
        return self._bare[1]

    def _opening_of(self, sheet: Sheet) -> Opening:
        """Bind the single boxes, and return an unsaved record of what can be read of them."""
        if self._bound is not None and self._bound[0] == sheet.boxes:
            return self._bound[1]
        # A copy each time: what a box no longer says must not stay from when it still did.
        opening = copy(self.opening)
        self._bound = (dict(sheet.boxes), opening)
        self.form = DrawingForm(dict(sheet.boxes), instance=opening, user=self.user)
        self.form.is_valid()
        return opening

    def _draft_of(self, sheet: Sheet) -> Draft:
        """Bind everything to the boxes and make unsaved records of what can be read."""
        opening = self._opening_of(sheet)
        lights = self.form.cleaned_data.get("lights") or 0
        self.bars = [BarForm(r, n, self.units, lights) for n, r in enumerate(sheet.bars)]
        self.tracery = [TraceryForm(r, n, self.units) for n, r in enumerate(sheet.tracery)]
        self.plaques = [PlaqueForm(r, n, self.units) for n, r in enumerate(sheet.plaques)]
        for row in self.rows:
            row.is_valid()
        return self._draft(opening)

    def _draft(self, opening: Opening) -> Draft:
        bars, panels, items = (
            {key: copy(record) for key, record in stored.items()} for stored in self.stored
        )
        self.records: dict[str, RowForm] = {}
        draft = Draft(opening, [], [], [])
        every: tuple[tuple[Sequence[Any], Any, list[Any]], ...] = (
            (self.bars, bars, draft.bars),
            (self.tracery, panels, draft.tracery),
            (self.plaques, items, draft.items),
        )
        for forms_of, stored, into in every:
            for row in forms_of:
                record = row.record(stored)
                if record is not None:
                    into.append(record)
                    self.records[str(record.pk)] = row
        return draft

    @property
    def rows(self) -> list[RowForm]:
        return [*self.bars, *self.tracery, *self.plaques]

    @property
    def is_good(self) -> bool:
        return not self.complaints() and self.division is not None

    def _refuse(self, refusal: Refusal) -> None:
        if refusal.kind:
            rows: dict[str, Sequence[Any]] = {
                "bar": self.draft.bars,
                "tracery": self.draft.tracery,
                "plaque": self.draft.items,
            }
            row = self.records[str(rows[refusal.kind][refusal.place].pk)]
            if not row.errors:
                row.show([Problem(refusal.box, refusal.words)])
        else:
            self.form.show([Problem(refusal.box, refusal.words)])

    def _check_rows(self) -> None:
        """Show at each row what the rules of its record say; numbers and heights once each."""
        opening = OPENINGS.data_of(self.draft.opening)
        parts: tuple[tuple[Sequence[Any], Any, Callable[..., Iterable[Problem]]], ...] = (
            (self.draft.tracery, PANELS, panel_problems),
            (self.draft.items, ITEMS, item_problems),
        )
        for records, recording, rules in parts:
            count = Counter(record.number for record in records)
            twice = {number for number in count if count[number] > 1}
            for record in records:
                self._show(record, rules(recording.data_of(record), opening, twice))
        heights: set[tuple[Any, Any]] = set()
        for bar in self.draft.bars:
            place = (bar.light, bar.height_mm)
            taken = [Problem("height", BAR_TAKEN)] if place in heights else []
            self._show(bar, [*taken, *bar_problems(BarData(**values_of(BarData, bar)))])
            heights.add(place)

    def _show(self, record: Bar | Panel | AttachedItem, problems: Iterable[Problem]) -> None:
        self.records[str(record.pk)].show(once_a_field(problems))

    def complaints(self, early: bool = False) -> list[Complaint]:
        """Return all that is wrong, down the page. early: a box not reached yet is no error."""
        found = [Complaint("", "", str(words)) for words in self.form.non_field_errors()]
        for form in (self.form, *self.rows):
            called = f"{form.name} " if isinstance(form, RowForm) else ""
            for name, errors in form.errors.items():
                if name == "__all__":
                    continue
                box = form[name]
                found += [
                    Complaint(box.auto_id, f"{called}{box.label}", error.messages[0])
                    for error in errors.as_data()
                    if not (early and error.code in TOO_LATE)
                ]
        return found
