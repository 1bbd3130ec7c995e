"""The classes of a whole subject, proposed from its findings and set by a person."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from condition.models.choices import ConditionClass, RecommendationClass, UrgencyClass
from condition.models.survey import Survey
from sites.models.fields import Label, SubjectModel


def set_class(
    name: Label, choices: type[models.IntegerChoices]
) -> models.PositiveSmallIntegerField:
    return models.PositiveSmallIntegerField(name, choices=choices.choices)


class SubjectAssessment(SubjectModel):
    """What the surveyor holds of an opening, a panel or an item as a whole, at one survey.

    A judgement of its own, not a sum: `proposal` keeps what was proposed from the findings, and
    `reason` says why another class was set.
    """

    survey = models.ForeignKey(Survey, models.PROTECT, related_name="assessments")
    condition_class = set_class(_("condition class"), ConditionClass)
    urgency_class = set_class(_("urgency class"), UrgencyClass)
    recommendation_class = set_class(_("recommendation class"), RecommendationClass)
    proposal = models.JSONField(editable=False)
    reason = models.CharField(_("why otherwise"), max_length=400, blank=True)
    set_by = models.ForeignKey("sites.User", models.PROTECT, related_name="+", editable=False)
    set_at = models.DateTimeField(auto_now=True)

    class Meta(SubjectModel.Meta):
        constraints = [
            *SubjectModel.Meta.constraints,
            models.UniqueConstraint(fields=["survey", "subject_key"], name="assessment_once"),
            *[
                models.CheckConstraint(
                    condition=Q(**{f"{name}__lte": 3}), name=f"assessment_{name}_0_to_3"
                )
                for name in ("condition_class", "urgency_class", "recommendation_class")
            ],
        ]

    def __str__(self) -> str:
        return f"{self.subject_label}: {self.condition_class}"
