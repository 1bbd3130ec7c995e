"""What the forms share whose records are checked and written by a service that knows all rules."""

from collections.abc import Iterable, Mapping
from typing import Any, ClassVar

from sites.forms.base import RecordForm
from sites.models import User
from sites.services.recording import NotRecordedError, Problem


class RecordedForm(RecordForm):
    """A form that reads its boxes into a record's values, and shows what the service refuses.

    boxes: the box of a value, where it has another name than the value.
    recorded: once stored, the record as the service returned it.
    """

    boxes: ClassVar[Mapping[str, str]] = {}
    recorded: Any = None

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        self.user = user
        super().__init__(*args, **kwargs)

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        self.show(self.problems(cleaned))
        return cleaned

    def problems(self, cleaned: Mapping[str, Any]) -> Iterable[Problem]:
        """Return what the service says of the values; boxes that cannot be read are left out."""
        raise NotImplementedError

    def store(self) -> bool:
        try:
            return super().store()
        except NotRecordedError as refusal:
            self.show(refusal.problems)
            return False

    def show(self, problems: Iterable[Problem]) -> None:
        """Put each problem beside its box, unless what stands there could not even be read."""
        unread = set(self.errors)
        for problem in problems:
            box = self.boxes.get(problem.field, problem.field)
            if box not in unread:
                self.add_error(box if box in self.fields else None, str(problem.message))

    def _check_constraints(self) -> None:
        """Nothing is left to check: the service has asked for all of them."""
