"""The plan of a building: its walls as straight or curved lines, and a picture to trace."""

from decimal import Decimal

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from sites.models.building import Building
from sites.models.fields import Evidence, of_length


def plan_mm() -> models.DecimalField:
    """A place on the plan in mm: x to the compass east, y to the north."""
    return models.DecimalField(max_digits=12, decimal_places=2)


class PlanWall(Evidence):
    """One wall from end to end, walked with the inside of the building on the right.

    bulge: the tangent of a quarter of the angle its arc sweeps, positive when it curves to the
        left of the way walked (outwards); 0 for a straight wall.
    """

    building = models.ForeignKey(Building, models.CASCADE, related_name="plan_walls")
    order = models.PositiveSmallIntegerField()
    name = models.CharField(_("name"), max_length=80, blank=True)
    x1_mm, y1_mm = plan_mm(), plan_mm()
    x2_mm, y2_mm = plan_mm(), plan_mm()
    bulge = models.DecimalField(max_digits=9, decimal_places=6, default=Decimal(0))
    length_typed = models.CharField(max_length=40, blank=True, default="")

    class Meta:
        ordering = ["order", "id"]
        constraints = [
            models.UniqueConstraint(fields=["building", "order"], name="wall_order_once"),
            models.CheckConstraint(
                condition=~Q(x1_mm=F("x2_mm"), y1_mm=F("y2_mm")), name="wall_has_a_length"
            ),
            models.CheckConstraint(
                condition=Q(bulge__gte=-10, bulge__lte=10), name="wall_bulge_within_10"
            ),
        ]

    def __str__(self) -> str:
        return self.name or f"{self.order}"


class PlanPicture(Evidence):
    """A drawing or photograph of the plan, laid under the walls to trace them from."""

    building = models.OneToOneField(Building, models.CASCADE, related_name="plan_picture")
    file = models.FileField(max_length=200)
    sha256 = models.CharField("SHA-256", max_length=64)
    width_px = models.PositiveIntegerField()
    height_px = models.PositiveIntegerField()
    mm_per_px = models.DecimalField(max_digits=12, decimal_places=6, null=True, blank=True)
    left_mm = models.DecimalField(max_digits=12, decimal_places=2, default=0)
    top_mm = models.DecimalField(max_digits=12, decimal_places=2, default=0)

    class Meta:
        constraints = [
            of_length("planpicture", "sha256", 64),
            models.CheckConstraint(
                condition=Q(mm_per_px__isnull=True) | Q(mm_per_px__gt=0),
                name="plan_picture_scale_positive",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.building}"
