"""Findings taken away; how they are recorded and changed: `recording`."""

from typing import Final

from django.db import transaction
from django.utils.translation import gettext as _

from condition.models import Finding
from sites.errors import SaddlebarError

LET_GO: Final = ("photographs", "marks")


class FindingStaysError(SaddlebarError):
    """A finding that cannot be taken away, and why."""


def why_it_stays(finding: Finding) -> str:
    """Return why a finding cannot be taken away, in the user's words; "" if it can be."""
    if report := finding.survey.reports.order_by("version").first():
        return _(
            "Report %(number)s has been issued from this survey and names its findings. "
            "Change this finding instead, and say in its note what was mistaken."
        ) % {"number": report.number}
    if finding.danger_id is not None:
        return _(
            "A danger was recorded with this finding, and what was said of it stays. If it was a "
            "mistake, say so on the page of the danger."
        )
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
    photographs = finding.photographs.count()
    finding.delete()
    return photographs


def _named_by(finding: Finding) -> list[str]:
    """What points to a finding, whichever room it belongs to.

    Photographs are let go instead, and its marks go with it. A row that only links it to another
    is not named beside what it is linked to.
    """
    relations = Finding._meta.related_objects
    links = {getattr(relation, "through", None) for relation in relations}
    named = []
    for relation in relations:
        if relation.related_model in links or relation.get_accessor_name() in LET_GO:
            continue
        rows = relation.related_model._base_manager.filter(**{relation.field.name: finding})
        if count := rows.count():
            names = relation.related_model._meta
            named.append(
                f"{count} {names.verbose_name if count == 1 else names.verbose_name_plural}"
            )
    return named
