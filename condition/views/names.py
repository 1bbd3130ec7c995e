"""What records are called on pages where their building is plain to see."""

from datetime import date
from typing import Any, cast

from django.utils.translation import gettext as _

from condition.models import Survey


def day_words(day: date) -> str:
    """Return a day in full: `12 May 2026`."""
    return f"{day.day} {day:%B %Y}"


def box_name(survey: Survey, name: str) -> str:
    """Return what the box of one of a survey's columns is called."""
    column = cast(Any, survey._meta.get_field(name))
    return str(column.verbose_name)


def survey_name(survey: Survey) -> str:
    return _("Survey of %(day)s") % {"day": day_words(survey.day)}
