"""Rules of what is about an opening, a panel or an attached item of a survey's building."""

from collections.abc import Iterator, Mapping
from typing import Final

from condition.compute.recording.facts import (
    NOTHING_FOUND,
    OPPOSITE,
    AboutSubject,
    Context,
    Key,
    KnownPart,
    Refused,
    gettext_noop,
    refused,
)

MISSING: Final = gettext_noop("This must be filled in.")
NO_SURVEY: Final = gettext_noop("That survey is not known here.")
NO_OPENING: Final = gettext_noop("That opening is not one of this building.")
NO_PART: Final = gettext_noop("That is no panel and no item of this building.")
TWO_PARTS: Final = gettext_noop("Name a panel or an attached item, not both.")
PANEL_ELSEWHERE: Final = gettext_noop("Panel %(part)s is in %(there)s, not %(here)s.")
ITEM_ELSEWHERE: Final = gettext_noop("Item %(part)s is in %(there)s, not %(here)s.")


def subject_problems(about: AboutSubject, known: Context) -> Iterator[Refused]:
    """Yield what is wrong with the survey, the opening and the part that something is about."""
    yield from named("survey", about.survey, known.surveys, NO_SURVEY)
    yield from named("opening", about.opening, known.openings, NO_OPENING)
    if about.panel is not None and about.attached_item is not None:
        yield refused("panel", TWO_PARTS)
    yield from _part("panel", about.panel, known.panels, about, known, PANEL_ELSEWHERE)
    yield from _part(
        "attached_item", about.attached_item, known.items, about, known, ITEM_ELSEWHERE
    )


def named(
    field: str, key: Key | None, rows: Mapping[Key, object], not_known: str
) -> Iterator[Refused]:
    """Yield a problem where a key that is needed is not given, or names nothing."""
    if key is None:
        yield refused(field, MISSING)
    elif key not in rows:
        yield refused(field, not_known)


def _part(
    field: str,
    key: Key | None,
    parts: Mapping[Key, KnownPart],
    about: AboutSubject,
    known: Context,
    elsewhere: str,
) -> Iterator[Refused]:
    if key is None:
        return
    part = parts.get(key)
    if part is None:
        yield refused(field, NO_PART)
    elif about.opening in known.openings and part.opening != about.opening:
        there, here = known.openings.get(part.opening, ""), known.openings[about.opening]
        yield refused(field, elsewhere, part=part.number, there=there, here=here)


def contradicts(look: AboutSubject, outcome: str | None, finding: AboutSubject) -> bool:
    """Whether "nothing found" cannot be true beside a finding of the same survey and opening.

    A look at the whole opening speaks of everything there; what was seen from the other side
    alone does not contradict it.
    """
    return (
        outcome == NOTHING_FOUND
        and finding.side != OPPOSITE.get(look.side)
        and (look.part is None or look.part == finding.part)
    )
