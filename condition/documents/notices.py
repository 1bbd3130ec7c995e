"""Make-safe notices that are still open, as the report repeats them."""

from collections.abc import Iterable

from condition.documents.snapshot import OpenNotice
from condition.documents.words import subject_of
from condition.models import MakeSafeNotice, Survey
from sites.documents.words import day_words


def open_notices_told(
    notices: Iterable[MakeSafeNotice], survey: Survey, locale: str
) -> list[OpenNotice]:
    """Return each open notice in a line; of a finding of another survey without its number."""
    return [
        OpenNotice(
            number=notice.number,
            day_words=day_words(notice.dated, locale),
            where=subject_of(notice.finding),
            hazard=notice.finding.kind.name,
            area=notice.area.strip().rstrip("."),
            finding=notice.finding.number if notice.finding.survey_id == survey.pk else 0,
        )
        for notice in notices
    ]
