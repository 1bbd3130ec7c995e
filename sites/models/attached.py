"""Plaques and other things fixed to a window, and what holds them."""

from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from sites.models.choices import (
    Alignment,
    FixingKind,
    FixingState,
    Host,
    HostState,
    ItemKind,
    Lettering,
    Material,
    Placement,
)
from sites.models.fields import (
    Evidence,
    length_constraint,
    length_mm,
    length_typed,
    not_blank,
    old_date_bounds,
    old_date_constraint,
    one_of,
    place_mm,
    placed_whole,
)
from sites.models.opening import Opening, Panel


class AttachedItem(Evidence):
    """A dedication plaque above all; also ventilators, guards, lamps and sensors."""

    opening = models.ForeignKey(Opening, models.PROTECT, related_name="attached_items")
    panel = models.ForeignKey(
        Panel, models.PROTECT, related_name="attached_items", null=True, blank=True
    )
    number = models.CharField(_("number"), max_length=24)
    kind = models.CharField(
        _("kind"), max_length=12, choices=ItemKind.choices, default=ItemKind.PLAQUE
    )
    material = models.CharField(
        _("material"), max_length=16, choices=Material.choices, default=Material.UNKNOWN
    )
    width_typed, width_mm = length_typed(), length_mm()
    height_typed, height_mm = length_typed(), length_mm()
    thickness_typed, thickness_mm = length_typed(), length_mm()
    inscription = models.TextField(
        _("inscription"), blank=True, help_text=_("Letter by letter, line by line, as it stands.")
    )
    memorial_of = models.CharField(_("in memory of"), max_length=240, blank=True)
    donors = models.CharField(_("given by"), max_length=240, blank=True)
    installed = models.CharField(
        _("installed"), max_length=80, blank=True, help_text=_("A year, c. 1931, 1890s, a day.")
    )
    installed_edtf, installed_earliest, installed_latest = old_date_bounds()
    x_mm, y_mm = place_mm(), place_mm()
    lower_edge_typed, lower_edge_mm = length_typed(), length_mm()
    has_sharp_edges = models.BooleanField(_("sharp edges"), null=True, blank=True)
    placement = models.CharField(
        _("where it is"), max_length=12, choices=Placement.choices, default=Placement.IN_PLACE
    )
    placed_at = models.CharField(_("where it is kept"), max_length=240, blank=True)
    held_by = models.CharField(_("who holds it, or has the key"), max_length=160, blank=True)
    placed_since = models.DateField(_("since"), null=True, blank=True)
    replica_of = models.ForeignKey(
        "self", models.PROTECT, related_name="replicas", null=True, blank=True
    )
    weighed_kg = models.DecimalField(
        _("weighed, kg"), max_digits=8, decimal_places=3, null=True, blank=True
    )
    letter_height_typed, letter_height_mm = length_typed(), length_mm()
    margin_typed, margin_mm = length_typed(), length_mm()
    lettering = models.CharField(
        _("lettering"), max_length=8, choices=Lettering.choices, default=Lettering.UPRIGHT
    )
    alignment = models.CharField(
        _("lines"), max_length=8, choices=Alignment.choices, default=Alignment.CENTRED
    )
    reading_distance_typed, reading_distance_mm = length_typed(), length_mm()

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(
                fields=["opening", "number"],
                name="item_number_once_an_opening",
                violation_error_message=_("Another item of this opening has this number."),
            ),
            not_blank("attacheditem", "number"),
            one_of("attacheditem", "kind", ItemKind),
            one_of("attacheditem", "material", Material),
            one_of("attacheditem", "placement", Placement),
            length_constraint("attacheditem", "lower_edge"),
            length_constraint("attacheditem", "width"),
            length_constraint("attacheditem", "height"),
            length_constraint("attacheditem", "thickness"),
            length_constraint("attacheditem", "letter_height"),
            length_constraint("attacheditem", "margin"),
            length_constraint("attacheditem", "reading_distance"),
            one_of("attacheditem", "lettering", Lettering),
            one_of("attacheditem", "alignment", Alignment),
            placed_whole("attacheditem"),
            old_date_constraint("attacheditem", "installed"),
            models.CheckConstraint(
                condition=Q(weighed_kg__isnull=True) | Q(weighed_kg__gt=0),
                name="item_weight_positive",
                violation_error_message=_("A weight is above zero, or left empty."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.opening.number} {self.number}"

    def get_absolute_url(self) -> str:
        return reverse("sites:item", args=[self.pk])

    @property
    def is_in_place(self) -> bool:
        return self.placement == Placement.IN_PLACE


class Fixing(Evidence):
    """One kind of fixing of one item: how many, in what state, held by what."""

    item = models.ForeignKey(AttachedItem, models.CASCADE, related_name="fixings")
    kind = models.CharField(_("kind"), max_length=16, choices=FixingKind.choices)
    count = models.PositiveSmallIntegerField(_("how many"), default=1)
    state = models.CharField(_("state"), max_length=16, choices=FixingState.choices)
    holds_on_to = models.CharField(_("holds on to"), max_length=12, choices=Host.choices)
    host_state = models.CharField(
        _("state of what it holds on to"),
        max_length=12,
        choices=HostState.choices,
        default=HostState.NOT_SEEN,
    )
    width_typed, width_mm = length_typed(), length_mm()
    length_typed, length_mm = length_typed(), length_mm()
    cures_on = models.DateField(_("cured from"), null=True, blank=True)
    product = models.CharField(_("product used"), max_length=120, blank=True)

    class Meta:
        ordering = ["kind", "state"]
        constraints = [
            one_of("fixing", "kind", FixingKind),
            one_of("fixing", "state", FixingState),
            one_of("fixing", "holds_on_to", Host),
            one_of("fixing", "host_state", HostState),
            length_constraint("fixing", "width"),
            length_constraint("fixing", "length"),
            models.CheckConstraint(
                condition=Q(count__gte=1, count__lte=500), name="fixing_count_1_to_500"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.count} × {self.get_kind_display()}, {self.get_state_display()}"
