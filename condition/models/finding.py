"""Findings: one thing seen at one place on one day."""

from decimal import Decimal
from typing import Self

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Exists, OuterRef, Prefetch, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from condition.models.choices import (
    AmountUnit,
    ConditionClass,
    Extent,
    NotMeasured,
    Part,
    RecommendationClass,
    SeenFrom,
    Side,
    UrgencyClass,
)
from condition.models.danger import Danger
from condition.models.survey import Survey
from condition.models.vocabulary import FindingKind
from sites.models.building import Building
from sites.models.fields import (
    Evidence,
    Label,
    SubjectModel,
    length_constraint,
    length_mm,
    length_typed,
    one_of,
    one_of_or_none,
    own_key,
    sent_digest,
)


class FindingQuerySet(models.QuerySet["Finding"]):
    def of_building(self, building: Building) -> Self:
        return self.filter(survey__building=building)

    def not_continued(self) -> Self:
        """Leave out what a later finding continues or comes from."""
        rows = Finding.objects.order_by()
        return self.exclude(Exists(rows.filter(continues=OuterRef("pk")))).exclude(
            Exists(FindingSource.objects.order_by().filter(earlier=OuterRef("pk")))
        )

    def of_open_dangers(self) -> Self:
        """Sightings of a danger that nobody ended."""
        return self.filter(danger__in=Danger.objects.not_ended())

    def with_dangers(self) -> Self:
        """Load what tells whether each can hurt somebody today."""
        return self.prefetch_related(Prefetch("danger", Danger.objects.with_facts()))

    def for_list(self) -> Self:
        """Load what a row of findings reads, photographs included."""
        rows = self.select_related(
            "kind", "opening", "panel", "attached_item", "survey", "continues__survey"
        )
        return rows.with_dangers().prefetch_related(
            "photographs__renditions", shown_by("photographs__findings")
        )


def shown_by(lookup: str) -> Prefetch:
    """Load over `lookup` the findings that photographs show, with what names them."""
    shown = Finding.objects.select_related("kind", "opening", "panel", "attached_item")
    return Prefetch(lookup, shown.order_by("number"))


def class_field(
    name: Label, choices: type[models.IntegerChoices]
) -> models.PositiveSmallIntegerField:
    return models.PositiveSmallIntegerField(name, choices=choices.choices, null=True, blank=True)


def class_constraint(name: str) -> models.CheckConstraint:
    return models.CheckConstraint(
        condition=Q(**{f"{name}__isnull": True}) | Q(**{f"{name}__lte": 3}),
        name=f"finding_{name}_0_to_3",
    )


class Finding(SubjectModel):
    """One thing seen on exactly one subject, with its extent, danger and classes."""

    survey = models.ForeignKey(Survey, models.PROTECT, related_name="findings")
    number = models.PositiveIntegerField(_("number"))
    own_key = own_key()
    kind = models.ForeignKey(FindingKind, models.PROTECT, related_name="findings")
    side = models.CharField(_("side"), max_length=8, choices=Side.choices, default=Side.INSIDE)
    extent = models.CharField(
        _("extent"), max_length=16, choices=Extent.choices, default=Extent.ISOLATED
    )
    amount = models.DecimalField(
        _("amount"),
        max_digits=10,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(0))],
    )
    unit = models.CharField(_("unit"), max_length=20, choices=AmountUnit.choices, blank=True)
    of_total = models.PositiveIntegerField(_("of"), null=True, blank=True)
    not_measured = models.CharField(
        _("not measured"), max_length=16, choices=NotMeasured.choices, blank=True
    )
    # How an amount was taken that nobody read off a rule: from marks on a measured photograph.
    amount_working = models.JSONField(null=True, blank=True, editable=False)
    # What makes a measurement one that can be repeated.
    span_typed, span_mm = length_typed(), length_mm()
    within_typed, within_mm = length_typed(), length_mm()
    datum = models.CharField(_("measured from"), max_length=120, blank=True)
    part = models.CharField(
        _("in what of the picture"), max_length=16, choices=Part.choices, blank=True
    )
    water = models.BooleanField(_("water comes in here"), default=False)
    # The danger it is a sighting of, if anybody answered that it is one, or was asked.
    danger = models.ForeignKey(
        "condition.Danger", models.PROTECT, related_name="findings", null=True, blank=True
    )
    position = models.CharField(_("where on it"), max_length=240, blank=True)
    note = models.TextField(_("note"), blank=True)
    condition_class = class_field(_("condition class"), ConditionClass)
    urgency_class = class_field(_("urgency class"), UrgencyClass)
    recommendation_class = class_field(_("recommendation class"), RecommendationClass)
    diagnosis = models.TextField(
        _("diagnosis"), blank=True, help_text=_("What causes it, found out by whom and how.")
    )
    # How the classes came to be: what the rules proposed then, and who set them and why otherwise.
    proposal = models.JSONField(null=True, blank=True, editable=False)
    classes_reason = models.CharField(_("why otherwise"), max_length=400, blank=True)
    classes_set_by = models.ForeignKey(
        "sites.User", models.PROTECT, related_name="+", null=True, blank=True, editable=False
    )
    classes_set_at = models.DateTimeField(null=True, blank=True, editable=False)
    sent_sha256 = sent_digest()
    seen_from = models.CharField(_("seen from"), max_length=8, choices=SeenFrom.choices, blank=True)
    # The one line that a trend follows; what else came together in it stands in `also_from`.
    continues = models.ForeignKey(
        "self", models.PROTECT, related_name="continuations", null=True, blank=True
    )
    also_from = models.ManyToManyField(
        "self",
        through="FindingSource",
        through_fields=("finding", "earlier"),
        symmetrical=False,
        related_name="joined_into",
    )
    subject_change = models.CharField(_("how its place changed"), max_length=240, blank=True)

    objects = FindingQuerySet.as_manager()

    class Meta(SubjectModel.Meta):
        ordering = ["opening__order", "opening__number", "number"]
        constraints = [
            *SubjectModel.Meta.constraints,
            models.UniqueConstraint(fields=["survey", "number"], name="finding_number_once"),
            models.UniqueConstraint(
                fields=["survey", "own_key"], condition=~Q(own_key=""), name="finding_own_key_once"
            ),
            models.CheckConstraint(
                condition=Q(amount__isnull=True, unit="")
                | (Q(amount__isnull=False, amount__gte=0) & ~Q(unit="")),
                name="finding_amount_has_a_unit",
                violation_error_message=_("An amount needs its unit, and a unit its amount."),
            ),
            models.CheckConstraint(
                condition=Q(of_total__isnull=True)
                | Q(unit="count", amount__isnull=False, of_total__gte=models.F("amount")),
                name="finding_count_within_its_total",
                violation_error_message=_("The count cannot be above the total it is out of."),
            ),
            models.CheckConstraint(
                condition=~Q(unit__startswith="percent") | Q(amount__lte=100),
                name="finding_share_within_100",
                violation_error_message=_("A share cannot be above 100 %."),
            ),
            class_constraint("condition_class"),
            class_constraint("urgency_class"),
            class_constraint("recommendation_class"),
            one_of("finding", "side", Side),
            one_of("finding", "extent", Extent),
            one_of_or_none("finding", "part", Part),
            one_of_or_none("finding", "not_measured", NotMeasured),
            one_of_or_none("finding", "seen_from", SeenFrom),
            length_constraint("finding", "span"),
            length_constraint("finding", "within"),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.kind} at {self.subject_label}"

    @property
    def hazard(self) -> bool:
        """Whether its danger can hurt somebody today. `with_dangers` loads what that reads."""
        return self.danger is not None and self.danger.state_on().is_dangerous

    @property
    def was_dangerous(self) -> bool:
        """Whether its danger could hurt somebody as of the day of its survey."""
        return self.danger is not None and self.danger.state_on(self.survey.day).is_dangerous

    @property
    def made_safe(self) -> str:
        """What holds the danger today, in words; empty where nothing is recorded that does."""
        held = self.danger.state_on().held_by if self.danger else None
        acts = self.danger.acts.all() if self.danger and held else ()
        return next((act.measure_words for act in acts if held and act.pk == held.facts.key), "")

    def get_absolute_url(self) -> str:
        return reverse("condition:finding", args=[self.pk])


class FindingSource(Evidence):
    """That a finding comes from an earlier one besides the one it continues: they came together."""

    finding = models.ForeignKey(Finding, models.CASCADE, related_name="source_links")
    earlier = models.ForeignKey(Finding, models.PROTECT, related_name="joining_links")

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["finding", "earlier"], name="finding_source_once")
        ]

    def __str__(self) -> str:
        return f"{self.finding} from {self.earlier}"
