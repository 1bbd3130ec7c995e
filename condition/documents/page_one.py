"""Page one of a report, for somebody with ten minutes and no trade words."""

from collections.abc import Iterable, Sequence
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from condition.compute.comparing import State
from condition.compute.danger.facts import Act, MeasureKind
from condition.compute.danger.state import Standing
from condition.documents.changed import Change
from condition.documents.counts import LOOKED_AT, standing
from condition.documents.danger_entries import by_words, window_name
from condition.documents.decisions import decisions_at
from condition.documents.first_page import (
    DangerEntry,
    DangerRow,
    PageOne,
    ShutArea,
    TakenAway,
    WindowGroup,
)
from condition.documents.reading import Material
from condition.documents.snapshot import Counts, Terms
from condition.documents.terms import due_on
from condition.models import Danger, DangerAct
from condition.models.choices import UrgencyClass
from sites.documents.words import day_words, moment_words
from sites.models import Opening

DANGER, LET_IN, TAKEN = "danger", "let in", "taken"
NOW, SOON, LATER, NOTHING = "now", "soon", "later", "nothing"
NOT_JUDGED, NOT_SEEN = "not judged", "not seen"
OF_URGENCY = {
    UrgencyClass.IMMEDIATE: NOW,
    UrgencyClass.SHORT_TERM: SOON,
    UrgencyClass.INTERMEDIATE: LATER,
    UrgencyClass.LONG_TERM: NOTHING,
}
TITLES = {
    NOW: gettext_lazy("to be seen to now"),
    SOON: gettext_lazy("next"),
    LATER: gettext_lazy("later"),
    NOTHING: gettext_lazy("need nothing; looked at again"),
    NOT_JUDGED: gettext_lazy("looked at, not judged yet"),
    NOT_SEEN: gettext_lazy("not looked at"),
}
# How many sentences say what waiting means for what is no danger.
MOST_WAITING = 1


def group_of(entry: DangerEntry) -> str:
    """Return the group of page one a danger stands in; "" for one that can hurt nobody today."""
    if entry.standing not in (Standing.DANGER, Standing.LET_IN):
        return ""
    if entry.held_by == MeasureKind.TAKEN_AWAY:
        return TAKEN
    return DANGER if entry.standing == Standing.DANGER else LET_IN


def rows_of(entries: Iterable[DangerEntry]) -> list[DangerRow]:
    """Return a row for each danger that can hurt somebody today, in the order of the entries.

    Several dangers of one thing on one side are one place, and stand together; the places of a
    group are numbered from 1.
    """
    places: dict[tuple[str, str, str], list[DangerEntry]] = {}
    for entry in entries:
        if group := group_of(entry):
            places.setdefault((group, entry.code, entry.side), []).append(entry)
    return [
        DangerRow(entry.id, group, number, entry.where, entry.code, bool(entry.held_by))
        for group in (DANGER, LET_IN, TAKEN)
        for number, of_place in enumerate(
            (each for key, each in places.items() if key[0] == group), start=1
        )
        for entry in of_place
    ]


class FirstPage:
    """Makes page one of one report."""

    def __init__(
        self, material: Material, entries: list[DangerEntry], terms: Terms, locale: str
    ) -> None:
        self.material = material
        self.entries = entries
        self.terms = terms
        self.locale = locale
        self.zone = ZoneInfo(material.survey.building.time_zone)

    def page(self, counts: Counts, change: Change | None) -> PageOne:
        """Return the page. counts, change: the report's own."""
        material, rows = self.material, rows_of(self.entries)
        places, held = _places(rows, DANGER), _places_held(rows)
        let_in, taken = _places(rows, LET_IN), _places(rows, TAKEN)
        decisions = decisions_at(material.survey.building)
        return PageOne(
            places=places,
            places_held=held,
            let_in=let_in,
            taken_places=taken,
            answer=_answer(places),
            lead=_lead(places, held, let_in, taken),
            rows=rows,
            taken=self._taken(),
            shut=self._shut(),
            shut_words=_shut_words(bool(material.closures)),
            decisions=decisions,
            decide_words=_consent(material.survey.building.consent_body),
            waiting=self._waiting(places, held, change),
            windows=self._windows(),
            repairs=_repairs(change),
            not_seen=_not_seen(counts, day_words(material.survey.day, self.locale)),
            moment_words=moment_words(material.moment, self.zone, self.locale),
        )

    def _taken(self) -> list[TakenAway]:
        """What was taken away and is not back: the last that was said of each."""
        return [
            TakenAway(
                where=window_name(danger.opening) if danger.opening else danger.where,
                code=danger.label,
                placed=act.placed.strip().rstrip("."),
                holder=act.holder.strip().rstrip("."),
                day_words=day_words(act.day, self.locale),
            )
            for danger, _state in self.material.dangers
            if (act := _taking(danger)) is not None
        ]

    def _shut(self) -> list[ShutArea]:
        areas: dict[str, ShutArea] = {}
        for closure in self.material.closures:
            since = day_words(closure.closed_at.astimezone(self.zone).date(), self.locale)
            area = areas.setdefault(closure.area.name, ShutArea(closure.area.name, since, []))
            area.dangers.append(str(closure.danger_id))
        return list(areas.values())

    def _waiting(self, places: int, held: int, change: Change | None) -> list[str]:
        """What waiting means: of dangers first, then what waiting has done since the survey
        before, then of the damage that is to be seen to next."""
        words = []
        if places > held:
            words.append(_("Where nothing holds it, only keeping people out protects them."))
        if held:
            words.append(_("What is held still needs its repair."))
        if change and (worse := sum(row.state == State.WORSE for row in change.rows)):
            grown = ngettext(
                "One thing found at an earlier visit is worse now.",
                "%(count)s things found at an earlier visit are worse now.",
                worse,
            )
            words.append(grown % {"count": in_words(worse).capitalize()})
        return [" ".join(words), *self._commonest()] if words else self._commonest()

    def _commonest(self) -> list[str]:
        """What the commonest damage that is to be seen to next means, in the words of its kind."""
        places: dict[str, list[str]] = {}
        for finding in self.material.in_order:
            if finding.urgency_class == UrgencyClass.SHORT_TERM:
                places.setdefault(finding.kind.plain, []).append(finding.opening.number)
        commonest = sorted(places.items(), key=lambda pair: -len(pair[1]))[:MOST_WAITING]
        return [
            f"{words.rstrip('.')} ({', '.join(dict.fromkeys(numbers))})."
            for words, numbers in commonest
        ]

    def _windows(self) -> list[WindowGroup]:
        """The groups that have windows, and the first four in any case; each window in one."""
        groups: dict[str, list[str]] = {key: [] for key in TITLES}
        for opening in self.material.openings:
            groups[self._group_of(opening)].append(opening.number)
        return [
            self._group(key, windows)
            for key, windows in groups.items()
            if windows or key not in (NOT_JUDGED, NOT_SEEN)
        ]

    def _group(self, key: str, windows: list[str]) -> WindowGroup:
        urgency = {name: level for level, name in OF_URGENCY.items()}.get(key)
        by = None if urgency is None else due_on(self.terms, urgency, self.material.survey.day)
        return WindowGroup(
            key=key,
            title=str(TITLES[key]),
            by=by.isoformat() if by else "",
            by_words=by_words(by, self.material.day, self.locale) if by else "",
            windows=windows,
            count=len(windows),
        )

    def _group_of(self, opening: Opening) -> str:
        """The worst that is known of a window decides; then that something is not judged."""
        findings = self.material.findings.get(opening.pk, [])
        levels = [finding.urgency_class for finding in findings]
        if own := self.material.assessments.get(opening.pk):
            levels.append(own.urgency_class)
        levels += [
            entry.urgency
            for entry in self.entries
            if entry.opening == opening.number and group_of(entry)
        ]
        worst = max((level for level in levels if level is not None), default=None)
        if worst:
            return OF_URGENCY[UrgencyClass(worst)]
        if None in levels:
            return NOT_JUDGED
        seen = worst is not None or standing(opening, self.material) == LOOKED_AT
        return NOTHING if seen else NOT_SEEN


def _places(rows: Iterable[DangerRow], group: str) -> int:
    return len({row.place for row in rows if row.group == group})


def _places_held(rows: Iterable[DangerRow]) -> int:
    """At how many places of danger everything is held."""
    here = [row for row in rows if row.group == DANGER]
    return len({row.place for row in here} - {row.place for row in here if not row.held})


def _taking(danger: Danger) -> DangerAct | None:
    """The act by which a thing was taken away last, unless it was put back or is in place."""
    item, taking = danger.attached_item, None
    taken_back = {act.of_id for act in danger.acts.all() if act.act == Act.TAKEN_BACK}
    for act in danger.acts.all():
        if act.act == Act.PUT_BACK:
            taking = None
        elif MeasureKind.TAKEN_AWAY in (act.measure, act.end) and act.pk not in taken_back:
            taking = act
    return None if item is not None and item.is_in_place else taking


def _answer(places: int) -> str:
    if not places:
        return _("No open danger is recorded.")
    words = ngettext("Yes, at one place.", "Yes, at %(count)s places.", places)
    return words % {"count": in_words(places)}


def in_words(count: int) -> str:
    """Return a count as it is spoken, up to twelve: `four`, `13`."""
    spoken = _("none one two three four five six seven eight nine ten eleven twelve").split()
    return spoken[count] if count < len(spoken) else str(count)


def _lead(places: int, held: int, let_in: int, taken: int) -> str:
    """How many places are held for the time being, and what else can hurt somebody."""
    words = []
    if not places:
        words.append(_("That says what was recorded, not that nothing can fall."))
    else:
        words += _of_places(places - held, held)
    if let_in:
        apart = ngettext(
            "At one more place only people you let in can be under it.",
            "At %(count)s more places only people you let in can be under it.",
            let_in,
        )
        words.append(apart % {"count": in_words(let_in)})
    if taken:
        away = ngettext(
            "One more was taken away; nobody has said yet that it is over.",
            "%(count)s more were taken away; nobody has said yet that it is over.",
            taken,
        )
        words.append(away % {"count": in_words(taken).capitalize()})
    return " ".join(words)


def _of_places(loose: int, held: int) -> list[str]:
    """What is said of the places that nothing holds, and of those that something does."""
    here, rest = {"count": in_words(loose)}, {"count": in_words(held).capitalize()}
    out = _("keep people out from under there now, inside and outside.")
    if not held:
        start = ngettext("Nothing recorded holds it:", "Nothing recorded holds them:", loose)
        return [f"{start} {out}"]
    if not loose:
        return [
            ngettext("It is held for the time being.", "All are held for the time being.", held)
        ]
    start = ngettext(
        "At one of them nothing recorded holds it:",
        "At %(count)s of them nothing recorded holds it:",
        loose,
    )
    safe = ngettext(
        "One place is held for the time being.",
        "%(count)s places are held for the time being.",
        held,
    )
    return [f"{start % here} {out}", safe % rest]


def _shut_words(some: bool) -> str:
    """What is said of all the rest: no more than that nothing else is recorded as closed."""
    rest = (
        _("No other area is recorded as closed.") if some else _("No area is recorded as closed.")
    )
    return rest + " " + _("Local codes and the authority having jurisdiction come first.")


def _consent(body: str) -> str:
    if not body.strip():
        return _(
            "Whose consent work on the windows needs is not recorded: ask the authority having "
            "jurisdiction before any of it."
        )
    return _("Before any work on the windows, ask for consent: %s.") % body.strip().rstrip(".")


def _repairs(change: Change | None) -> str:
    """What the comparison records of repairs, and no more."""
    if change is None:
        return _("There is no earlier survey to compare with: nothing is recorded of it.")
    repaired = [row for row in change.rows if row.state == State.REPAIRED]
    if not repaired:
        return _("Nothing that was found before is recorded as repaired.")
    named = "; ".join(f"{row.subject}, {row.kind.lower()} ({row.day_words})" for row in repaired)
    return _("Found repaired on this visit: %s.") % named


def _not_seen(counts: Counts, day: str) -> str:
    seen = _("On %(day)s we looked at %(seen)d of %(all)d windows.") % {
        "day": day,
        "seen": counts.openings_looked_at,
        "all": counts.openings,
    }
    words: Sequence[str] = [seen]
    if counts.openings_seen_in_part:
        in_part = ngettext(
            "At %d of them a part could not be inspected.",
            "At %d of them a part could not be inspected.",
            counts.openings_seen_in_part,
        )
        words = [*words, in_part % counts.openings_seen_in_part]
    if unseen := counts.openings - counts.openings_looked_at:
        rest = ngettext(
            "Nothing new can be said of %d window.",
            "Nothing new can be said of %d windows.",
            unseen,
        )
        words = [*words, rest % unseen]
    return " ".join(words)
