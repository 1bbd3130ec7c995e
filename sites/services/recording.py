"""How every record is made and changed, whoever asks: once a key, by all its rules, or refused."""

import json
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import fields
from decimal import Decimal
from typing import Any, ClassVar, Final, Generic, TypeVar
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import JSONField, Model, QuerySet
from django.utils.translation import gettext as _

from sites.compute.lengths import Length
from sites.compute.problems import Problem, once_a_field
from sites.compute.record_fields import DataT, Key, Keys, Size, Sizes, rules_of, tidy
from sites.compute.typed_text import parts_of
from sites.errors import SaddlebarError
from sites.models import Change, User
from sites.rules.actor import acting_as, acting_user
from sites.rules.install import project_rules

__all__ = ["NotRecordedError", "Problem", "Recording", "refusal_in_words"]

RecordT = TypeVar("RecordT", bound=Model)

BETWEEN_LENGTHS: Final = "; "


class NotRecordedError(SaddlebarError):
    """A record is refused: all that is wrong with it, at once.

    A form shows each problem at the box of that name, the import of a folder at its cell, and what
    comes from a phone is answered with them. Nothing was written.
    """

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(str(problem.message) for problem in self.problems))


class Recording(Generic[DataT, RecordT]):
    """How one kind of record is recorded. A room's kinds say what is wrong and what follows.

    model: its table. data_class: its data, a dataclass whose values are named as the columns; a
    length stands for two of them (`width`: `width_typed`, `width_mm`), a key for `…_id`. parent:
    the key among them of what the record is part of, which it never leaves.
    """

    model: ClassVar[type[Any]]
    parent: ClassVar[str]
    data_class: ClassVar[type[Any]]

    def problems(self, data: DataT, key: UUID) -> Iterable[Problem]:
        """Return all that is wrong with the data of the record with this key."""
        raise NotImplementedError

    def fill(self, record: RecordT) -> None:
        """Work out the columns that follow from the others."""

    def follow(self, record: RecordT, before: DataT) -> None:
        """Do what follows from a change that was saved; before: what the record held."""

    def link(self, record: RecordT, data: DataT) -> None:
        """Save what of the data stands in other tables; the record is saved."""

    def data_of(self, record: RecordT) -> DataT:
        """Return the data that a record, saved or not, holds."""
        data: DataT = self.data_class(**values_of(self.data_class, record))
        return data

    def check(self, data: DataT, key: UUID) -> list[Problem]:
        """Return what is wrong, one problem a value."""
        return once_a_field(self.problems(tidy(data), key))

    @transaction.atomic
    def record(
        self, data: DataT, key: UUID, user: User | None, was: DataT | None = None
    ) -> RecordT:
        """Make the record with this key, or change it, and return it.

        user: who records it; None for whoever is at work.
        was: what the record held when it was read for changing; None makes a new one.

        Sent again with the same data it changes nothing, also where somebody has changed the
        record since. Raises NotRecordedError with all problems.
        """
        data = tidy(data)
        with _at_work(user):
            there: Any = self.model._base_manager.select_for_update().filter(pk=key).first()
            if there is not None and self._is_done(there, data, was):
                return there  # type: ignore[no-any-return]
            if there is None:
                refuse_deleted(self.model, [key])
            if (there is None) != (was is None) or (there and self.data_of(there) != was):
                raise NotRecordedError([Problem("", overtaken() if was else key_taken())])
            moved = was is not None and getattr(was, self.parent) != getattr(data, self.parent)
            raise_for([Problem(self.parent, stays())] if moved else self.check(data, key))
            record = there or self.model(pk=key)
            before = self.data_of(record)
            for name, value in columns_of(data).items():
                # A value that is the same keeps the words it was first written in.
                if there is None or getattr(before, name) != getattr(data, name):
                    for column, content in value.items():
                        setattr(record, column, content)
            saved = self._saved(record, data, is_new=there is None)
            if there is not None:
                self.follow(saved, before)
            return saved

    def save(self, record: RecordT) -> None:
        """Save a record, filled by the caller, by all rules. Raises NotRecordedError."""
        raise_for(self.check(self.data_of(record), record.pk))
        self.fill(record)
        record.save()

    def _saved(self, record: RecordT, data: DataT, *, is_new: bool) -> RecordT:
        """Save it under the database's own rules, which are told in words."""
        self.fill(record)
        try:
            with transaction.atomic():
                record.save(force_insert=is_new, force_update=not is_new)
                self.link(record, data)
        except IntegrityError as error:
            there: Any = self.model._base_manager.filter(pk=record.pk).first() if is_new else None
            # Sent twice at the same moment: the other sending was quicker.
            if there is not None and self.data_of(there) == data:
                return there  # type: ignore[no-any-return]
            raise NotRecordedError([Problem("", refusal_in_words(error))]) from error
        return record

    def _is_done(self, there: RecordT, data: DataT, was: DataT | None) -> bool:
        """Whether the record holds the data, or, new, was first recorded with it."""
        if self.data_of(there) == data:
            return True
        first = _first_version(there) if was is None else None
        return first is not None and self.data_of(first) == data


def raise_for(problems: Iterable[Problem]) -> None:
    """Raise NotRecordedError where there is any problem."""
    if found := tuple(problems):
        raise NotRecordedError(found)


def not_there(there: object, field: str) -> Iterator[Problem]:
    """Yield that what a record belongs to, named by `field`, is not there."""
    if not there:
        yield Problem(field, f"The {field} is not there any more, or is not named.")


def refuse_deleted(model: type[Model], keys: Iterable[UUID]) -> None:
    """Raise NotRecordedError where a record of one of these keys was deleted: it stays so."""
    if _changes_of(model, keys, "DELETE").exists():
        raise NotRecordedError([Problem("", _("It was recorded, and has been deleted since."))])


def key_taken() -> str:
    return _("This was recorded before, with other values: change it on its own page.")


def stays() -> str:
    return _("This stays where it was recorded: record it anew at the other place.")


def overtaken() -> str:
    return _(
        "Somebody else saved this at the very same moment. Nothing of yours is saved yet: save "
        "again, and you are told what they changed."
    )


def refusal_in_words(error: IntegrityError) -> str:
    """What a refusing database means: the rule's own words, or that somebody else was faster."""
    text = str(error)
    for rule in project_rules().refusals:
        if rule.message in text:
            return f"{rule.message[0].upper()}{rule.message[1:]}."
    return _(
        "This could not be saved: somebody may have changed the same thing a moment ago. "
        "Look at the record, then save again."
    )


def columns_of(data: Any) -> dict[str, dict[str, Any]]:
    """Return the columns that each value of a record's data stands in, by the value's name."""
    columns: dict[str, dict[str, Any]] = {}
    rules = rules_of(type(data))
    for each in fields(data):
        name, value, rule = each.name, getattr(data, each.name), rules.get(each.name)
        if isinstance(rule, Size):
            columns[name] = {
                f"{name}_typed": value.typed if value else "",
                f"{name}_mm": value.mm if value else None,
            }
        elif isinstance(rule, Sizes):
            columns[name] = {
                name: BETWEEN_LENGTHS.join(length.typed for length in value),
                f"{name}_mm": [float(length.mm) for length in value],
            }
        elif isinstance(rule, Key):
            columns[name] = {f"{name}_id": value}
        elif not isinstance(rule, Keys):
            columns[name] = {name: list(value) if isinstance(value, tuple) else value}
    return columns


def values_of(kind: type[Any], record: Model) -> dict[str, Any]:
    """Return the values that a record holds, by their names in its data."""
    values: dict[str, Any] = {}
    rules = rules_of(kind)
    for each in fields(kind):
        name, rule = each.name, rules.get(each.name)
        if isinstance(rule, Size):
            mm = getattr(record, f"{name}_mm")
            values[name] = None if mm is None else Length(getattr(record, f"{name}_typed"), mm)
        elif isinstance(rule, Sizes):
            all_mm = getattr(record, f"{name}_mm") or []
            typed = parts_of(getattr(record, name))
            if len(typed) != len(all_mm):
                typed = [f"{mm:g}" for mm in all_mm]
            values[name] = tuple(
                Length(text, Decimal(repr(float(mm))))
                for text, mm in zip(typed, all_mm, strict=True)
            )
        elif isinstance(rule, Key):
            values[name] = getattr(record, f"{name}_id")
        elif isinstance(rule, Keys):
            linked = getattr(record, name).order_by("pk").values_list("pk", flat=True)
            values[name] = () if record._state.adding else tuple(linked)
        else:
            values[name] = _plain(getattr(record, name))
    return values


def _plain(value: Any) -> Any:
    """A list of a JSON column as a tuple, all the way down: data can be compared and hashed."""
    return tuple(_plain(each) for each in value) if isinstance(value, list) else value


@contextmanager
def _at_work(user: User | None) -> Iterator[None]:
    """Let the record and the history name the person, where they do not already."""
    if user is None or acting_user() == user.pk:
        yield
    else:
        with acting_as(str(user.pk)):
            yield


def _changes_of(model: type[Model], keys: Iterable[UUID], deed: str) -> QuerySet[Change]:
    # SQLite keeps keys without hyphens.
    rows = [spelling for key in keys for spelling in (str(key), key.hex)]
    return Change.objects.filter(table=model._meta.db_table, row__in=rows, deed=deed)


def _first_version(record: Model) -> Any:
    """The record as it was before its first change, or None where it was never changed."""
    change = _changes_of(type(record), [record.pk], "UPDATE").order_by("id").first()
    if change is None:
        return None
    values = {}
    for column in record._meta.concrete_fields:
        if column.column in change.before:
            value = change.before[column.column]
            is_text = isinstance(column, JSONField) and isinstance(value, str)
            values[column.attname] = column.to_python(json.loads(value) if is_text else value)
    return type(record)(**values)
