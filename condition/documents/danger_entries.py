"""Every danger that a report must speak of, as it stood at the report's moment."""

from collections.abc import Iterator
from datetime import date

from django.utils.translation import gettext as _

from condition.compute.danger.facts import Act, Falls, MeasureKind
from condition.compute.danger.state import DangerState
from condition.documents.danger_words import (
    answers_of,
    end_words,
    happens_words,
    held_words,
    measure_of,
)
from condition.documents.first_page import DangerEntry, Task
from condition.documents.notices import notice_number
from condition.documents.reading import Material
from condition.documents.snapshot import Terms
from condition.documents.terms import due_on
from condition.documents.words import first_clause
from condition.models import Danger, DangerAct
from condition.models.choices import Side
from condition.models.danger_facts import latest_of
from sites.documents.words import day_words
from sites.models import Opening
from sites.models.choices import Level, Wall


class DangerEntries:
    """Makes the entries of one report's dangers."""

    def __init__(self, material: Material, terms: Terms, locale: str) -> None:
        self.material = material
        self.terms = terms
        self.locale = locale
        self.today = material.day

    def entries(self) -> list[DangerEntry]:
        """Return each danger that nobody ended, the worst first; after them those that ended and
        are still spoken of: seen at this survey, or an area stands closed for them."""
        return [
            self._entry(danger, state)
            for danger, state in self.material.dangers
            if state.end is None or self._is_spoken_of(danger)
        ]

    def _is_spoken_of(self, danger: Danger) -> bool:
        material, key = self.material, danger.pk
        seen = any(finding.danger_id == key for finding in material.in_order)
        return seen or any(closure.danger_id == key for closure in material.closures)

    def _entry(self, danger: Danger, state: DangerState) -> DangerEntry:
        material = self.material
        findings = [each.number for each in material.in_order if each.danger_id == danger.pk]
        closures = [each for each in material.closures if each.danger_id == danger.pk]
        urgency, judged_on = self._judged(danger, state)
        return DangerEntry(
            id=str(danger.pk),
            opening=danger.opening.number if danger.opening else "",
            code=danger.label,
            where=everyday_place(danger),
            side=danger.side,
            kind=danger.shown_kind.name,
            what=first_clause(danger.shown_kind.plain),
            happens=happens_words(state),
            standing=state.standing.value,
            falls=state.falls.value,
            under=state.under.value,
            answers=answers_of(state),
            judged=self._who_judged(danger, state),
            held_by=state.held_by.facts.measure or "" if state.held_by else "",
            held_words=self._held(danger, state),
            ended=end_words(state, self.locale),
            since=danger.open_since(state).isoformat(),
            since_words=self._since(danger.open_since(state), seen_again=bool(findings)),
            seen_again=bool(findings),
            urgency=urgency,
            judged_on=judged_on.isoformat(),
            tasks=list(self._tasks(danger, state, due_on(self.terms, urgency, judged_on))),
            findings=findings,
            notice=notice_number(closures) if closures else "",
            closed=[each.area.name for each in closures],
        )

    def _judged(self, danger: Danger, state: DangerState) -> tuple[int, date]:
        """The class of urgency that counts, and the day of the visit it was given at: of the
        latest sighting; never below what the danger itself asks for, and 0 for no danger."""
        seen = (each for each in danger.findings.all() if each.survey.day <= self.today)
        latest = latest_of(seen)
        given = (latest.urgency_class or 0) if latest else 0
        day = latest.survey.day if latest else danger.opened_on
        return max(given, state.urgency_at_least) if state.is_dangerous else 0, day

    def _held(self, danger: Danger, state: DangerState) -> str:
        """What holds it, since when and when somebody last looked; or that nothing does."""
        held = state.held_by
        if held is None:
            return held_words(danger, state, self.locale)
        what, day = measure_of(danger, held), day_words(held.facts.day, self.locale)
        if held.last_looked == held.facts.day:
            return _("%(what)s. Since %(day)s; nobody has looked again since.") % {
                "what": what,
                "day": day,
            }
        return _("%(what)s. Since %(day)s; last looked at on %(looked)s.") % {
            "what": what,
            "day": day,
            "looked": day_words(held.last_looked, self.locale),
        }

    def _since(self, opened: date, *, seen_again: bool) -> str:
        visit = self.material.survey.day
        words = _("Open since %s") % day_words(opened, self.locale)
        if opened >= visit:
            return f"{words}."
        if seen_again:
            return _("%s, seen again on this visit.") % words
        return _("%s, not seen again on this visit.") % words

    def _who_judged(self, danger: Danger, state: DangerState) -> str:
        """Who said that it cannot come down, from where and when."""
        if state.falls != Falls.NO:
            return ""
        act = _latest_no(danger)
        trade = str(act.get_by_trade_display() or _("surveyor")).lower()
        parts = [act.by_name or (act.finding.survey.surveyors if act.finding else ""), trade]
        parts += [str(act.get_judged_from_display()).lower(), day_words(act.day, self.locale)]
        return ", ".join(part for part in parts if part)

    def _tasks(self, danger: Danger, state: DangerState, due: date) -> Iterator[Task]:
        """What is to be done about it, the most pressing first; nothing where it hurts nobody."""
        if not state.is_dangerous:
            return
        keeper, held = _keeper(danger) or _("Whoever has charge of the building"), state.held_by
        if held is None:
            yield Task("keep out", keeper, _("keeps people out"), self.today.isoformat(), _("now"))
        elif held.look_by is not None:
            yield self._task("look", keeper, _("looks at it again"), held.look_by)
        if held and held.facts.measure == MeasureKind.TAKEN_AWAY:
            yield self._task(
                "repair", "", _("Have it put back, or settle what becomes of it,"), due
            )
        else:
            yield self._task("repair", "", _("Have it repaired"), due)

    def _task(self, key: str, who: str, words: str, by: date) -> Task:
        return Task(key, who, words, by.isoformat(), by_words(by, self.today, self.locale))


def by_words(by: date, today: date, locale: str) -> str:
    """Return the last day for something: `by 12 June 2026; that day has passed`."""
    words = _("by %s") % day_words(by, locale)
    return _("%s; that day has passed") % words if by < today else words


def everyday_place(danger: Danger) -> str:
    """Return where it is, in words of every day: as written, else the window and its wall."""
    if danger.place or danger.opening is None:
        return danger.where
    side = "" if danger.side == Side.UNKNOWN else str(danger.get_side_display()).lower()
    return ", ".join(part for part in (window_name(danger.opening), side) if part)


def window_name(opening: Opening) -> str:
    """Return a window as people know it: its subject and its wall; its number where neither is."""
    wall = "" if opening.wall == Wall.OTHER else _("%s wall") % opening.get_wall_display()
    row = _("upper row") if opening.level == Level.CLERESTORY else ""
    named = ", ".join(part for part in (opening.title, wall.lower(), row) if part)
    return named or opening.number


def _latest_no(danger: Danger) -> DangerAct:
    answers = [act for act in danger.acts.all() if act.act == Act.ANSWER]
    return [act for act in answers if act.answer == Falls.NO][-1]


def _keeper(danger: Danger) -> str:
    """Who keeps what was done last, as far as somebody was named."""
    named = [act.keeper.strip() for act in danger.acts.all() if act.keeper.strip()]
    return named[-1] if named else ""
