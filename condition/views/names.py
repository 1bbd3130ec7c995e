"""What records are called on pages where their building is plain to see."""

from collections.abc import Iterable
from datetime import date
from typing import Any, cast
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from condition.models import Survey
from condition.services.comparing import EarlierSurvey, chosen_of, earlier_surveys


def day_words(day: date) -> str:
    """Return a day in full: `12 May 2026`."""
    return f"{day.day} {day:%B %Y}"


def box_name(survey: Survey, name: str) -> str:
    """Return what the box of one of a survey's columns is called."""
    column = cast(Any, survey._meta.get_field(name))
    return str(column.verbose_name)


def compared_choices(offered: Iterable[EarlierSurvey]) -> list[tuple[UUID, str]]:
    """Return the key and the name of each survey that one may be compared with."""
    return [(each.survey.pk, _choice(each)) for each in offered]


def since_choice(survey: Survey) -> dict[str, Any]:
    """Return what the box reads in which the report's earlier survey is chosen."""
    offered = earlier_surveys(survey)
    suggested = chosen_of(offered, None)
    return {"since_choices": compared_choices(offered), "since": suggested and suggested.pk}


def _choice(each: EarlierSurvey) -> str:
    text = ngettext(
        "%(day)s: saw %(shared)d of the %(of)d window",
        "%(day)s: saw %(shared)d of the %(of)d windows",
        each.of,
    )
    return text % {"day": day_words(each.survey.day), "shared": each.shared, "of": each.of}


def survey_name(survey: Survey) -> str:
    return _("Survey of %(day)s") % {"day": day_words(survey.day)}
