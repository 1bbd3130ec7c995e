"""Within how long each urgency class is to be acted on here, and how long the report holds."""

from calendar import monthrange
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from condition.documents.snapshot import Terms
from condition.models import ReportTerms, Survey
from condition.models.choices import UrgencyClass
from sites.documents.words import day_words


def terms_of(survey: Survey, agreed: ReportTerms | None, locale: str) -> Terms:
    """Return what the client has agreed, or the studio's usual terms where nothing is agreed.

    A report may be relied on from the day of the visit: what is seen ages, not the paper. Without
    an agreement no day is named; the studio's own words on reliance stand instead.
    """
    held = agreed or ReportTerms(building=survey.building)
    until = months_after(survey.day, held.shelf_months) if agreed else None
    return Terms(
        agreed=agreed is not None,
        immediate_months=held.immediate_months,
        short_years=held.short_years,
        intermediate_years=held.intermediate_years,
        long_years=held.long_years,
        shelf_months=held.shelf_months,
        until=until.isoformat() if until else "",
        until_words=day_words(until, locale) if until else "",
        relied_on_by=held.relied_on_by.strip() or survey.client.strip(),
        limits="" if agreed else survey.building.studio.reliance.strip(),
    )


def months_after(day: date, months: int) -> date:
    """Return the day `months` later; a day its month has not becomes the month's last."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def due_on(terms: Terms, urgency: int, day: date) -> date:
    """Return the last day to act on what was given a class of urgency on a day, 0 to 3."""
    months = {
        UrgencyClass.IMMEDIATE: terms.immediate_months,
        UrgencyClass.SHORT_TERM: 12 * terms.short_years,
        UrgencyClass.INTERMEDIATE: 12 * terms.intermediate_years,
    }.get(UrgencyClass(urgency), 12 * terms.long_years)
    return months_after(day, months)


def within(terms: Terms, urgency: int) -> str:
    """Return within how long a class is to be acted on: `within 2 years`."""
    if urgency == UrgencyClass.IMMEDIATE:
        return _("within %s") % months_counted(terms.immediate_months)
    if urgency == UrgencyClass.SHORT_TERM:
        return _("within %s") % years_counted(terms.short_years)
    if urgency == UrgencyClass.INTERMEDIATE:
        return _("within %s") % years_counted(terms.intermediate_years)
    return _("to be looked at again within %s") % years_counted(terms.long_years)


def months_counted(count: int) -> str:
    return ngettext("%d month", "%d months", count) % count


def years_counted(count: int) -> str:
    return ngettext("%d year", "%d years", count) % count
