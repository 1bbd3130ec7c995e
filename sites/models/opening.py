"""Openings, their older numbers, the bars across them and the panels in them."""

from typing import Self

from django.db import models
from django.db.models import Count, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from sites.models.building import Building, under_constraints, who_is_under
from sites.models.choices import (
    BarKind,
    BarMaterial,
    BarSection,
    Head,
    Level,
    PanelPattern,
    ProtectiveGlazing,
    Significance,
    Wall,
    WhoIsUnder,
)
from sites.models.fields import (
    Evidence,
    Label,
    length_constraint,
    length_mm,
    length_typed,
    not_blank,
    old_date_bounds,
    old_date_constraint,
    one_of,
    one_of_or_none,
    place_mm,
    placed_whole,
)
from sites.models.plan import PlanWall

FEWEST_FOILS, MOST_FOILS = 3, 8


def foils_constraint(table: str) -> models.CheckConstraint:
    """A foiled outline has from three foils to eight."""
    return models.CheckConstraint(
        condition=Q(foils__isnull=True) | Q(foils__gte=FEWEST_FOILS, foils__lte=MOST_FOILS),
        name=f"{table}_foils_3_to_8",
        violation_error_message=_("Foils are from 3 to 8."),
    )


class OpeningQuerySet(models.QuerySet["Opening"]):
    def for_list(self) -> Self:
        """Load what a row of the building page reads."""
        return self.annotate(
            panel_count=Count("panels", distinct=True),
            item_count=Count("attached_items", distinct=True),
        ).order_by("order", "number")


class Opening(Evidence):
    """A hole in the wall with a window in it. Left and right are as seen from inside."""

    building = models.ForeignKey(Building, models.PROTECT, related_name="openings")
    number = models.CharField(_("number"), max_length=24)
    order = models.CharField(max_length=64, default="", editable=False)
    title = models.CharField(_("subject of the window"), max_length=200, blank=True)
    wall = models.CharField(_("wall"), max_length=8, choices=Wall.choices, default=Wall.OTHER)
    level = models.CharField(_("level"), max_length=12, choices=Level.choices, default=Level.GROUND)
    width_typed, width_mm = length_typed(), length_mm()
    height_typed, height_mm = length_typed(), length_mm()
    sill_height_typed, sill_height_mm = length_typed(), length_mm()
    head = models.CharField(_("head"), max_length=16, choices=Head.choices, default=Head.OTHER)
    springing_typed, springing_mm = length_typed(), length_mm()
    small_radius_typed, small_radius_mm = length_typed(), length_mm()
    foils = models.PositiveSmallIntegerField(_("foils"), null=True, blank=True)
    # Corners of an outline that no head describes: [x, y, bulge of the edge that follows] in mm.
    points = models.JSONField(_("corners"), default=list, blank=True)
    lights = models.PositiveSmallIntegerField(_("lights"), default=1)
    mullion_typed, mullion_mm = length_typed(), length_mm()
    light_head = models.CharField(
        _("head of each light"), max_length=16, choices=Head.choices, blank=True
    )
    light_springing_typed, light_springing_mm = length_typed(), length_mm()
    light_widths = models.CharField(_("widths of the lights"), max_length=400, blank=True)
    light_widths_mm = models.JSONField(default=list, blank=True, editable=False)
    rebate_typed, rebate_mm = length_typed(), length_mm()
    plan_wall = models.ForeignKey(
        PlanWall, models.SET_NULL, related_name="openings", null=True, blank=True
    )
    plan_along_typed, plan_along_mm = length_typed(), length_mm()
    made = models.CharField(_("glass made"), max_length=80, blank=True)
    made_edtf, made_earliest, made_latest = old_date_bounds()
    maker = models.CharField(_("maker"), max_length=160, blank=True)
    protective_glazing = models.CharField(
        _("protective glazing"),
        max_length=10,
        choices=ProtectiveGlazing.choices,
        default=ProtectiveGlazing.UNKNOWN,
    )
    # Empty: as the building says.
    under_inside, under_outside = who_is_under(_("inside")), who_is_under(_("outside"))
    significance = models.CharField(
        _("what the window is worth keeping for"),
        max_length=12,
        choices=Significance.choices,
        blank=True,
        help_text=_("As judged by somebody named in the survey; empty where nobody judged it."),
    )
    access = models.TextField(_("access"), blank=True)

    objects = OpeningQuerySet.as_manager()

    class Meta:
        ordering = ["order", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["building", "number"],
                name="opening_number_once_a_building",
                violation_error_message=_("Another opening here has this number."),
            ),
            not_blank("opening", "number"),
            one_of("opening", "wall", Wall),
            one_of("opening", "level", Level),
            one_of("opening", "head", Head),
            one_of("opening", "protective_glazing", ProtectiveGlazing),
            models.CheckConstraint(
                condition=Q(lights__gte=1, lights__lte=40), name="opening_lights_1_to_40"
            ),
            old_date_constraint("opening", "made"),
            length_constraint("opening", "width"),
            length_constraint("opening", "height"),
            length_constraint("opening", "sill_height"),
            length_constraint("opening", "springing"),
            length_constraint("opening", "small_radius"),
            length_constraint("opening", "mullion"),
            length_constraint("opening", "light_springing"),
            length_constraint("opening", "rebate"),
            *under_constraints("opening"),
            one_of_or_none("opening", "light_head", Head),
            one_of_or_none("opening", "significance", Significance),
            foils_constraint("opening"),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.title}".strip()

    def get_absolute_url(self) -> str:
        return reverse("sites:opening", args=[self.pk])

    def who_is_under(self, side: str) -> str:
        """Return who can be under it on a side, `inside` or `outside`; "" where nobody answered."""
        own: str = getattr(self, f"under_{side}")
        return own or str(getattr(self.building, f"under_{side}"))

    @property
    def under_words(self) -> str:
        """Return who can be under it on each side: `Inside: people sit or pass there`."""
        return "; ".join(
            f"{name}: {answer[:1].lower()}{answer[1:]}"
            for side, name in (("inside", _("Inside")), ("outside", _("Outside")))
            for answer in (str(self._under_label(side)),)
        )

    def _under_label(self, side: str) -> Label:
        answer = self.who_is_under(side)
        return WhoIsUnder(answer).label if answer else _("Not answered, so taken to be people")

    def people_under(self, side: str) -> bool:
        """Whether people may sit or pass under it on a side: not answered counts as yes."""
        return self.who_is_under(side) in ("", WhoIsUnder.PEOPLE)


class OlderNumber(Evidence):
    """What somebody else, or an older list, called the same opening."""

    opening = models.ForeignKey(Opening, models.CASCADE, related_name="older_numbers")
    number = models.CharField(_("older number"), max_length=40)
    system = models.CharField(_("whose number"), max_length=120)

    class Meta:
        ordering = ["system", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["opening", "number", "system"], name="older_number_once"
            ),
            not_blank("oldernumber", "number"),
            not_blank("oldernumber", "system"),
        ]

    def __str__(self) -> str:
        return f"{self.number} ({self.system})"


class Bar(Evidence):
    """A bar across an opening, or across one light of it. All but a saddle bar part panels."""

    opening = models.ForeignKey(Opening, models.CASCADE, related_name="bars")
    kind = models.CharField(
        _("kind"), max_length=12, choices=BarKind.choices, default=BarKind.SADDLE_BAR
    )
    light = models.PositiveSmallIntegerField(
        _("light"), null=True, blank=True, help_text=_("From the left; empty for every light.")
    )
    height_typed, height_mm = length_typed(), length_mm()
    ties = models.PositiveSmallIntegerField(_("ties"), null=True, blank=True)
    section = models.CharField(_("section"), max_length=8, choices=BarSection.choices, blank=True)
    # Across the window, and in the direction of the wind; of a round bar they are its diameter.
    width_typed, width_mm = length_typed(), length_mm()
    depth_typed, depth_mm = length_typed(), length_mm()
    material = models.CharField(
        _("material"), max_length=16, choices=BarMaterial.choices, blank=True
    )

    class Meta:
        ordering = ["height_mm", "light", "id"]
        constraints = [
            one_of("bar", "kind", BarKind),
            length_constraint("bar", "height"),
            length_constraint("bar", "width"),
            length_constraint("bar", "depth"),
            one_of_or_none("bar", "section", BarSection),
            one_of_or_none("bar", "material", BarMaterial),
            models.CheckConstraint(condition=Q(height_mm__isnull=False), name="bar_has_a_height"),
            models.CheckConstraint(
                condition=Q(light__isnull=True) | Q(light__gte=1, light__lte=40),
                name="bar_light_1_to_40",
            ),
            models.UniqueConstraint(
                fields=["opening", "light", "height_mm"],
                name="bar_once_a_height_of_a_light",
                violation_error_message=_("There is a bar at this height already."),
            ),
            models.UniqueConstraint(
                fields=["opening", "height_mm"],
                condition=Q(light__isnull=True),
                name="bar_once_a_height",
                violation_error_message=_("There is a bar at this height already."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {self.height_typed}"


class Panel(Evidence):
    """A leaded piece that is lifted in and out. `3b`: third row from the sill, second light."""

    opening = models.ForeignKey(Opening, models.PROTECT, related_name="panels")
    number = models.CharField(_("number"), max_length=24)
    order = models.CharField(max_length=64, default="", editable=False)
    width_typed, width_mm = length_typed(), length_mm()
    height_typed, height_mm = length_typed(), length_mm()
    pieces = models.PositiveIntegerField(_("pieces of glass"), null=True, blank=True)
    subject = models.CharField(_("what it shows"), max_length=200, blank=True)
    # A tracery light has an outline of its own; without one a panel is cut from its light.
    shape = models.CharField(_("outline"), max_length=16, choices=Head.choices, blank=True)
    x_mm, y_mm = place_mm(), place_mm()
    turn_degrees = models.DecimalField(
        _("turned by, in degrees"), max_digits=5, decimal_places=1, default=0
    )
    foils = models.PositiveSmallIntegerField(_("foils"), null=True, blank=True)
    points = models.JSONField(_("corners"), default=list, blank=True)
    glass_thickness_typed, glass_thickness_mm = length_typed(), length_mm()
    pattern = models.CharField(
        _("pattern of the leads"), max_length=12, choices=PanelPattern.choices, blank=True
    )
    crossings = models.PositiveIntegerField(
        _("crossings of two leads"),
        null=True,
        blank=True,
        help_text=_("Where two leads run on through each other, as in a lattice."),
    )
    ringed_pieces = models.PositiveIntegerField(
        _("pieces ringed by one other piece"), null=True, blank=True
    )
    plated_pieces = models.PositiveIntegerField(
        _("pieces with a second layer of glass"), null=True, blank=True
    )

    class Meta:
        ordering = ["order", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["opening", "number"],
                name="panel_number_once_an_opening",
                violation_error_message=_("Another panel of this opening has this number."),
            ),
            not_blank("panel", "number"),
            models.CheckConstraint(
                condition=Q(pieces__isnull=True) | Q(pieces__gte=1), name="panel_pieces_positive"
            ),
            length_constraint("panel", "width"),
            length_constraint("panel", "height"),
            length_constraint("panel", "glass_thickness"),
            one_of_or_none("panel", "shape", Head),
            one_of_or_none("panel", "pattern", PanelPattern),
            foils_constraint("panel"),
            placed_whole("panel"),
        ]

    def __str__(self) -> str:
        return f"{self.opening.number} {self.number}"

    def get_absolute_url(self) -> str:
        return f"{self.opening.get_absolute_url()}#panel-{self.pk}"
