"""Rules of where a photograph is filed: a survey, one opening, and findings seen there then."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from condition.compute.recording.facts import (
    Context,
    PhotographData,
    Refused,
    gettext_noop,
    refused,
)
from condition.compute.recording.subjects import NO_OPENING, NO_SURVEY

NO_FINDING: Final = gettext_noop("That finding is not known here.")
OTHER_SURVEY: Final = gettext_noop("%(finding)s is of survey %(there)s, not %(here)s.")
OTHER_OPENING: Final = gettext_noop("%(finding)s is of opening %(there)s, not %(here)s.")


def placed(data: PhotographData, known: Context) -> PhotographData:
    """Return the values with the survey and the opening that the first finding brings."""
    first = next((known.findings[key] for key in data.findings if key in known.findings), None)
    if first is None:
        return data
    survey = first.survey if data.survey is None else data.survey
    opening = first.opening if data.opening is None else data.opening
    return replace(data, survey=survey, opening=opening)


def photograph_problems(data: PhotographData, known: Context) -> Iterator[Refused]:
    """Yield all that is wrong with where a photograph is filed, `placed`."""
    if data.survey is not None and data.survey not in known.surveys:
        yield refused("survey", NO_SURVEY)
    if data.opening is not None and data.opening not in known.openings:
        yield refused("opening", NO_OPENING)
    for key in dict.fromkeys(data.findings):
        finding = known.findings.get(key)
        if finding is None:
            yield refused("findings", NO_FINDING)
            continue
        there, here = known.surveys.get(finding.survey), known.surveys.get(data.survey)
        if there and here and finding.survey != data.survey:
            names = {"there": there.label, "here": here.label}
            yield refused("findings", OTHER_SURVEY, finding=finding.label, **names)
        elif data.opening in known.openings and finding.opening != data.opening:
            names = {"there": known.openings[finding.opening], "here": known.openings[data.opening]}
            yield refused("findings", OTHER_OPENING, finding=finding.label, **names)
