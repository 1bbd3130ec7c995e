"""What holds for a building from a day on: each change is a row, so that the old one stays."""

from datetime import date
from typing import TypeVar

from django.db import models
from django.utils import timezone

from sites.keys import uuid7
from sites.models.building import Building
from sites.models.fields import Evidence

Row = TypeVar("Row", bound="DatedRow")


class DatedRowManager(models.Manager[Row]):
    def in_force(self, building: Building) -> models.QuerySet[Row]:
        """The rows of a building, the one in force first."""
        return self.filter(building=building).order_by("-in_force_from")


class DatedRow(Evidence):
    """One row a building and day; the newest is in force."""

    building = models.ForeignKey(Building, models.CASCADE, related_name="%(class)s_rows")
    in_force_from = models.DateField(default=timezone.localdate, editable=False)

    objects = DatedRowManager()

    class Meta:
        abstract = True
        ordering = ["-in_force_from"]
        constraints = [
            models.UniqueConstraint(
                fields=["building", "in_force_from"], name="%(class)s_once_a_day"
            )
        ]

    def save_as_of(self, day: date) -> None:
        """Save what is in force from `day` on. A row of an earlier day stays as it was."""
        if self.in_force_from < day and not self._state.adding:
            self.pk, self._state.adding = uuid7(), True
        self.in_force_from = day
        self.save()
