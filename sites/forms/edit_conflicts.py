"""What a form showed when it was opened, box by box, held against what stands in the record now."""

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from django import forms
from django.db.models import Model
from django.utils.functional import Promise
from django.utils.translation import gettext as _

DIGEST_LENGTH = 16


def digest_of(values: list[str]) -> str:
    """Return a short digest of what one box holds; short because it only tells same from other."""
    text = "\x1f".join(values)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:DIGEST_LENGTH]


EMPTY = digest_of([])


def left_alone(box: forms.BoundField, initial: Any) -> list[str]:
    """Return what a browser would post for a box with this initial value that nobody touched."""
    widget = box.field.widget
    if isinstance(widget, forms.CheckboxInput):
        return ["on"] if initial else []
    shown = widget.format_value(box.field.prepare_value(initial))
    return _as_sent(shown if isinstance(shown, list | tuple) else [shown])


def posted(box: forms.BoundField) -> list[str]:
    """Return what was posted for a box, in the form of `left_alone`."""
    if isinstance(box.field.widget, forms.CheckboxInput):
        return ["on"] if box.data else []
    return _as_sent(_values(box.form.data, box.html_name))


def with_box(data: Any, box: forms.BoundField, values: list[str]) -> Any:
    """Return a copy of what was posted in which a box holds other values."""
    changed = data.copy()
    changed.pop(box.html_name, None)
    if values and hasattr(changed, "setlist"):
        changed.setlist(box.html_name, values)
    elif values:
        changed[box.html_name] = values if len(values) > 1 else values[0]
    return changed


def write_shown(digests: Mapping[str, str]) -> str:
    """Return the digests of all boxes as one text for a hidden box."""
    return " ".join(f"{name}:{digest}" for name, digest in digests.items())


def read_shown(text: str) -> dict[str, str]:
    """Return the digests that `write_shown` wrote; what is none of them is left out."""
    pairs = (part.rpartition(":") for part in str(text).split())
    return {name: digest for name, _colon, digest in pairs if name and len(digest) == DIGEST_LENGTH}


def in_words(field: forms.Field, values: list[str]) -> str:
    """Return what a box holds as its user reads it."""
    if isinstance(field.widget, forms.CheckboxInput):
        return _("ticked") if values else _("not ticked")
    if not values:
        return _("empty")
    if isinstance(field, forms.ChoiceField):
        choices: Any = field.choices
        labels = {str(value): str(label) for value, label in _flat(choices)}
        values = [labels.get(value, value) for value in values]
    return ", ".join(f"“{value}”" for value in values)


def stored_values(record: Model) -> dict[str, Any]:
    """Return the values of the record's own columns, as far as they are loaded."""
    loaded = record.__dict__
    names = [field.attname for field in record._meta.concrete_fields]
    return {name: loaded[name] for name in names if name in loaded}


def _values(data: Any, name: str) -> list[Any]:
    if hasattr(data, "getlist"):
        return list(data.getlist(name))
    value = data.get(name)
    return list(value) if isinstance(value, list | tuple) else [value]


def _as_sent(values: Iterable[Any]) -> list[str]:
    """As texts in a fixed order, with one sort of line end, without what is empty."""
    texts = ["" if value is None else str(value).replace("\r\n", "\n") for value in values]
    return sorted(text for text in texts if text)


def _flat(choices: Iterable[Any]) -> Iterator[tuple[Any, str | Promise]]:
    for value, label in choices:
        if isinstance(label, list | tuple):
            yield from _flat(label)
        else:
            yield value, label
