"""Kinds of finding and of repair action: reference data, a copy for each studio to edit."""

from collections.abc import Iterable

from django.db import models
from django.utils.translation import gettext_lazy as _

from condition.compute.danger.facts import EndKind
from condition.models.choices import ActionUnit, Step, TakersMayEnd, TradeOf
from sites.models.fields import UUIDModel, not_blank, one_of


def floor_ends() -> list[str]:
    """The ends that can be judged from the floor, where a studio says nothing else."""
    return [EndKind.GONE.value, EndKind.TAKEN_AWAY.value]


class DangerRow(UUIDModel):
    """A row of the studio's table by kind: what holds such a danger, and who may end it."""

    studio = models.ForeignKey("sites.Studio", models.CASCADE, related_name="danger_rows")
    code = models.SlugField(max_length=40)
    name = models.CharField(_("what"), max_length=120)
    asked_when = models.CharField(_("asked when"), max_length=400, blank=True)
    held_by = models.JSONField(_("measures that make it safe for now"), default=list, blank=True)
    holds_on = models.JSONField(_("counts as held by"), default=list, blank=True)
    held_words = models.CharField(_("what counts as made safe for now"), max_length=400, blank=True)
    clear_words = models.CharField(_("what only keeps people away"), max_length=400, blank=True)
    end_words = models.CharField(_("what ends it"), max_length=400, blank=True)
    judges = models.JSONField(_("who may say so"), default=list)
    takers_end = models.CharField(
        _("whoever took it away may say so"),
        max_length=16,
        choices=TakersMayEnd.choices,
        default=TakersMayEnd.ALWAYS,
    )
    floor_ends = models.JSONField(_("can be judged from the floor"), default=floor_ends, blank=True)
    committee_words = models.CharField(_("what the committee is told"), max_length=400, blank=True)
    # Kinds of attached item for which this row stands, whatever was found on them.
    item_kinds = models.JSONField(default=list, blank=True, editable=False)
    falls = models.BooleanField(default=True, editable=False)
    order = models.PositiveSmallIntegerField(default=0, editable=False)

    class Meta:
        ordering = ["order", "name"]
        constraints = [
            models.UniqueConstraint(fields=["studio", "code"], name="danger_row_once"),
            not_blank("dangerrow", "code"),
            not_blank("dangerrow", "name"),
            one_of("dangerrow", "takers_end", TakersMayEnd),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def judges_words(self) -> str:
        """Who may say that such a danger is over: `mason, engineer`."""
        judges = ", ".join(str(TradeOf(each).label).lower() for each in self.judges)
        took = {
            TakersMayEnd.ALWAYS: _("whoever took it away"),
            TakersMayEnd.SINGLE: _("of a single piece, whoever took it off"),
        }.get(TakersMayEnd(self.takers_end), "")
        return "; ".join(part for part in (judges, str(took)) if part)


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
    # What holds such a danger and who may end it; empty: as "anything else".
    danger_row = models.ForeignKey(
        DangerRow, models.SET_NULL, related_name="finding_kinds", null=True, blank=True
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
