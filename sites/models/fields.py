"""Field types and constraints that several tables share."""

from typing import TYPE_CHECKING, Any

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Coalesce, Length
from django.db.models.lookups import Exact
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from sites.keys import uuid7
from sites.rules.actor import acting_user

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

    Label = StrOrPromise
else:
    Label = str


class UUIDModel(models.Model):
    """A row with a key that can be made anywhere and sorts by time."""

    id = models.UUIDField(primary_key=True, default=uuid7, editable=False)

    class Meta:
        abstract = True


class Evidence(UUIDModel):
    """A row that may be asked, decades later: who recorded this, and when was it seen?

    `received_at` and `recorded_by` are filled in by themselves, also where rows are made in bulk:
    the person is the one signed in, or the one who asked the worker; null where a command of
    nobody's wrote it.
    """

    seen_at = models.DateTimeField(
        _("seen"),
        null=True,
        blank=True,
        editable=False,
        help_text=_("By the clock of the device it was recorded on; null where none said so."),
    )
    seen_clock_ahead_s = models.IntegerField(
        null=True,
        blank=True,
        editable=False,
        help_text=_("How far that clock was ahead of the server's when it sent, in seconds."),
    )
    received_at = models.DateTimeField(default=timezone.now, editable=False)
    recorded_by = models.ForeignKey(
        "sites.User",
        models.PROTECT,
        related_name="+",
        null=True,
        blank=True,
        editable=False,
        default=acting_user,
    )

    class Meta:
        abstract = True


def sent_digest() -> models.CharField:
    """SHA-256 of what was recorded under a row's key: sent again it is recognised, edited or not.

    Empty where the row was not recorded by a service that takes keys.
    """
    return models.CharField(max_length=64, blank=True, default="", editable=False)


def length_mm(**options: Any) -> models.DecimalField:
    """A length in millimetres. Six places hold a 64th of an inch exactly (0.396875 mm)."""
    return models.DecimalField(
        max_digits=12, decimal_places=6, null=True, blank=True, editable=False, **options
    )


def length_typed() -> models.CharField:
    """The same length as it was typed, kept for ever."""
    return models.CharField(max_length=40, blank=True, default="")


def length_constraint(table: str, name: str) -> models.CheckConstraint:
    """A length is either not known at all, or is positive and kept as typed."""
    # A CHECK lets through what it cannot tell: each side says whether the length is there.
    known = Q(**{f"{name}_mm__isnull": False, f"{name}_mm__gt": 0}) & ~Q(**{f"{name}_typed": ""})
    unknown = Q(**{f"{name}_mm__isnull": True, f"{name}_typed": ""})
    return models.CheckConstraint(
        condition=known | unknown,
        name=f"{table}_{name}_positive_and_typed",
        violation_error_message=f"The {name} must be a length above zero, or left empty.",
    )


def own_key() -> models.CharField:
    """The surveyor's own key, such as 2026-014: what a later folder or sheet calls the row by."""
    return models.CharField(_("the surveyor's own key"), max_length=60, blank=True, editable=False)


def old_date_bounds() -> tuple[models.CharField, models.DateField, models.DateField]:
    """What an old date as written is read as: its EDTF, and the first and last day it can mean.

    Lists are sorted and searched by the two days; where there is no date all three are empty.
    """
    return (
        models.CharField(max_length=80, blank=True, editable=False),
        models.DateField(null=True, blank=True, editable=False),
        models.DateField(null=True, blank=True, editable=False),
    )


def old_date_constraint(table: str, name: str) -> models.CheckConstraint:
    """An old date has all of its reading or none of it, its first day not after its last."""
    edtf, first, last = f"{name}_edtf", f"{name}_earliest", f"{name}_latest"
    read = ~Q(**{edtf: ""}) & Q(
        **{f"{first}__isnull": False, f"{last}__isnull": False, f"{first}__lte": F(last)}
    )
    none = Q(**{edtf: "", f"{first}__isnull": True, f"{last}__isnull": True})
    return models.CheckConstraint(condition=read | none, name=f"{table}_{name}_read_whole")


def place_mm() -> models.DecimalField:
    """A place in millimetres along one axis; below or left of the origin it is negative."""
    return models.DecimalField(
        max_digits=10, decimal_places=2, null=True, blank=True, editable=False
    )


def placed_whole(table: str) -> models.CheckConstraint:
    """A place has both its figures or none."""
    both = Q(x_mm__isnull=False, y_mm__isnull=False)
    neither = Q(x_mm__isnull=True, y_mm__isnull=True)
    return models.CheckConstraint(condition=both | neither, name=f"{table}_placed_whole")


def not_blank(table: str, name: str) -> models.CheckConstraint:
    """A text that must say something."""
    return models.CheckConstraint(
        condition=~Q(**{name: ""}),
        name=f"{table}_{name}_not_blank",
        violation_error_message=f"The {name.replace('_', ' ')} must not be empty.",
    )


def of_length(table: str, name: str, letters: int) -> models.CheckConstraint:
    """A code of a fixed length. No regular expression: SQLite's own shell knows none, and a
    constraint it cannot read would lock every other tool out of the table."""
    return models.CheckConstraint(
        condition=Exact(Length(F(name)), letters), name=f"{table}_{name}_has_{letters}_letters"
    )


def one_of(table: str, name: str, choices: type[models.TextChoices]) -> models.CheckConstraint:
    """A choice the database holds to as well as the form."""
    return models.CheckConstraint(
        condition=Q(**{f"{name}__in": choices.values}),
        name=f"{table}_{name}_is_a_choice",
    )


def one_of_or_none(
    table: str, name: str, choices: type[models.TextChoices]
) -> models.CheckConstraint:
    """A choice that may be left open."""
    return models.CheckConstraint(
        condition=Q(**{f"{name}__in": ["", *choices.values]}),
        name=f"{table}_{name}_is_a_choice",
    )


class SubjectModel(Evidence):
    """A row about exactly one thing: an opening, or one panel or attached item of it.

    `subject_key` is the key of that one thing: a building's list is then one indexed
    look-up instead of three nullable keys joined by OR.
    """

    opening = models.ForeignKey("sites.Opening", models.PROTECT, related_name="%(class)ss")
    panel = models.ForeignKey(
        "sites.Panel", models.PROTECT, related_name="%(class)ss", null=True, blank=True
    )
    attached_item = models.ForeignKey(
        "sites.AttachedItem", models.PROTECT, related_name="%(class)ss", null=True, blank=True
    )
    subject_key = models.GeneratedField(
        expression=Coalesce(F("attached_item"), F("panel"), F("opening")),
        output_field=models.UUIDField(),
        db_persist=True,
        db_index=True,
    )

    class Meta:
        abstract = True
        constraints = [
            models.CheckConstraint(
                condition=Q(panel__isnull=True) | Q(attached_item__isnull=True),
                name="%(class)s_has_one_subject",
                violation_error_message="Name a panel or an attached item, not both.",
            )
        ]

    @property
    def subject(self) -> models.Model:
        return self.attached_item or self.panel or self.opening

    @property
    def subject_label(self) -> str:
        """`nII 3b`: the opening, then the panel or item where there is one."""
        part = self.attached_item or self.panel
        return f"{self.opening.number} {part.number}" if part else self.opening.number
