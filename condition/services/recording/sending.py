"""What all records share: sent twice under one key they are one, and their columns are checked."""

import datetime as dt
import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import MISSING, Field, asdict, fields
from decimal import Decimal
from typing import Any, TypeVar
from uuid import UUID

from django.core.exceptions import ValidationError
from django.db.models import Model
from django.utils.translation import gettext as _

from condition.compute.recording.facts import Refused
from sites.services.recording import NotRecordedError, Problem, refuse_deleted

Row = TypeVar("Row", bound=Model)


def in_words(refusals: Iterable[Refused]) -> list[Problem]:
    """Return what the rules refuse, translated."""
    return [Problem(each.field, _(each.text) % each.values) for each in refusals]


def digest_of(data: Any, *more: str) -> str:
    """Return the SHA-256 of a record's values (a dataclass), and of what else comes with them.

    The same for the same record however it is written: values left as they are by themselves do
    not count, so that a later version may add some, nor does an instant's offset from UTC, nor the
    order of several keys.
    """
    defaults = {each.name: _default_of(each) for each in fields(data)}
    values = {
        name: sorted(value, key=str) if _are_keys(value) else value
        for name, value in asdict(data).items()
        if getattr(data, name) != defaults[name]
    }
    text = json.dumps([values, *more], sort_keys=True, default=_plain)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def sent_before(model: type[Row], digests: Mapping[UUID, str]) -> dict[UUID, Row]:
    """Return the records that stand under these keys already, each recorded with the same values.

    Sent again, a record is the one that stands, also where somebody changed it since: what the
    sender did not see is not undone. Raises NotRecordedError for a key that was used for other
    values, and for one whose record was deleted.
    """
    there: dict[UUID, Row] = model._base_manager.in_bulk(list(digests))
    if any(row.sent_sha256 != digests[key] for key, row in there.items()):  # type: ignore[attr-defined]
        text = _("Something else was recorded under this key. Send it as a new one.")
        raise NotRecordedError([Problem("", text)])
    refuse_deleted(model, digests.keys() - there.keys())
    return there


def column_problems(
    row: Model, problems: Iterable[Problem], fields: Mapping[str, str]
) -> list[Problem]:
    """Return what a row's own columns refuse: a text too long, a choice that is none.

    problems: of the rules; a value that has one is not named again.
    fields: the name of the value for columns that have another name.
    """
    relations = {field.name for field in row._meta.fields if field.is_relation}
    named = {problem.field for problem in problems}
    try:
        row.clean_fields(exclude=relations)
    except ValidationError as error:
        return [
            Problem(fields.get(name, name), message)
            for name, messages in error.message_dict.items()
            for message in messages
            if fields.get(name, name) not in named
        ]
    return []


def _default_of(field: Field[Any]) -> Any:
    return field.default if field.default_factory is MISSING else field.default_factory()


def _are_keys(value: Any) -> bool:
    return isinstance(value, tuple) and all(isinstance(each, UUID) for each in value)


def _plain(value: Any) -> str:
    if isinstance(value, dt.datetime) and value.tzinfo:
        return value.astimezone(dt.UTC).isoformat()
    return f"{value.normalize():f}" if isinstance(value, Decimal) else str(value)
