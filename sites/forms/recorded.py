"""Forms of records that a service records: each rule is the service's, shown at its box."""

from collections.abc import Iterable
from dataclasses import fields, replace
from typing import Any, ClassVar, Final
from uuid import UUID

from django.core import validators
from django.core.exceptions import ValidationError

from sites.compute.problems import Problem
from sites.compute.record_fields import Choice, Rule, rules_of
from sites.forms.base import RecordForm
from sites.models import User
from sites.services.recording import NotRecordedError, Recording

# What the service says in its own words.
LIMITS: Final = (
    validators.MaxLengthValidator,
    validators.MinValueValidator,
    validators.MaxValueValidator,
    validators.DecimalValidator,
)


class RuleBoxes:
    """Boxes that only read what is typed: what a value may be is said by the rules of its record.

    data_class: the record's data. boxes: of a value of it, the box where the two have not the same
    name; where nothing of that name is shown, its problem stands above the form.
    """

    data_class: Any
    boxes: ClassVar[dict[str, str]] = {}
    fields: dict[str, Any]
    errors: Any

    @property
    def _rules(self) -> dict[str, Rule]:
        return {
            self.boxes.get(name, name): each for name, each in rules_of(self.data_class).items()
        }

    def leave_limits_to_the_rules(self) -> None:
        """Take away what the boxes would say in words of their own."""
        for name in self._rules.keys() & self.fields.keys():
            box = self.fields[name]
            box.validators = [each for each in box.validators if not isinstance(each, LIMITS)]

    def show(self, problems: Iterable[Problem]) -> None:
        """Put each problem at its box, unless that has been found wrong already."""
        for problem in problems:
            box = self.boxes.get(problem.field, problem.field)
            if box not in self.errors:
                self.add_error(box if box in self.fields else None, str(problem.message))

    def add_error(self, field: str | None, error: Any) -> None:
        rule = self._rules.get(field or "")
        if isinstance(rule, Choice) and getattr(error, "code", "") == "invalid_choice":
            error = ValidationError(rule.refusal(error.params["value"]))
        super().add_error(field, error)  # type: ignore[misc]


class RecordedForm(RuleBoxes, RecordForm):
    """A form whose record is made and changed by its service, for the user who sent it."""

    recording: ClassVar[Recording[Any, Any]]

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, units=user.units, **kwargs)
        self.user = user
        self.was = None if self.adds else self.recording.data_of(self.instance)
        self.leave_limits_to_the_rules()

    @property
    def data_class(self) -> Any:
        return self.recording.data_class

    def record_data(self) -> Any:
        """Return what the boxes say, and what the record holds besides.

        A box that could not be read says nothing: what follows from it is not refused as well.
        """
        empty = self.data_class()
        unread = {
            each.name: getattr(empty, each.name)
            for each in fields(empty)
            if self.boxes.get(each.name, each.name) in self.errors
        }
        return replace(self.recording.data_of(self.instance), **unread)

    def problems(self) -> list[Problem]:
        """Return what the service would refuse."""
        key: UUID = self.instance.pk
        return self.recording.check(self.record_data(), key)

    def write(self) -> None:
        self.recording.record(self.record_data(), self.instance.pk, self.user, self.was)

    def store(self) -> bool:
        try:
            return super().store()
        except NotRecordedError as error:
            self.show(error.problems)
            return False

    def _check_constraints(self) -> None:
        self.show(self.problems())

    def _get_validation_exclusions(self) -> set[str]:
        return {field.name for field in self.instance._meta.fields}

    def validate_unique(self) -> None:
        """Left to the service."""

    def _is_overtaken(self) -> bool:
        """The service looks whether the record is as it was read."""
        return False
