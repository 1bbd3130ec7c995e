"""Forms of a make-safe notice: what is issued at once, and who signed the area reopened."""

from datetime import datetime, timedelta
from typing import Any, Final
from uuid import UUID
from zoneinfo import ZoneInfo

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Layout
from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from condition.documents.make_safe.build import NoticeWords
from condition.models import Finding, MakeSafeNotice, NoticeReopening, Photograph
from condition.services.notices import ReopeningError, reopen
from sites.forms.base import RecordForm, side_by_side
from sites.models import Building, User

# A phone's clock may be a little ahead of the server's.
AHEAD: Final = timedelta(minutes=10)
MINUTE_FORMS: Final = ("%Y-%m-%dT%H:%M", "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M")


def now_at(building: Building) -> datetime:
    """Return the building's own clock, to the minute and without a zone."""
    now = timezone.now().astimezone(ZoneInfo(building.time_zone))
    return now.replace(tzinfo=None, second=0, microsecond=0)


class ClockField(forms.Field):
    """A day and a time by the building's own clock, as a phone's picker gives it."""

    widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")

    def to_python(self, value: Any) -> datetime | None:
        if not value or isinstance(value, datetime):
            return value or None
        for written in MINUTE_FORMS:
            try:
                return datetime.strptime(str(value).strip(), written).replace(second=0)
            except ValueError:
                continue
        raise ValidationError(_("Enter the day and the time: 2026-05-12 14:30."))


def _words(label: Any, longest: int, rows: int, help_text: Any) -> forms.CharField:
    return forms.CharField(
        label=label,
        max_length=longest,
        widget=forms.Textarea(attrs={"rows": rows}),
        help_text=help_text,
        error_messages={"required": _("This must be filled in.")},
    )


class NoticeForm(forms.Form):
    """What stands on the door: short words, written on a phone."""

    fields: dict[str, Any]

    hazard = _words(
        _("What can hurt someone"),
        300,
        3,
        _("As you found it: what hangs, leans or has fallen, and on whom it would come down."),
    )
    area = _words(
        _("Area closed"), 240, 2, _("So that a stranger knows where not to go: both its ends.")
    )
    done = _words(
        _("What was done"), 240, 2, _("Taken down, propped, taped, roped off: and by whom.")
    )
    told = _words(
        _("Who was told"),
        240,
        2,
        _("By office rather than by name, and how: the notice hangs where anybody reads it."),
    )
    closed_at = ClockField(label=_("Closed since"))
    photograph = forms.ModelChoiceField(
        queryset=Photograph.objects.none(), required=False, label=_("Photograph on the notice")
    )

    def __init__(self, *args: Any, finding: Finding, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.finding = finding
        self.fields["photograph"].queryset = finding.photographs.all()
        self.fields["closed_at"].error_messages["required"] = _("Say since when it is closed.")
        self.helper = FormHelper()
        self.helper.form_tag = False
        self.helper.disable_csrf = True

    def clean_closed_at(self) -> datetime:
        closed: datetime = self.cleaned_data["closed_at"]
        if closed > now_at(self.finding.survey.building) + AHEAD:
            raise ValidationError(_("That moment is still to come."))
        if closed.year < 1900:
            raise ValidationError(_("Look at the year again."))
        return closed

    @property
    def words(self) -> NoticeWords:
        """What was typed, once the form is valid."""
        cleaned = self.cleaned_data
        chosen: Photograph | None = cleaned.get("photograph")
        return NoticeWords(
            hazard=_plain(cleaned["hazard"]),
            area=_plain(cleaned["area"]),
            done=_plain(cleaned["done"]),
            told=_plain(cleaned["told"]),
            closed_at=cleaned["closed_at"],
            photograph=chosen.pk if chosen else None,
        )


def _plain(text: str) -> str:
    """One paragraph: line ends and runs of blanks would only cost room on the door."""
    return " ".join(text.split())


def notice_initial(finding: Finding, before: MakeSafeNotice | None) -> dict[str, Any]:
    """Return what is known already: the version before, else what the finding says."""
    first: UUID | None = finding.photographs.values_list("pk", flat=True).first()
    if before is not None:
        said = before.snapshot["content"]
        kept = {name: said[name] for name in ("hazard", "area", "done", "told")}
        moment = datetime.fromisoformat(said["closed_at"])
        chosen = said["photograph"] or first
        return kept | {"closed_at": moment, "photograph": chosen}
    return {
        "hazard": f"{finding.kind.name}. {finding.note}".strip()[:300],
        "done": finding.made_safe,
        "closed_at": now_at(finding.survey.building),
        "photograph": first,
    }


class ReopeningForm(RecordForm):
    """Somebody signs that the area of a notice may be used again."""

    class Meta:
        model = NoticeReopening
        fields = ["signed_by", "authority", "because", "reopened_on"]
        widgets = {
            "reopened_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "because": forms.Textarea(attrs={"rows": 3}),
            "signed_by": forms.TextInput(attrs={"autocomplete": "off"}),
        }
        help_texts = {
            "signed_by": _("The name as it was signed. It is shown to the office alone."),
            "authority": _("Churchwarden, architect, engineer, owner: who may answer for it."),
            "because": _("What makes it safe to be there again, and who looked at it last."),
        }

    def __init__(self, *args: Any, notice: MakeSafeNotice, user: User, **kwargs: Any) -> None:
        self.notice, self.user = notice, user
        instance = NoticeReopening(notice=notice, recorded_by=user)
        super().__init__(*args, instance=instance, **kwargs)

    def layout(self) -> Layout:
        return Layout("because", side_by_side("signed_by", "authority"), "reopened_on")

    def store(self) -> bool:
        """Record the reopening, or say why it cannot stand."""
        try:
            return super().store()
        except ReopeningError as error:
            self.add_error(error.box, str(error))
            return False

    def write(self) -> None:
        reopen(self.notice, self.instance, self.user)
