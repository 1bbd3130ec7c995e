"""What records are called on pages where their building is plain to see."""

from datetime import date

from django.utils.translation import gettext as _

from condition.models import Survey


def day_words(day: date) -> str:
    """Return a day in full: `12 May 2026`."""
    return f"{day.day} {day:%B %Y}"


def survey_name(survey: Survey) -> str:
    return _("Survey of %(day)s") % {"day": day_words(survey.day)}
