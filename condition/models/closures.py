"""Areas of a building closed for a danger and opened again, and what did fall."""

from typing import Self

from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from condition.models.choices import ClosureEndKind, HowKnown, TradeOf
from condition.models.danger import Danger
from condition.models.safety import MakeSafeNotice
from sites.models.building import Building
from sites.models.fields import Evidence, not_blank, one_of, one_of_or_none


class Area(Evidence):
    """A part of a building that can be closed to people: a pew, a porch, a path."""

    building = models.ForeignKey(Building, models.PROTECT, related_name="areas")
    name = models.CharField(
        _("area"),
        max_length=240,
        help_text=_("So that a stranger knows where not to go: both its ends."),
    )

    class Meta:
        ordering = ["name", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["building", "name"],
                name="area_once_a_building",
                violation_error_message=_("This building has an area of that name."),
            ),
            not_blank("area", "name"),
        ]

    def __str__(self) -> str:
        return self.name


class AreaClosureQuerySet(models.QuerySet["AreaClosure"]):
    def standing(self) -> Self:
        """Those that nobody reopened or withdrew."""
        return self.filter(closure_end__isnull=True)

    def for_list(self) -> Self:
        """Load what a list of closed areas shows, the area closed last first."""
        notices = MakeSafeNotice.objects.order_by("version")
        return (
            self.select_related(
                "area",
                "danger__building",
                "danger__kind",
                "danger__opening",
                "danger__panel",
                "danger__attached_item",
                "closure_end__recorded_by",
            )
            .prefetch_related(
                "danger__findings__kind",
                "danger__findings__survey",
                models.Prefetch("danger__notices", notices),
            )
            .order_by("-closed_at", "-id")
        )


class AreaClosure(Evidence):
    """An area closed for a danger: from the moment it is recorded, printed on a notice or not.

    Frozen: it stands until somebody reopens the area, or takes the notice back.
    """

    danger = models.ForeignKey(Danger, models.PROTECT, related_name="closures")
    area = models.ForeignKey(Area, models.PROTECT, related_name="closures")
    closed_at = models.DateTimeField(_("closed since"))
    # The version of the danger's notice that closed it; later ones name it too while it stands.
    notice_version = models.PositiveSmallIntegerField(default=1)

    objects = AreaClosureQuerySet.as_manager()

    class Meta:
        ordering = ["closed_at", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(notice_version__gte=1), name="areaclosure_by_a_notice"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.area} closed for {self.danger}"

    @property
    def notice(self) -> MakeSafeNotice | None:
        """The newest notice that names it; None while that is being printed. See `for_list`."""
        naming = [each for each in self.danger.notices.all() if each.version >= self.notice_version]
        return max(naming, key=lambda each: each.version, default=None)


class ClosureEnd(Evidence):
    """An area reopened by two people, or its notice withdrawn by who wrote it. Frozen."""

    closure = models.OneToOneField(AreaClosure, models.PROTECT, related_name="closure_end")
    kind = models.CharField(_("how"), max_length=10, choices=ClosureEndKind.choices)
    day = models.DateField(_("on"))
    safe_by = models.CharField(_("who says that it is safe"), max_length=160, blank=True)
    safe_trade = models.CharField(
        _("their trade"), max_length=12, choices=TradeOf.choices, blank=True
    )
    how_known = models.CharField(
        _("how that is known"), max_length=12, choices=HowKnown.choices, blank=True
    )
    reopened_by = models.CharField(_("who reopens it"), max_length=160, blank=True)
    authority = models.CharField(_("with what authority"), max_length=160, blank=True)
    because = models.CharField(_("what was done, or why"), max_length=400)

    class Meta:
        constraints = [
            one_of("closureend", "kind", ClosureEndKind),
            one_of_or_none("closureend", "safe_trade", TradeOf),
            one_of_or_none("closureend", "how_known", HowKnown),
            not_blank("closureend", "because"),
            models.CheckConstraint(
                condition=~Q(kind=ClosureEndKind.REOPENED)
                | ~Q(safe_by="")
                & ~Q(safe_trade="")
                & ~Q(reopened_by="")
                & ~Q(authority="")
                & ~Q(how_known="")
                & ~Q(safe_by=F("reopened_by")),
                name="closure_end_takes_two",
                violation_error_message=_("Reopening takes two different people."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.closure} {self.get_kind_display()} {self.day}"


class Incident(Evidence):
    """Something that did fall: what, who saw it, who was hurt, who must be told."""

    building = models.ForeignKey(Building, models.PROTECT, related_name="incidents")
    danger = models.ForeignKey(
        Danger,
        models.PROTECT,
        related_name="incidents",
        null=True,
        blank=True,
        verbose_name=_("danger it belongs to"),
    )
    day = models.DateField(_("when"))
    what_fell = models.CharField(_("what fell, and from where"), max_length=400)
    seen_by = models.CharField(_("who saw it"), max_length=240, blank=True)
    hurt = models.CharField(
        _("who was hurt"), max_length=240, blank=True, help_text=_("Nobody; or who, and how.")
    )
    must_be_told = models.CharField(_("who must be told"), max_length=240, blank=True)

    class Meta:
        ordering = ["-day", "-id"]
        constraints = [not_blank("incident", "what_fell")]

    def __str__(self) -> str:
        return f"{self.day}: {self.what_fell}"

    def get_absolute_url(self) -> str:
        return reverse("condition:incident", args=[self.pk])
