"""The cautions of one sheet: what its facts call for, the worst first, whose rules hold named."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from condition.compute.safety.facts import ANYWHERE, SafetyLine, SheetCaution, SheetFacts
from condition.compute.safety.falls import at_height, people_below
from condition.compute.safety.heat import FIRE_CODE, fume, hot_work
from condition.compute.safety.lead import lead, old_paint
from condition.compute.safety.suspects import asbestos, nesting
from sites.compute.figures import Figures

DEFERRAL: Final = (
    "Local codes, the authority having jurisdiction and licensed practice decide wherever they "
    "say otherwise or more. Figures of another country stand for comparison only. This sheet "
    "reminds; it certifies no access and replaces no assessment by who is responsible on site."
)


def cautions_for_sheet(facts: SheetFacts, figures: Figures) -> tuple[SheetCaution, ...]:
    """Return what a visit or job with these facts is to mind, the worst first.

    What nobody has said is named in the caution and counts as the worse case. Where the
    building's own country has a rule for a danger, those of others are left out; where it has
    none that we know, the others stand for comparison, each under its own name.

    figures: with safety.long_day, safety.fire_watch and safety.eu_lead_air. Raises FigureError
    without them.

    Source: each line names its own.
    """
    made = (
        people_below(facts),
        at_height(facts),
        hot_work(facts, figures),
        lead(facts, figures),
        old_paint(facts),
        asbestos(facts),
        nesting(facts),
        fume(facts),
    )
    return tuple(
        replace(each, lines=_chosen(each.lines, facts.jurisdiction))
        for each in made
        if each is not None
    )


def _chosen(lines: Iterable[SafetyLine], jurisdiction: str) -> tuple[SafetyLine, ...]:
    """The lines of the country's own, topic by topic; without one, all, for comparison."""
    lines = tuple(lines)
    settled = {line.topic for line in lines if line.topic and line.jurisdiction == jurisdiction}
    return tuple(
        line
        if line.jurisdiction in (ANYWHERE, FIRE_CODE, jurisdiction)
        else replace(line, own=False)
        for line in lines
        if line.topic not in settled or line.jurisdiction == jurisdiction
    )
