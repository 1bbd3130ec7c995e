"""What every form of a record does: lengths and old dates in one box each, constraints in words."""

from decimal import Decimal
from typing import Any, ClassVar, Final

from crispy_forms.helper import FormHelper
from crispy_forms.layout import HTML, Div, Fieldset, Layout
from django import forms
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.db.models import BaseConstraint, CheckConstraint, Q, UniqueConstraint, UUIDField
from django.forms.models import ModelFormMetaclass
from django.utils.functional import Promise
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from sites.compute.lengths import LengthError, mm_for_box, parse_length
from sites.forms import edit_conflicts
from sites.forms.fields import LengthField, OldDateField, ask_about, bare_unit_of, box_of
from sites.forms.idempotency import key_for, read_key
from sites.models.choices import Units
from sites.services.recording import overtaken, refusal_in_words
from sites.services.register import fill_old_date

Words = str | Promise

PAGE_KEY: Final = "key"
AS_SHOWN: Final = "as_shown"

LENGTH_HELP: dict[str, Words] = {
    Units.METRIC: _('A bare number is millimetres. 87.3 cm, 34 3/8" and 2\' 10 3/8" do as well.'),
    Units.INCH: _('A bare number is inches. 34 3/8", 2\' 10 3/8", 873 mm and 87.3 cm do as well.'),
}


def side_by_side(*names: Any) -> Div:
    """Boxes in one row where there is room for it."""
    return Div(*names, css_class="form-row")


def group(legend: Words, *parts: Any) -> Fieldset:
    """Boxes under one heading."""
    return Fieldset(legend, *parts)


class _BoxesOfColumns(ModelFormMetaclass):
    """Makes the boxes of a form's columns with `box_of`, so that no form has to say it."""

    def __new__(cls, name: str, bases: tuple[type, ...], attrs: dict[str, Any]) -> Any:
        if meta := attrs.get("Meta"):
            meta.formfield_callback = staticmethod(box_of)
        return super().__new__(cls, name, bases, attrs)


class RecordForm(forms.ModelForm, metaclass=_BoxesOfColumns):
    """A form of one record.

    lengths: names for which the record has `<name>_typed` and `<name>_mm`; each is one box.
    usual: what a length or a number is the size of, a key of `USUAL`: a value out of that range
        is asked about before it is kept. currency: of its sums.
    old_dates: names of text fields with an `<name>_edtf` beside them.
    beside: what a page posts besides what was typed, such as its buttons.

    A page for a new record carries a key: sent twice with the same content it makes one record.
    A page for a record that is there carries what its boxes showed: nobody undoes unawares what
    somebody else changed meanwhile. Both stand in `hidden_boxes`; posted without, neither is held.
    """

    # The boxes are of many types; which one a name has is known where it is made.
    fields: dict[str, Any]
    lengths: ClassVar[dict[str, Words]] = {}
    usual: ClassVar[dict[str, str]] = {}
    currency = ""
    old_dates: ClassVar[tuple[str, ...]] = ()
    beside: ClassVar[frozenset[str]] = frozenset(
        {PAGE_KEY, AS_SHOWN, "csrfmiddlewaretoken", "another"}
    )

    def __init__(self, *args: Any, units: str = Units.METRIC, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.adds = self.instance._state.adding
        self.page_key = self._take_key()
        self._loaded = {} if self.adds else edit_conflicts.stored_values(self.instance)
        self.units = units
        for name, label in self.lengths.items():
            self._add_length(name, label)
        for name in self.old_dates:
            self._make_old_date(name)
        self.prepare()
        self.helper = FormHelper()
        self.helper.form_tag = False
        self.helper.disable_csrf = True
        self.helper.layout = self.layout()
        # The summary of errors goes down the page as the boxes do.
        self.order_fields([pointer.name for pointer in self.helper.layout.get_field_names()])
        for box in self.fields.values():
            box.error_messages["required"] = gettext("This must be filled in.")
        # A form may suggest values afterwards: those are not what stands in the record.
        self._of_record = dict(self.initial)

    def prepare(self) -> None:
        """Change boxes before they are laid out: choices narrowed to the record, help, rows."""

    def layout(self) -> Layout:
        """How the boxes stand on the page; all of them in one column unless a form says more."""
        return Layout(*self.fields)

    def length_help(self) -> HTML:
        """The line that says what a length box understands, once for all of them."""
        return HTML(
            format_html('<p class="form-text" id="length-help">{}</p>', LENGTH_HELP[self.units])
        )

    @property
    def hidden_boxes(self) -> SafeString:
        """The boxes nobody sees: the key of a new record, or what was shown of one there is."""
        name, value = PAGE_KEY, str(self.page_key)
        if not self.adds:
            name, value = AS_SHOWN, edit_conflicts.write_shown(self._digests())
        # Without autocomplete="off" a reloaded page would keep what an older one carried.
        box = '<input type="hidden" name="{}" value="{}" autocomplete="off">'
        return format_html(box, name, value)

    def saved_before(self) -> bool:
        """Whether this very page, with the same content, has saved its new record already."""
        if not self.adds or PAGE_KEY not in self.data:
            return False
        there: bool = type(self.instance)._base_manager.filter(pk=self.instance.pk).exists()
        return there

    def store_once(self) -> bool:
        """Check and save the record and return True, or say why not.

        Sent a second time with the same content, what the first sending saved is what counts,
        even where it was only done while we tried.
        """
        return self.saved_before() or (self.is_valid() and self.store()) or self.saved_before()

    def store(self) -> bool:
        """Save the record and return True, or say why not.

        Another request may have taken the same number a moment before, and the database has
        rules of its own: either is an error of the form.
        """
        try:
            with transaction.atomic():
                is_overtaken = self._is_overtaken()
                if not is_overtaken:
                    self.write()
        except IntegrityError as error:
            self.add_error(None, refusal_in_words(error))
            return False
        if is_overtaken:
            self.add_error(None, overtaken())
        return not is_overtaken

    def full_clean(self) -> None:
        super().full_clean()
        if self._holds_what_was_shown:
            self._tell_what_changed_meanwhile()
        for name, quantity in self.usual.items() if self.is_bound else ():
            kept = self._loaded.get(f"{name}_mm" if name in self.lengths else name)
            ask_about(self, name, quantity, kept, self.currency)

    def write(self) -> None:
        """Save the record; a form whose record is saved by a service calls it here."""
        self.save()

    @property
    def _holds_what_was_shown(self) -> bool:
        return self.is_bound and not self.adds and AS_SHOWN in self.data

    def _take_key(self) -> Any:
        """Give a new record the key that its page and content make; return the page's own."""
        key = read_key(self.data.get(PAGE_KEY)) if self.is_bound and self.adds else None
        if key is None or not isinstance(self.instance._meta.pk, UUIDField):
            return self.instance.pk
        self.instance.pk = key_for(key, self.instance, self.data, self.files, self.beside)
        return key

    def _now(self, name: str) -> list[str]:
        """What the box would hold if the form were opened now."""
        box = self[name]
        return edit_conflicts.left_alone(box, self._of_record.get(name, box.initial))

    def _digests(self) -> dict[str, str]:
        return {name: edit_conflicts.digest_of(self._now(name)) for name in self.fields}

    def _tell_what_changed_meanwhile(self) -> None:
        """Name the boxes somebody else changed since the form was opened.

        A box this user left alone takes the new value; one they changed too keeps their words.
        Saved again, the form goes through.
        """
        shown = edit_conflicts.read_shown(self.data[AS_SHOWN])
        told = []
        for name in self.fields if shown else ():
            box, now, before = self[name], self._now(name), shown.get(name, edit_conflicts.EMPTY)
            typed = edit_conflicts.posted(box)
            if edit_conflicts.digest_of(now) == before or typed == now or self._says_the_same(name):
                continue
            words = {"box": box.label, "now": edit_conflicts.in_words(box.field, now)}
            if edit_conflicts.digest_of(typed) == before:
                self.data = edit_conflicts.with_box(self.data, box, now)
                told.append(gettext("%(box)s is now %(now)s.") % words)
            else:
                yours = gettext("%(box)s is now %(now)s. Your own entry still stands below.")
                told.append(yours % words)
        if told:
            opened = gettext(
                "This was changed while you had it open, by somebody else or by you on another "
                "page. Yours is not saved yet: go through it, then save again."
            )
            self.add_error(None, [opened, *told])

    def _says_the_same(self, name: str) -> bool:
        """Whether a box, read, comes to what stands in the record already: 2,50 and 2.5."""
        if name in self.errors:
            return False
        columns = {name, f"{name}_id", f"{name}_typed", f"{name}_mm"} & self._loaded.keys()
        if columns:
            return all(self.instance.__dict__[each] == self._loaded[each] for each in columns)
        box = self[name]
        return not box.field.has_changed(self._of_record.get(name, box.initial), box.data)

    def _is_overtaken(self) -> bool:
        """Whether the record was changed since this request read it. Locks it till it is saved."""
        if not self._holds_what_was_shown:
            return False
        rows = type(self.instance)._base_manager.select_for_update()
        there = rows.filter(pk=self.instance.pk).first()
        if there is None:
            return True
        now = edit_conflicts.stored_values(there)
        return any(now[name] != value for name, value in self._loaded.items())

    def _post_clean(self) -> None:
        for name in self.lengths:
            self._fill_length(name)
        for name in self.old_dates:
            self._fill_old_date(name)
        # Left to itself the record checks those constraints alone whose every field is shown,
        # and puts their errors beside no box: they are checked afterwards, by `_check_constraints`.
        self.instance.validate_constraints = _leave_for_later
        try:
            super()._post_clean()  # type: ignore[misc]
        finally:
            del self.instance.validate_constraints
        self._check_constraints()
        for name in self.errors.keys() & self.lengths.keys():
            described = f"length-help {self[name].auto_id}_error"
            self.fields[name].widget.attrs["aria-describedby"] = described

    def _check_constraints(self) -> None:
        """Check every constraint of the record, also those over fields the form does not show."""
        wrong = {name for name in self.errors if name in self.fields}
        left_out = wrong | {f"{name}_mm" for name in wrong} | {f"{name}_typed" for name in wrong}
        for constraint in self.instance._meta.constraints:
            try:
                constraint.validate(type(self.instance), self.instance, exclude=left_out)
            except ValidationError as error:
                self.add_error(self._box_of(constraint), ValidationError(error.messages))

    def _add_length(self, name: str, label: Words) -> None:
        typed, mm = getattr(self.instance, f"{name}_typed"), getattr(self.instance, f"{name}_mm")
        self.fields[name] = LengthField(label=label, units=self.units, max_length=40)
        self.fields[name].widget.attrs["aria-describedby"] = "length-help"
        if typed and mm is not None:
            self.initial[name] = typed if self._reads_as(typed, mm) else mm_for_box(mm)

    def _reads_as(self, typed: str, mm: Decimal) -> bool:
        """Whether this user, with their own bare unit, would read the text as it was meant."""
        try:
            return parse_length(typed, bare_unit_of(self.units)).mm == mm
        except LengthError:
            return False

    def _fill_length(self, name: str) -> None:
        # Left as it was, the words first typed stay, whatever this user's own unit is.
        if name in self.errors or name not in self.changed_data:
            return
        length = self.cleaned_data.get(name)
        setattr(self.instance, f"{name}_typed", length.typed if length else "")
        setattr(self.instance, f"{name}_mm", length.mm if length else None)

    def _make_old_date(self, name: str) -> None:
        plain = self.fields[name]
        self.fields[name] = OldDateField(
            label=plain.label, help_text=plain.help_text, max_length=80
        )

    def _fill_old_date(self, name: str) -> None:
        if name in self.errors:
            return
        date = self.cleaned_data.get(name)
        self.cleaned_data[name] = date.typed if date else ""
        fill_old_date(self.instance, name, self.cleaned_data[name])

    def _box_of(self, constraint: BaseConstraint) -> str | None:
        """The box an error of the constraint belongs to, if there is one."""
        names: list[str] = []
        if isinstance(constraint, UniqueConstraint):
            names = [str(name) for name in constraint.fields]
        elif isinstance(constraint, CheckConstraint):
            names = sorted(Q(constraint.condition).referenced_base_fields)
        boxes = [name.removesuffix("_mm").removesuffix("_typed") for name in names]
        shown = [name for name in boxes if name in self.fields]
        return shown[-1] if shown else None


def _leave_for_later(exclude: Any = None) -> None:
    """Stands in for a record's own check of its constraints while the form fills it."""
