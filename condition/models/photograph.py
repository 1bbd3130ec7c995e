"""Photographs: the original as received, and the renditions made from it."""

from collections.abc import Iterable
from typing import Self

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from condition.models.choices import Alike, PhotographState
from condition.models.danger import Danger
from condition.models.finding import Finding, shown_by
from condition.models.survey import Survey
from sites.models.building import Building
from sites.models.fields import Evidence, of_length, one_of, sent_digest
from sites.models.opening import Opening


class PhotographQuerySet(models.QuerySet["Photograph"]):
    def of_danger(self, danger: Danger) -> Self:
        """Those that show a danger, by its findings or by what was done about it; newest first."""
        shows = models.Q(findings__danger=danger) | models.Q(danger_acts__danger=danger)
        keys = Photograph.objects.filter(shows).values("pk")
        return self.filter(pk__in=keys).order_by("-received_at", "-id")

    def with_renditions(self) -> Self:
        return self.prefetch_related("renditions")

    def with_findings(self) -> Self:
        """Load with each the findings it shows, and what names them."""
        return self.prefetch_related(shown_by("findings"))


def original_path(photograph: "Photograph", name: str) -> str:
    """Stored under keys alone: a name from outside never becomes a path."""
    suffix = photograph.format.lower() or "bin"
    return f"{photograph.building.studio_id}/photographs/{photograph.pk}/original.{suffix}"


def rendition_path(rendition: "Rendition", name: str) -> str:
    photograph = rendition.photograph
    return f"{photograph.building.studio_id}/photographs/{photograph.pk}/{rendition.size}.jpg"


def nearest_copy(copies: Iterable["Rendition"], size: int) -> "Rendition | None":
    """Return the copy of `size`; where that is lost, the next larger, else the largest left."""
    by_size = sorted(copies, key=lambda copy: copy.size)
    large_enough = [copy for copy in by_size if copy.size >= size]
    return next(iter(large_enough or by_size[::-1]), None)


class Photograph(Evidence):
    """A photograph of a building's window. Its original bytes are never touched."""

    building = models.ForeignKey(Building, models.PROTECT, related_name="photographs")
    survey = models.ForeignKey(
        Survey, models.PROTECT, related_name="photographs", null=True, blank=True
    )
    opening = models.ForeignKey(
        Opening, models.PROTECT, related_name="photographs", null=True, blank=True
    )
    findings = models.ManyToManyField(
        Finding, through="PhotographFinding", related_name="photographs", blank=True
    )
    original = models.FileField(upload_to=original_path, max_length=200)
    sha256 = models.CharField("SHA-256", max_length=64)
    bytes = models.PositiveIntegerField()
    format = models.CharField(max_length=8)
    name = models.CharField(_("its name as received"), max_length=240, blank=True)
    caption = models.CharField(_("caption"), max_length=240, blank=True)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    taken_at = models.DateTimeField(_("taken"), null=True, blank=True)
    taken_local = models.CharField(
        max_length=25, blank=True, help_text="As the camera wrote it; empty where unknown."
    )
    camera = models.CharField(max_length=120, blank=True)
    had_position = models.BooleanField(default=False)
    state = models.CharField(
        max_length=8, choices=PhotographState.choices, default=PhotographState.RECEIVED
    )
    problem = models.CharField(max_length=240, blank=True)
    # What was wrong with the original when it was last read, and since when that is known.
    damage = models.CharField(max_length=240, blank=True, editable=False)
    damage_found_at = models.DateTimeField(null=True, blank=True, editable=False)
    # 64 bits in hexadecimal: near copies differ in a few of them. Empty until prepared.
    look_hash = models.CharField(max_length=16, blank=True, editable=False)
    sent_sha256 = sent_digest()
    alike = models.CharField(max_length=8, choices=Alike.choices, blank=True, editable=False)

    objects = PhotographQuerySet.as_manager()

    class Meta:
        ordering = ["taken_local", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["building", "sha256"],
                name="photograph_once_a_building",
                violation_error_message=_("This very photograph is already here."),
            ),
            of_length("photograph", "sha256", 64),
            models.CheckConstraint(
                condition=Q(bytes__gte=1, width__gte=1, height__gte=1),
                name="photograph_has_a_size",
            ),
            one_of("photograph", "state", PhotographState),
            models.CheckConstraint(
                condition=Q(damage="", damage_found_at__isnull=True)
                | (~Q(damage="") & Q(damage_found_at__isnull=False)),
                name="photograph_damage_has_its_moment",
            ),
            models.CheckConstraint(
                condition=Q(alike="") | Q(alike__in=Alike.values),
                name="photograph_alike_decided_or_not",
            ),
        ]

    def __str__(self) -> str:
        return self.caption or self.name or str(self.pk)


class PhotographFinding(Evidence):
    """That a photograph shows a finding, one of its own survey and opening."""

    photograph = models.ForeignKey(Photograph, models.CASCADE, related_name="finding_links")
    finding = models.ForeignKey(Finding, models.CASCADE, related_name="photograph_links")

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["photograph", "finding"], name="photograph_finding_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.photograph}: {self.finding}"


class Rendition(models.Model):
    """A smaller copy, upright and in sRGB; made again from the original at any time."""

    photograph = models.ForeignKey(Photograph, models.CASCADE, related_name="renditions")
    size = models.PositiveSmallIntegerField(
        help_text="The longer side it was fitted to, in pixels."
    )
    file = models.FileField(upload_to=rendition_path, max_length=200)
    sha256 = models.CharField("SHA-256", max_length=64)
    width = models.PositiveSmallIntegerField()
    height = models.PositiveSmallIntegerField()

    class Meta:
        ordering = ["size"]
        constraints = [
            models.UniqueConstraint(fields=["photograph", "size"], name="rendition_once_a_size"),
            of_length("rendition", "sha256", 64),
        ]

    def __str__(self) -> str:
        return f"{self.photograph_id} at {self.size}"
