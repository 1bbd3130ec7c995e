"""What the wind screening of a building's supports is reckoned with."""

from decimal import Decimal

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from condition.models.choices import Terrain, WindCode
from sites.models.dated import DatedRow
from sites.models.fields import length_constraint, length_mm, length_typed, one_of


class WindSite(DatedRow):
    """The wind at a building after one code: a screening input, never a design."""

    code = models.CharField(_("code"), max_length=12, choices=WindCode.choices)
    basic_speed = models.DecimalField(
        _("basic wind speed"),
        max_digits=5,
        decimal_places=2,
        help_text=_("In m/s after EN 1991-1-4, in mph after ASCE 7-16, from the code's own map."),
    )
    speed_source = models.CharField(_("where the speed is from"), max_length=200)
    terrain = models.CharField(_("terrain"), max_length=4, choices=Terrain.choices)
    reference_height_typed, reference_height_mm = length_typed(), length_mm()
    # Orography of the European code, topographic factor of the American one.
    ground_factor = models.DecimalField(
        _("factor for hills"), max_digits=4, decimal_places=3, default=Decimal(1)
    )
    direction_factor = models.DecimalField(
        _("factor for direction"), max_digits=4, decimal_places=3, default=Decimal(1)
    )
    pressure_coefficient = models.DecimalField(
        _("net pressure coefficient"), max_digits=4, decimal_places=2, default=Decimal(1)
    )

    class Meta(DatedRow.Meta):
        constraints = [
            *DatedRow.Meta.constraints,
            one_of("windsite", "code", WindCode),
            one_of("windsite", "terrain", Terrain),
            length_constraint("windsite", "reference_height"),
            models.CheckConstraint(
                condition=Q(basic_speed__gt=0, basic_speed__lte=300), name="windsite_speed_above_0"
            ),
            models.CheckConstraint(
                condition=Q(ground_factor__gt=0, direction_factor__gt=0),
                name="windsite_factors_above_0",
            ),
            models.CheckConstraint(
                condition=Q(code="EN 1991-1-4", terrain__in=["0", "I", "II", "III", "IV"])
                | Q(code="ASCE 7-16", terrain__in=["B", "C", "D"]),
                name="windsite_terrain_is_of_its_code",
                violation_error_message=_("The terrain must be one of the code chosen."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.building.name}: {self.code}"
