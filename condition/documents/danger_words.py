"""What is said of a danger, on a page and on paper: only what the record holds."""

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from condition.compute.danger.facts import Falls, Under
from condition.compute.danger.state import DangerState, Measure
from condition.models import Area, Danger
from sites.documents.words import day_words, placement_words

FALLS_WORDS = {
    Falls.NOW: gettext_lazy("can come down now"),
    Falls.COULD: gettext_lazy("could come down"),
    Falls.NOT_JUDGED: gettext_lazy("whether it can come down could not be judged"),
    Falls.NOT_ANSWERED: gettext_lazy("whether it can come down is not answered"),
    Falls.NO: gettext_lazy("cannot come down"),
}
UNDER_WORDS = {
    Under.PEOPLE: gettext_lazy("people sit or pass under it"),
    Under.LET_IN: gettext_lazy("only people we let in are under it"),
    Under.NOBODY: gettext_lazy("nobody can be under it"),
    Under.NOT_ANSWERED: gettext_lazy("who can be under it is not answered"),
}


@dataclass(frozen=True)
class DangerLine:
    """One danger as it is listed: whatever stands in it follows from its record.

    held: what holds it, or that nothing recorded does. keep_out: nothing recorded holds it and
    somebody can be there. since: from when it is open, and whether this survey saw it again.
    """

    danger: Danger
    state: DangerState
    answers: str
    held: str
    since: str
    shut: str

    @property
    def keep_out(self) -> bool:
        return self.state.is_dangerous and not self.state.is_held


def danger_line(
    danger: Danger, state: DangerState, locale: str, areas: list[Area] | None = None
) -> DangerLine:
    """Return a danger as it is listed. areas: those that stand closed for it."""
    return DangerLine(
        danger=danger,
        state=state,
        answers=answers_of(state),
        held=held_words(danger, state, locale),
        since=_("open since %s") % day_words(danger.open_since(state), locale),
        shut=_("Closed: %s") % "; ".join(area.name for area in areas) if areas else "",
    )


def answers_of(state: DangerState) -> str:
    """Return both answers: `It can come down now; who can be under it is not answered`."""
    falls = str(FALLS_WORDS[state.falls])
    if state.falls == Falls.NO and state.falls_because:
        falls = f"{falls}: {state.falls_because.strip().rstrip('.')}"
    words = _("%(falls)s; %(under)s") % {"falls": falls, "under": UNDER_WORDS[state.under]}
    if state.disagreement:
        words = _("%s; two answers disagree, and the worse one counts") % words
    return words[:1].upper() + words[1:]


def happens_words(state: DangerState) -> str:
    """Return what could happen by the answers; not answered counts as danger."""
    words = _("It %s.") % FALLS_WORDS[state.falls]
    if state.falls == Falls.NOT_JUDGED:
        words = _("Can it fall? Could not be judged, so counted as danger.")
    elif state.falls == Falls.NOT_ANSWERED:
        words = _("Can it fall? Not answered, so counted as danger.")
    if state.under == Under.NOT_ANSWERED:
        words += " " + _("Who can be under it? Not answered, so counted as danger.")
    return words


def held_words(danger: Danger, state: DangerState, locale: str) -> str:
    """Return what holds a danger today and by when somebody looks again, or that nothing does."""
    if state.held_by is not None:
        return _measure(danger, state.held_by, locale)
    if state.is_away and danger.attached_item is not None:
        return _("It is not in its place. %s.") % placement_words(danger.attached_item, locale)
    if state.overdue:
        last = state.overdue[-1]
        return _("Not held: nobody has looked since %(day)s at what was done (%(what)s).") % {
            "day": day_words(last.last_looked, locale),
            "what": measure_of(danger, last).lower(),
        }
    if failed := [each for each in state.measures if each.failed]:
        return _("Not held: what was done (%(what)s) was found failed on %(day)s.") % {
            "what": measure_of(danger, failed[-1]).lower(),
            "day": day_words(failed[-1].last_looked, locale),
        }
    if state.measures:
        done = "; ".join(
            f"{measure_of(danger, each)}, {day_words(each.facts.day, locale)}"
            for each in state.measures
        )
        return _("Nothing recorded holds it. Done: %s.") % done
    return _("Nothing recorded holds it.")


def _measure(danger: Danger, measure: Measure, locale: str) -> str:
    """`Wired to the saddle bar, 12 May 2026; last looked at 20 May; look again by 11 June`."""
    parts = [f"{measure_of(danger, measure)}, {day_words(measure.facts.day, locale)}"]
    if measure.last_looked != measure.facts.day:
        parts.append(_("last looked at %s") % day_words(measure.last_looked, locale))
    keeper = next((act.keeper for act in danger.acts.all() if act.pk == measure.facts.key), "")
    if keeper:
        parts.append(_("kept by %s") % keeper)
    if measure.look_by is not None:
        parts.append(_("look again by %s") % day_words(measure.look_by, locale))
    return "; ".join(parts) + "."


def measure_of(danger: Danger, measure: Measure) -> str:
    """Return what was done, in the words it was recorded with."""
    acts = {act.pk: act for act in danger.acts.all()}
    return acts[measure.facts.key].measure_words  # type: ignore[index]


def end_words(state: DangerState, locale: str) -> str:
    """Return how a danger ended: `Taken away on 12 May 2026`; "" while it has not."""
    if state.end is None or state.end.end is None:
        return ""
    how = {
        "taken away": _("Taken away"),
        "mended": _("Mended"),
        "removed": _("Removed for good"),
        "mistaken": _("It was a mistake"),
        "gone": _("Found gone"),
    }[state.end.end]
    return _("%(how)s on %(day)s") % {"how": how, "day": day_words(state.end.day, locale)}


def pressing(pair: tuple[Danger, DangerState]) -> tuple[object, ...]:
    """Return what dangers are sorted by: by standing, of these first what nothing holds, then
    what can come down now, then the oldest."""
    danger, state = pair
    return (
        list(type(state.standing)).index(state.standing),
        state.is_held,
        -state.urgency_at_least,
        danger.opened_on,
        danger.pk,
    )
