"""Buildings and the people to speak to about them."""

from typing import Final, Self

from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from sites.compute.roles import READ, roles_that_may
from sites.models.choices import BuildingKind, Paper, Units, WhoIsUnder
from sites.models.fields import Label, UUIDModel, not_blank, of_length, one_of, one_of_or_none
from sites.models.people import User

UNDER_SIDES: Final = ("inside", "outside")


def who_is_under(side: Label) -> models.CharField:
    """Who can be under a window on one side; empty where nobody answered."""
    return models.CharField(
        format_lazy(_("who can be under it, {side}"), side=side),
        max_length=8,
        choices=WhoIsUnder.choices,
        blank=True,
    )


def under_constraints(table: str) -> tuple[models.CheckConstraint, models.CheckConstraint]:
    return (
        one_of_or_none(table, "under_inside", WhoIsUnder),
        one_of_or_none(table, "under_outside", WhoIsUnder),
    )


class BuildingQuerySet(models.QuerySet["Building"]):
    def open_to(self, user: User, ability: str = READ) -> Self:
        """The buildings at which the user's role holds `ability`."""
        roles = roles_that_may(ability)
        memberships = user.memberships.filter(role__in=roles)
        return self.filter(
            Q(pk__in=memberships.filter(building__isnull=False).values("building"))
            | Q(studio__in=memberships.filter(building__isnull=True).values("studio"))
        )


class Building(UUIDModel):
    """A church or memorial building whose windows the studio looks after."""

    studio = models.ForeignKey("sites.Studio", models.PROTECT, related_name="buildings")
    name = models.CharField(_("name"), max_length=160)
    place = models.CharField(_("town or village"), max_length=120)
    address = models.TextField(_("address"), blank=True)
    country = models.CharField(
        _("country"), max_length=2, blank=True, help_text=_("Two letters, as in ISO 3166.")
    )
    kind = models.CharField(
        _("kind"), max_length=16, choices=BuildingKind.choices, default=BuildingKind.CHURCH
    )
    dedication = models.CharField(_("dedication"), max_length=160, blank=True)
    built = models.CharField(_("built"), max_length=80, blank=True)
    protection = models.CharField(
        _("protection status"),
        max_length=240,
        blank=True,
        help_text=_("Listing or designation, with its grade and reference."),
    )
    consent_body = models.CharField(
        _("who gives consent"),
        max_length=240,
        blank=True,
        help_text=_("Consent comes before work on a protected building."),
    )
    access = models.TextField(
        _("access"), blank=True, help_text=_("Keys, parking, floors, heights, hours.")
    )
    currency = models.CharField(_("currency"), max_length=3, default="USD")
    time_zone = models.CharField(_("time zone"), max_length=64, default="UTC")
    language = models.CharField(_("language of documents"), max_length=8, default="en")
    paper = models.CharField(_("paper"), max_length=8, choices=Paper.choices, default=Paper.A4)
    units = models.CharField(
        _("lengths in"), max_length=8, choices=Units.choices, default=Units.METRIC
    )

    # What holds for its windows of which nothing else is said.
    under_inside, under_outside = who_is_under(_("inside")), who_is_under(_("outside"))
    ritual_east = models.DecimalField(
        _("liturgical east, in compass degrees"),
        max_digits=4,
        decimal_places=1,
        null=True,
        blank=True,
        help_text=_("Where one looks at the altar: 90 is the compass east. Empty means 90."),
    )

    objects = BuildingQuerySet.as_manager()

    class Meta:
        ordering = ["name", "place"]
        constraints = [
            models.UniqueConstraint(
                fields=["studio", "name", "place"],
                name="building_once_a_studio",
                violation_error_message=_("A building of this name and place is registered."),
            ),
            not_blank("building", "name"),
            not_blank("building", "place"),
            one_of("building", "kind", BuildingKind),
            one_of("building", "paper", Paper),
            one_of("building", "units", Units),
            of_length("building", "currency", 3),
            *under_constraints("building"),
            models.CheckConstraint(
                condition=Q(ritual_east__isnull=True) | Q(ritual_east__gte=0, ritual_east__lt=360),
                name="building_ritual_east_0_to_360",
                violation_error_message=_("Compass degrees run from 0 to below 360."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.place}"

    def get_absolute_url(self) -> str:
        return reverse("sites:building", args=[self.pk])


class BuildingPerson(UUIDModel):
    """Somebody to speak to about a building. Personal data: kept out of documents and history."""

    building = models.ForeignKey(Building, models.CASCADE, related_name="people")
    name = models.CharField(_("name"), max_length=120)
    role = models.CharField(_("role"), max_length=80)
    email = models.EmailField(_("e-mail address"), blank=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)

    class Meta:
        ordering = ["role", "name"]
        constraints = [
            models.UniqueConstraint(fields=["building", "name", "role"], name="person_once_a_role"),
            not_blank("buildingperson", "name"),
            not_blank("buildingperson", "role"),
        ]

    def __str__(self) -> str:
        return f"{self.name} ({self.role})"
