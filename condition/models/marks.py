"""What was found, drawn: on the elevation or on a photograph; and photographs to measure on."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from condition.models.choices import Stroke
from condition.models.finding import Finding
from condition.models.photograph import Photograph
from sites.models.fields import Evidence, one_of
from sites.models.opening import Panel


class FindingMark(Evidence):
    """A point, line or area that shows where a finding lies.

    Without a photograph its points are register coordinates of the opening: millimetres, x to the
    right as seen from inside from the left jamb, y up from the sill. On a photograph they are
    shares of its upright width and height, from the upper left corner.
    """

    finding = models.ForeignKey(Finding, models.CASCADE, related_name="marks")
    photograph = models.ForeignKey(
        Photograph, models.PROTECT, related_name="marks", null=True, blank=True
    )
    stroke = models.CharField(_("drawn as"), max_length=8, choices=Stroke.choices)
    points = models.JSONField()

    class Meta:
        ordering = ["id"]
        constraints = [one_of("findingmark", "stroke", Stroke)]

    def __str__(self) -> str:
        return f"{self.finding}: {self.get_stroke_display()}"


class PhotographScale(Evidence):
    """Points of a photograph whose places on the window are known: it can be measured on.

    `points` holds at least four of [u, v, x, y]: u and v as shares of the upright photograph's
    width and height from its upper left corner, x and y in millimetres on the plane of the glass,
    x to the right and y up. With a panel, (0, 0) is the lower left corner of its made size.
    """

    photograph = models.OneToOneField(Photograph, models.CASCADE, related_name="scale")
    panel = models.ForeignKey(
        Panel, models.PROTECT, related_name="photograph_scales", null=True, blank=True
    )
    from_outside = models.BooleanField(_("taken from outside"), default=False)
    points = models.JSONField()
    known_from = models.CharField(_("sizes known from"), max_length=160, blank=True)
    set_by = models.ForeignKey("sites.User", models.PROTECT, related_name="+", editable=False)
    set_at = models.DateTimeField(auto_now=True)

    def __str__(self) -> str:
        return f"{self.photograph}: {len(self.points)}"
