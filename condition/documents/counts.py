"""The numbers a report gives of itself, and what the survey did not see."""

from collections.abc import Iterable

from django.utils.translation import gettext as _

from condition.documents.reading import Material
from condition.documents.snapshot import Counts, Named, OpeningEntry
from condition.models import Area, AreaClosure, Danger
from condition.models.choices import Outcome
from sites.models import Opening

LOOKED_AT, NOT_INSPECTED, NOT_RECORDED = "looked at", "not inspected", "not recorded"


def count_up(material: Material) -> Counts:
    """Return the report's counts. Every opening is in exactly one of the three."""
    standings = [standing(opening, material) for opening in material.openings]
    building = material.survey.building
    shut = AreaClosure.objects.standing().filter(danger__building=building)
    return Counts(
        openings=len(standings),
        openings_looked_at=standings.count(LOOKED_AT),
        openings_not_inspected=standings.count(NOT_INSPECTED),
        openings_not_recorded=standings.count(NOT_RECORDED),
        openings_seen_in_part=sum(
            _seen_in_part(opening, material) for opening in material.openings
        ),
        findings=len(material.in_order),
        dangers=Danger.objects.filter(building=building).not_ended().count(),
        areas_shut=Area.objects.filter(closures__in=shut).distinct().count(),
        notices=Danger.objects.filter(closures__in=shut).distinct().count(),
        photographs=sum(len(of_one) for of_one in material.photographs.values()),
        photographs_damaged=material.damaged,
    )


def standing(opening: Opening, material: Material) -> str:
    """Return whether an opening was looked at, could not be, or is not mentioned at all.

    A photograph alone says nothing: somebody must have logged what it shows.
    """
    outcomes = {inspection.outcome for inspection in material.inspections.get(opening.pk, [])}
    if opening.pk in material.findings or Outcome.NOTHING_FOUND in outcomes:
        return LOOKED_AT
    return NOT_INSPECTED if Outcome.NOT_INSPECTED in outcomes else NOT_RECORDED


def _seen_in_part(opening: Opening, material: Material) -> bool:
    """Whether something of an opening that was looked at could not be inspected."""
    outcomes = {inspection.outcome for inspection in material.inspections.get(opening.pk, [])}
    return standing(opening, material) == LOOKED_AT and Outcome.NOT_INSPECTED in outcomes


def places_not_seen(material: Material, entries: Iterable[OpeningEntry]) -> list[Named]:
    """Return what was not seen and why, an opening or a part of one a line."""
    not_inspected = [Named(entry.number, reason) for entry in entries for reason in entry.not_seen]
    not_recorded = [
        Named(opening.number, _("Nothing was recorded of it at this visit"))
        for opening in material.openings
        if standing(opening, material) == NOT_RECORDED
    ]
    return not_inspected + not_recorded
