"""Findings logged, moved and taken away."""

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from condition.models import Finding, FindingMark, Survey
from sites.errors import SaddlebarError


class FindingStaysError(SaddlebarError):
    """A finding that cannot be taken away, and why."""


def next_number(survey: Survey) -> int:
    """Return one more than the highest number of the survey's findings."""
    highest = survey.findings.aggregate(highest=Max("number"))["highest"]
    return 1 + (highest or 0)


@transaction.atomic
def log_finding(finding: Finding) -> Finding:
    """Save a new finding under the next number of its survey, and return it.

    Raises IntegrityError where the database refuses it.
    """
    # Several people may log at one survey at once: each waits here for the other's number.
    Survey.objects.select_for_update().get(pk=finding.survey_id)
    finding.number = next_number(finding.survey)
    finding.save(force_insert=True)
    return finding


@transaction.atomic
def change_finding(finding: Finding) -> Finding:
    """Save a finding that was changed; its photographs go with it to another opening.

    What was drawn of it on the elevation of the opening it was at goes: it lies nowhere on the
    other. Raises IntegrityError where the database refuses it.
    """
    for mark in FindingMark.objects.filter(finding=finding, photograph=None).exclude(
        finding__opening=finding.opening_id
    ):
        mark.delete()
    finding.save()
    # Row by row, as few as they are: the history notes each photograph that moved.
    for photograph in finding.photographs.exclude(opening=finding.opening_id):
        photograph.opening = finding.opening
        photograph.save(update_fields=["opening"])
    return finding


def why_it_stays(finding: Finding) -> str:
    """Return why a finding cannot be taken away, in the user's words; "" if it can be."""
    if report := finding.survey.reports.order_by("version").first():
        return _(
            "Report %(number)s has been issued from this survey and names its findings. "
            "Change this finding instead, and say in its note what was mistaken."
        ) % {"number": report.number}
    if named := _named_by(finding):
        return _("This finding is named by %(named)s. Take it off there first.") % {
            "named": ", ".join(named)
        }
    return ""


@transaction.atomic
def take_away_finding(finding: Finding) -> int:
    """Delete a finding; its photographs stay with the survey and the opening.

    Returns how many photographs it had. Raises FindingStaysError for one that must stay.
    """
    finding = Finding.objects.select_for_update(of=("self",)).get(pk=finding.pk)
    if reason := why_it_stays(finding):
        raise FindingStaysError(reason)
    photographs = list(finding.photographs.all())
    for photograph in photographs:
        photograph.finding = None
        photograph.save(update_fields=["finding"])
    finding.delete()
    return len(photographs)


def _named_by(finding: Finding) -> list[str]:
    """What points to a finding, whichever room it belongs to.

    Photographs are let go instead, and its marks go with it.
    """
    named = []
    for relation in Finding._meta.related_objects:
        if relation.get_accessor_name() in ("photographs", "marks"):
            continue
        rows = relation.related_model._base_manager.filter(**{relation.field.name: finding})
        if count := rows.count():
            names = relation.related_model._meta
            named.append(
                f"{count} {names.verbose_name if count == 1 else names.verbose_name_plural}"
            )
    return named
