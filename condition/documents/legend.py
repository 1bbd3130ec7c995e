"""What the classes mean, and where the report's rules come from."""

from collections.abc import Iterable

from django.utils.translation import gettext as _

from condition.compute.classes.rules import STUDIO_DEFAULT
from condition.documents.snapshot import LegendRow, OpeningEntry, Terms
from condition.documents.terms import within
from condition.models.choices import ConditionClass, RecommendationClass, UrgencyClass

NO_SOURCE = "common practice, no source"


def legend(terms: Terms) -> list[LegendRow]:
    """Return the meaning of each class, in the words of this program's own lists.

    `within` tells the time of each urgency class here; the standard sets none.
    """
    return [
        LegendRow(
            level=level.value,
            condition=str(level.label),
            urgency=str(UrgencyClass(level.value).label),
            within=within(terms, level.value),
            recommendation=str(RecommendationClass(level.value).label),
        )
        for level in ConditionClass
    ]


def sources(cautions: list[dict[str, str]], openings: Iterable[OpeningEntry]) -> list[str]:
    """Return the published sources the report leans on: those of its classes and signs, those of
    the rules that gave a class in it, then those of its cautions."""
    rules = [
        _(
            "EN 16096:2012, Conservation of cultural property: Condition survey and report of "
            "built cultural heritage. The classes 0 to 3 are given in our words, from memory of "
            "the standard's headings; the standard sets no years for its classes of urgency."
        ),
        _(
            "ISO 7010, Graphical symbols: Registered safety signs. The general warning sign "
            "(W001) stands beside whatever can hurt someone."
        ),
        _(
            "Corpus Vitrearum, rules of numbering. Openings are counted westward from the axial "
            "east opening I, n on the north and s on the south; panels by row from the sill and "
            "by light from the left, as seen from inside."
        ),
    ]
    of_cautions = [
        f"{caution['title']}: {caution['source']}."
        for caution in cautions
        if caution["source"] != NO_SOURCE
    ]
    return rules + _of_reasons(openings) + of_cautions


def _of_reasons(openings: Iterable[OpeningEntry]) -> list[str]:
    named = {
        because.source
        for opening in openings
        for finding in opening.findings
        for because in finding.reasons.because
    }
    return [
        _("Rules of the classes: %s.") % source.rstrip(".")
        for source in sorted(named - {STUDIO_DEFAULT})
    ]
