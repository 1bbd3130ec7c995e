"""Kinds of finding and of repair action: reference data, a copy for each studio to edit."""

from collections.abc import Iterable

from django.db import models
from django.utils.translation import gettext_lazy as _

from condition.models.choices import ActionUnit, Step
from sites.models.fields import UUIDModel, not_blank, one_of


class FindingKind(UUIDModel):
    """One thing that can be wrong with a window, in the trade's words and in plain ones."""

    studio = models.ForeignKey("sites.Studio", models.CASCADE, related_name="finding_kinds")
    code = models.SlugField(max_length=60)
    group = models.CharField(_("group"), max_length=24)
    name = models.CharField(_("name"), max_length=80)
    plain = models.TextField(_("in plain words"))
    measure = models.CharField(_("what to measure"), max_length=240, blank=True)
    units = models.JSONField(default=list)
    # What a number of it counts, one and several: "tie broken", "ties broken".
    counted = models.JSONField(default=list, blank=True)
    danger = models.BooleanField(_("can hurt people"), default=False)
    danger_when_all = models.BooleanField(
        _("can hurt people where all that was counted is affected"), default=False
    )
    order = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["order", "name"]
        constraints = [
            models.UniqueConstraint(fields=["studio", "code"], name="finding_kind_once"),
            not_blank("findingkind", "code"),
            not_blank("findingkind", "name"),
            not_blank("findingkind", "plain"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def usual_actions(self) -> list["ActionKind"]:
        """What is usually done about it, mildest first."""
        return [link.action_kind for link in self.action_links.all()]


class ActionKind(UUIDModel):
    """One kind of work, in the trade's words and in plain ones, with its unit."""

    studio = models.ForeignKey("sites.Studio", models.CASCADE, related_name="action_kinds")
    code = models.SlugField(max_length=60)
    name = models.CharField(_("name"), max_length=120)
    plain = models.TextField(_("in plain words"))
    unit = models.CharField(_("unit"), max_length=8, choices=ActionUnit.choices)
    step = models.CharField(_("step of the ladder"), max_length=20, choices=Step.choices)
    order = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["order", "name"]
        constraints = [
            models.UniqueConstraint(fields=["studio", "code"], name="action_kind_once"),
            not_blank("actionkind", "code"),
            not_blank("actionkind", "name"),
            not_blank("actionkind", "plain"),
            one_of("actionkind", "unit", ActionUnit),
            one_of("actionkind", "step", Step),
        ]

    def __str__(self) -> str:
        return self.name


class ActionCautionQuerySet(models.QuerySet["ActionCaution"]):
    def codes_of(self, kinds: Iterable[ActionKind]) -> set[str]:
        """Return the codes of the cautions that kinds of work call for, in one query."""
        links = self.filter(action_kind__in={kind.pk for kind in kinds})
        return set(links.values_list("caution_id", flat=True))


class ActionCaution(UUIDModel):
    """A caution that a kind of work calls for."""

    action_kind = models.ForeignKey(ActionKind, models.CASCADE, related_name="caution_links")
    caution = models.ForeignKey("sites.Caution", models.PROTECT, related_name="+")

    objects = ActionCautionQuerySet.as_manager()

    class Meta:
        ordering = ["caution"]
        constraints = [
            models.UniqueConstraint(fields=["action_kind", "caution"], name="action_caution_once")
        ]

    def __str__(self) -> str:
        return f"{self.action_kind}: {self.caution_id}"


class UsualAction(UUIDModel):
    """What is usually done about a kind of finding; the mildest has the lowest order."""

    finding_kind = models.ForeignKey(FindingKind, models.CASCADE, related_name="action_links")
    action_kind = models.ForeignKey(ActionKind, models.CASCADE, related_name="finding_links")
    order = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["order"]
        constraints = [
            models.UniqueConstraint(
                fields=["finding_kind", "action_kind"], name="usual_action_once"
            )
        ]

    def __str__(self) -> str:
        return f"{self.finding_kind}: {self.action_kind}"
