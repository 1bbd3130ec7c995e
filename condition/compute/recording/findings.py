"""Rules of a finding: whatever it is recorded with, these are asked, and only here."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from condition.compute.danger.acts import HAS_ENDED, answer_problems, placement_problems
from condition.compute.danger.asking import must_be_asked
from condition.compute.danger.facts import ANYTHING_ELSE, DangerRow, Falls, MeasureKind, Trade
from condition.compute.recording.classes import Grounds, judged_problems
from condition.compute.recording.facts import (
    AboutSubject,
    Context,
    FindingData,
    Key,
    KnownDangerOf,
    KnownKind,
    RecordedFinding,
    Refused,
    gettext_noop,
    refused,
)
from condition.compute.recording.subjects import contradicts, named, subject_problems
from sites.compute.plain_numbers import plain_number

SHARES: Final = ("percent of pieces", "percent of area")
WHOLE: Final = 100
# A finding is judged from where it was seen, by who records it.
OF_AN_ANSWER: Final = {"judged_from": "seen_from", "by_trade": "answer"}
THROUGHOUT: Final = "throughout"
NO_SYMPTOMS: Final = 0

NO_KIND: Final = gettext_noop("That kind of finding is not known here.")
NO_AMOUNT: Final = gettext_noop("A unit stands without its amount.")
NO_AMOUNT_OF: Final = gettext_noop("Say how many of the %(total)s.")
NO_UNIT: Final = gettext_noop("Say what the number counts or measures.")
WRONG_UNIT: Final = gettext_noop("%(kind)s is not given in %(unit)s. Use %(units)s.")
WRONG_DEPTH: Final = gettext_noop(
    "%(kind)s is not given in %(unit)s. Give how far it is out of flat, in %(units)s, and over "
    "what span."
)
BELOW_ZERO: Final = gettext_noop("An amount cannot be below zero.")
NO_COUNT: Final = gettext_noop("%(amount)s is no count. Give a whole number.")
ABOVE_WHOLE: Final = gettext_noop("A share cannot be above 100 %%.")
NO_TOTAL: Final = gettext_noop("Only a number of things is out of a total.")
TOTAL_TOO_LOW: Final = gettext_noop("The count, %(amount)s, is above the total it is out of.")
NO_ANSWER: Final = gettext_noop("Say first whether it can come down.")
NO_DEPTH: Final = gettext_noop(
    "%(kind)s that lies throughout is judged by its depth: give it in %(unit)s, or say that it was "
    "not reached."
)
MEASURED: Final = gettext_noop("An amount is given: it cannot be “not measured” as well.")
ITSELF: Final = gettext_noop("A finding cannot continue itself.")
NO_EARLIER: Final = gettext_noop("That earlier finding is not known here.")
ELSEWHERE: Final = gettext_noop("%(earlier)s is at %(there)s, not at %(here)s.")
NOT_EARLIER: Final = gettext_noop(
    "%(earlier)s was not seen before %(day)s. Name a finding of an earlier survey."
)
CONTINUED: Final = gettext_noop("%(earlier)s is continued by %(later)s already. Continue that one.")
NO_MAIN_LINE: Final = gettext_noop("Say first which finding it continues.")
MOVED: Final = gettext_noop(
    "%(earlier)s was at %(there)s, this one is at %(here)s. Say how that comes: the panels were "
    "renumbered, the damage has spread."
)
NOT_MOVED: Final = gettext_noop("It continues no finding on another panel or item: leave this out.")
TWICE: Final = gettext_noop("%(earlier)s is named twice. Name it once.")
SAID_NOTHING: Final = gettext_noop(
    "This survey says “nothing found” of %(place)s. Take that away first."
)
NUMBER_TAKEN: Final = gettext_noop("This survey has a finding %(number)s already.")


def completed(data: FindingData, known: Context) -> FindingData:
    """Return the values with what follows from the kind: its only unit, and that it is asked
    whether it can come down."""
    kind = known.kinds.get(data.kind)
    if data.amount is not None and not data.unit and kind and len(kind.units) == 1:
        data = replace(data, unit=kind.units[0])
    if kind and data.answer is None and _is_asked(data, kind, known):
        # Asked and not answered: that counts as danger, and is said.
        data = replace(data, answer="")
    return data


def _is_asked(data: FindingData, kind: KnownKind, known: Context) -> bool:
    item = known.items.get(data.attached_item)
    return must_be_asked(
        kind.code,
        kind.danger,
        kind.danger_when_all,
        data.amount if data.unit == "count" else None,
        data.of_total,
        weight_kg=item.weight_kg if item else None,
        lower_edge_mm=item.lower_edge_mm if item else None,
    )


def finding_problems(
    data: FindingData, known: Context, key: Key | None = None
) -> Iterator[Refused]:
    """Yield all that is wrong with a finding, `completed`.

    key: its own, by which it may stand among the known ones.
    """
    yield from subject_problems(data, known)
    yield from named("kind", data.kind, known.kinds, NO_KIND)
    kind = known.kinds.get(data.kind)
    yield from _number(data, known, key)
    yield from _amount(data)
    yield from _unit(data, kind)
    danger = _danger_gone_on_with(data, known, key)
    yield from _danger(data, danger, known)
    if kind:
        yield from _depth(data, kind)
    if data.not_measured and data.amount is not None:
        yield refused("not_measured", MEASURED)
    yield from judged_problems(data.levels, _grounds(data, danger, known), data.classes_reason)
    yield from _earlier_ones(data, known, key)
    yield from _contradiction(data, known)


def _danger(data: FindingData, danger: KnownDangerOf | None, known: Context) -> Iterator[Refused]:
    """What was answered and done about danger. No answer at all is taken, and counts as danger."""
    if danger and danger.has_ended and (data.answer or data.measure):
        yield refused("answer", HAS_ENDED)
    if data.measure and data.answer is None:
        yield refused("answer", NO_ANSWER)
    if data.measure == MeasureKind.TAKEN_AWAY:
        yield from placement_problems(data.placed, data.holder)
    problems = answer_problems(
        data.answer or "",
        data.because,
        data.seen_from,
        Trade.SURVEYOR,
        danger.row if danger else _row_of(data, known),
        is_shut=danger is not None and danger.is_shut,
    )
    for each in problems:
        yield replace(each, field=OF_AN_ANSWER.get(each.field, each.field))


def _danger_gone_on_with(
    data: FindingData, known: Context, key: Key | None
) -> KnownDangerOf | None:
    """The danger that an answer is about: the finding's own, or that of what it continues on the
    same thing, unless that has ended, or nothing is wrong there any more: that ends no danger,
    and is no sighting of one. None for a new one."""
    own = known.findings.get(key)
    if own and own.danger:
        return own.danger
    earlier = known.findings.get(data.continues)
    if earlier is None or earlier.danger is None or earlier.danger.has_ended:
        return None
    if data.condition_class == NO_SYMPTOMS and not data.answer:
        return None
    return earlier.danger if _thing(earlier) == _thing(data) else None


def _thing(each: AboutSubject) -> tuple[Key | None, ...]:
    return each.opening, each.panel, each.attached_item


def _row_of(data: FindingData, known: Context) -> DangerRow:
    """By what a new danger is judged: by what kind of item it is on, else by its own kind."""
    item, kind = known.items.get(data.attached_item), known.kinds.get(data.kind)
    of_item = item.row if item else None
    return of_item or (kind.row if kind else ANYTHING_ELSE)


def _grounds(data: FindingData, danger: KnownDangerOf | None, known: Context) -> Grounds:
    """What the classes of a finding are held against.

    An answer that is still to be given counts as danger on the lists; no class is refused for it.
    """
    below = data.opening in known.over_people
    goes_on = danger is not None and danger.is_dangerous and not data.answer
    answered = goes_on or data.answer not in (None, "", Falls.NO)
    return Grounds(answered, below, bool(data.diagnosis.strip()))


def _depth(data: FindingData, kind: KnownKind) -> Iterator[Refused]:
    """What is judged by its depth needs one, or the word that nobody could reach it."""
    is_asked = kind.needs_depth and data.extent == THROUGHOUT
    if is_asked and data.amount is None and not data.not_measured:
        yield refused("amount", NO_DEPTH, kind=kind.name, unit=kind.units[0])


def _number(data: FindingData, known: Context, key: Key | None) -> Iterator[Refused]:
    if data.number is None:
        return
    if any(other != key for other in known.numbered.get((data.survey, str(data.number)), ())):
        yield refused("number", NUMBER_TAKEN, number=data.number)


def _amount(data: FindingData) -> Iterator[Refused]:
    """An amount and its unit go together, and stay within what can be."""
    amount = data.amount
    if amount is None:
        if data.of_total is not None:
            yield refused("amount", NO_AMOUNT_OF, total=data.of_total)
        elif data.unit:
            yield refused("amount", NO_AMOUNT)
        return
    if amount < 0:
        yield refused("amount", BELOW_ZERO)
    elif not data.unit:
        yield refused("unit", NO_UNIT)
    elif data.unit in SHARES and amount > WHOLE:
        yield refused("amount", ABOVE_WHOLE)
    elif data.unit == "count" and amount % 1:
        yield refused("amount", NO_COUNT, amount=plain_number(amount))
    yield from _total(data)


def _total(data: FindingData) -> Iterator[Refused]:
    if data.of_total is None or data.amount is None or not data.unit:
        return
    if data.unit != "count":
        yield refused("of_total", NO_TOTAL)
    elif data.amount > data.of_total:
        yield refused("of_total", TOTAL_TOO_LOW, amount=plain_number(data.amount))


def _unit(data: FindingData, kind: KnownKind | None) -> Iterator[Refused]:
    if (
        kind
        and kind.units
        and data.unit
        and data.amount is not None
        and data.unit not in kind.units
    ):
        units = " or ".join(sorted(kind.units))
        text = WRONG_DEPTH if kind.needs_depth else WRONG_UNIT
        yield refused("unit", text, kind=kind.name, unit=data.unit, units=units)


def _earlier_ones(data: FindingData, known: Context, key: Key | None) -> Iterator[Refused]:
    """What a finding continues, and what else it comes from: earlier ones of its own opening."""
    if data.continues is not None:
        yield from _earlier("continues", data.continues, data, known, key)
    elif data.also_from:
        yield refused("continues", NO_MAIN_LINE)
    yield from _subject_change(data, known)
    before = {data.continues}
    for each in data.also_from:
        if each in before:
            earlier = known.findings.get(each)
            yield refused("also_from", TWICE, earlier=earlier.label if earlier else each)
        else:
            yield from _earlier("also_from", each, data, known, key)
        before.add(each)


def _subject_change(data: FindingData, known: Context) -> Iterator[Refused]:
    """A thing seen again is on the subject it was on, or it is said how that changed."""
    earlier, words = known.findings.get(data.continues), data.subject_change.strip()
    if earlier is None or earlier.part == data.part:
        if words:
            yield refused("subject_change", NOT_MOVED)
    elif not words and earlier.opening == data.opening and _part_is_here(data, known):
        places = {"there": known.label_of(earlier), "here": known.label_of(data)}
        yield refused("subject_change", MOVED, earlier=earlier.label, **places)


def _part_is_here(data: FindingData, known: Context) -> bool:
    """Whether the panel or item, where one is named, is one of the opening."""
    part = known.items.get(data.attached_item) or known.panels.get(data.panel)
    return data.part is None or (part is not None and part.opening == data.opening)


def _earlier(
    field: str, name: Key, data: FindingData, known: Context, key: Key | None
) -> Iterator[Refused]:
    earlier = known.findings.get(name)
    if name == key:
        yield refused(field, ITSELF)
    elif earlier is None:
        yield refused(field, NO_EARLIER)
    else:
        yield from _before_and_here(field, earlier, data, known)
        yield from _still_open(field, name, earlier, data, known)


def _still_open(
    field: str, name: Key, earlier: RecordedFinding, data: FindingData, known: Context
) -> Iterator[Refused]:
    """One that a survey between the two continues; several of this survey may continue one."""
    now = known.surveys.get(data.survey)
    for each in known.continuations.get(name, ()):
        if now and now.day and each.day and each.day < now.day:
            yield refused(field, CONTINUED, earlier=earlier.label, later=each.label)
            return


def _before_and_here(
    field: str, earlier: RecordedFinding, data: FindingData, known: Context
) -> Iterator[Refused]:
    if data.opening in known.openings and earlier.opening != data.opening:
        there, here = known.openings.get(earlier.opening, ""), known.openings[data.opening]
        yield refused(field, ELSEWHERE, earlier=earlier.label, there=there, here=here)
    then, now = known.surveys.get(earlier.survey), known.surveys.get(data.survey)
    if then and now and then.day and now.day and then.day >= now.day:
        yield refused(field, NOT_EARLIER, earlier=earlier.label, day=now.day)


def _contradiction(data: FindingData, known: Context) -> Iterator[Refused]:
    for _key, look in known.inspections_at.get((data.survey, data.opening), ()):
        if contradicts(look, look.outcome, data):
            yield refused("opening", SAID_NOTHING, place=known.label_of(look))
            return
