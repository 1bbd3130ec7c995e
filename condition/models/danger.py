"""Dangers of a building, and all that was said and done about each."""

from datetime import date
from typing import Self

from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from condition.compute.danger.facts import Act, DangerFacts
from condition.compute.danger.state import DangerState, state_of
from condition.models.choices import (
    ActKind,
    DangerEnd,
    DangerSource,
    FallAnswer,
    MeasureFixedTo,
    MeasureTaken,
    SeenFrom,
    Side,
    TradeOf,
)
from condition.models.danger_facts import facts_of, latest_of
from condition.models.vocabulary import FindingKind
from sites.models.building import Building
from sites.models.fields import (
    Evidence,
    one_of,
    one_of_or_none,
    sent_digest,
)
from sites.services.numbers import today_at


class DangerQuerySet(models.QuerySet["Danger"]):
    def not_ended(self) -> Self:
        """Leave out what somebody ended, unless the end was taken back or the thing put back."""
        rows = DangerAct.objects.order_by()
        undone = rows.filter(
            models.Q(of=models.OuterRef("pk"), act=Act.TAKEN_BACK)
            | models.Q(
                danger=models.OuterRef("danger"),
                act=Act.PUT_BACK,
                received_at__gte=models.OuterRef("received_at"),
            )
        )
        ends = rows.filter(danger=models.OuterRef("pk"), act=Act.END)
        return self.exclude(models.Exists(ends.exclude(models.Exists(undone))))

    def with_facts(self) -> Self:
        """Load all that the state of a danger is worked out from."""
        return self.select_related(
            "building__studio",
            "kind__danger_row",
            "opening__building",
            "panel",
            "attached_item",
        ).prefetch_related(
            "acts",
            "findings__kind",
            "findings__survey",
            "building__studio__danger_rows",
            "building__studio__figures",
        )


class Danger(Evidence):
    """One thing at one place that can come down, cut or shock. It stands until somebody ends it.

    It has no column for its state: that is worked out from its acts, see `state_on`.
    """

    building = models.ForeignKey(Building, models.PROTECT, related_name="dangers")
    kind = models.ForeignKey(FindingKind, models.PROTECT, related_name="dangers")
    opening = models.ForeignKey(
        "sites.Opening", models.PROTECT, related_name="dangers", null=True, blank=True
    )
    panel = models.ForeignKey(
        "sites.Panel", models.PROTECT, related_name="dangers", null=True, blank=True
    )
    attached_item = models.ForeignKey(
        "sites.AttachedItem", models.PROTECT, related_name="dangers", null=True, blank=True
    )
    what = models.CharField(
        _("what it is"),
        max_length=160,
        blank=True,
        help_text=_("A bar, a sheet, a stone: what is not in the register."),
    )
    place = models.CharField(
        _("where, in everyday words"),
        max_length=160,
        blank=True,
        help_text=_("Over the third pew on the left; above the south door."),
    )
    side = models.CharField(_("side"), max_length=8, choices=Side.choices, default=Side.UNKNOWN)
    source = models.CharField(
        _("how it became known"),
        max_length=12,
        choices=DangerSource.choices,
        default=DangerSource.SURVEY,
    )
    opened_on = models.DateField(_("open since"))
    note = models.TextField(_("note"), blank=True)

    objects = DangerQuerySet.as_manager()

    class Meta:
        ordering = ["opened_on", "id"]
        constraints = [
            one_of("danger", "side", Side),
            one_of("danger", "source", DangerSource),
            models.CheckConstraint(
                condition=Q(panel__isnull=True) | Q(attached_item__isnull=True),
                name="danger_has_one_subject",
                violation_error_message=_("Name a panel or an attached item, not both."),
            ),
            models.CheckConstraint(
                condition=Q(opening__isnull=False)
                | Q(panel__isnull=True, attached_item__isnull=True) & ~Q(what=""),
                name="danger_says_what",
                violation_error_message=_("Say which window, or in words what it is."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} at {self.label}"

    def get_absolute_url(self) -> str:
        return reverse("condition:danger", args=[self.pk])

    def facts(self) -> DangerFacts:
        """Return what is recorded of it. Reads its acts: `with_facts` for a list."""
        return facts_of(self)

    def state_on(self, day: date | None = None) -> DangerState:
        """Return how it stands on a day; today at its building unless given."""
        return state_of(self.facts(), day or today_at(self.building))

    def open_since(self, state: DangerState) -> date:
        """Return from which day it counts as danger; where nobody answered, since it is known."""
        return state.open_since or self.opened_on

    @property
    def shown_kind(self) -> FindingKind:
        """What is wrong as it was last seen: loose glass may have slipped since."""
        latest = latest_of(self.findings.all())
        return latest.kind if latest else self.kind

    @property
    def subject_key(self) -> object:
        """The key of the one thing it is about; its own where that is in words alone."""
        return self.attached_item_id or self.panel_id or self.opening_id or self.pk

    @property
    def label(self) -> str:
        """`nII P1`, `nII: saddle bar`, or what it is in words."""
        if self.opening is None:
            return self.what
        part = self.attached_item or self.panel
        name = f"{self.opening.number} {part.number}" if part else self.opening.number
        return f"{name}: {self.what}" if self.what else name

    @property
    def where(self) -> str:
        """Where it is in everyday words; the title of the window, or its number, without any."""
        return self.place or (self.opening.title if self.opening else "") or self.label


class DangerAct(Evidence):
    """What somebody said or did about a danger: it is added to, never changed.

    An answer to "can it come down?", a measure, a look at a measure, an end, or that an end was
    taken back. Which columns are filled depends on `act`.
    """

    danger = models.ForeignKey(Danger, models.PROTECT, related_name="acts")
    act = models.CharField(max_length=12, choices=ActKind.choices)
    day = models.DateField(_("on"))
    by_name = models.CharField(_("by whom"), max_length=160, blank=True)
    by_trade = models.CharField(_("trade"), max_length=12, choices=TradeOf.choices, blank=True)
    judged_from = models.CharField(
        _("judged from"), max_length=8, choices=SeenFrom.choices, blank=True
    )
    because = models.CharField(_("because"), max_length=400, blank=True)
    answer = models.CharField(
        _("can it come down?"), max_length=12, choices=FallAnswer.choices, blank=True
    )
    # The answers that this one replaces: all received by then. Two phones know nothing of another.
    knew_until = models.DateTimeField(null=True, blank=True, editable=False)
    finding = models.ForeignKey(
        "condition.Finding",
        models.PROTECT,
        related_name="danger_acts",
        null=True,
        blank=True,
        editable=False,
    )
    measure = models.CharField(
        _("what was done"), max_length=20, choices=MeasureTaken.choices, blank=True
    )
    fixed_to = models.CharField(
        _("fixed to"), max_length=8, choices=MeasureFixedTo.choices, blank=True
    )
    keeper = models.CharField(_("who keeps it"), max_length=160, blank=True)
    look_by = models.DateField(_("look again by"), null=True, blank=True)
    cures_on = models.DateField(_("cured from"), null=True, blank=True)
    parts_carry = models.BooleanField(_("the parts alone carry it"), default=False)
    of = models.ForeignKey("self", models.PROTECT, related_name="later_acts", null=True, blank=True)
    holds = models.BooleanField(_("it holds"), null=True, blank=True)
    is_reported = models.BooleanField(_("reported, not seen"), default=False)
    end = models.CharField(_("how it ended"), max_length=12, choices=DangerEnd.choices, blank=True)
    tried = models.CharField(_("what was tried by hand"), max_length=400, blank=True)
    placed = models.CharField(_("where it is now"), max_length=240, blank=True)
    holder = models.CharField(_("who holds it"), max_length=160, blank=True)
    photograph = models.ForeignKey(
        "condition.Photograph",
        models.PROTECT,
        related_name="danger_acts",
        null=True,
        blank=True,
    )
    sent_sha256 = sent_digest()

    class Meta:
        ordering = ["received_at", "id"]
        constraints = [
            one_of("dangeract", "act", ActKind),
            one_of_or_none("dangeract", "by_trade", TradeOf),
            one_of_or_none("dangeract", "judged_from", SeenFrom),
            one_of_or_none("dangeract", "answer", FallAnswer),
            one_of_or_none("dangeract", "measure", MeasureTaken),
            one_of_or_none("dangeract", "fixed_to", MeasureFixedTo),
            one_of_or_none("dangeract", "end", DangerEnd),
            models.CheckConstraint(
                condition=Q(act=ActKind.MEASURE) & ~Q(measure="")
                | ~Q(act=ActKind.MEASURE) & Q(measure="", look_by__isnull=True)
                | Q(act=ActKind.LOOK, measure=""),
                name="danger_act_measure",
            ),
            models.CheckConstraint(
                condition=Q(act=ActKind.LOOK, of__isnull=False, holds__isnull=False)
                | ~Q(act=ActKind.LOOK) & Q(holds__isnull=True),
                name="danger_act_look_is_at_a_measure",
            ),
            models.CheckConstraint(
                condition=Q(act=ActKind.END) & ~Q(end="") | ~Q(act=ActKind.END) & Q(end=""),
                name="danger_act_end",
            ),
            models.CheckConstraint(
                condition=~Q(act=ActKind.TAKEN_BACK) | Q(of__isnull=False) & ~Q(because=""),
                name="danger_act_taken_back_says_why",
            ),
            models.CheckConstraint(
                condition=~Q(answer=FallAnswer.NO)
                | ~Q(because="") & ~Q(judged_from__in=["", SeenFrom.FLOOR]),
                name="danger_act_no_has_a_reason",
                violation_error_message=_("A no needs its reason, and is never judged from below."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_act_display()} on {self.day}"

    @property
    def headline(self) -> str:
        """What it was, in a few words: `It could come down`, `Wired to the bar`, `It holds`."""
        if self.act == Act.MEASURE:
            return self.measure_words
        if self.act == Act.LOOK:
            words = _("It holds") if self.holds else _("Found failed")
            return f"{words} ({_('reported, not seen')})" if self.is_reported else str(words)
        if self.act == Act.END:
            return str(self.get_end_display())
        if self.act == Act.ANSWER:
            return str(self.get_answer_display()) if self.answer else str(_("Not answered"))
        return str(self.get_act_display())

    @property
    def measure_words(self) -> str:
        """What was done, as it was written, or else by its kind: `Held, a bar`."""
        kind = str(self.get_measure_display())
        held = f"{kind}, {str(self.get_fixed_to_display()).lower()}" if self.fixed_to else kind
        return self.because.strip().rstrip(".") or held
