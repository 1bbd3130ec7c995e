"""What changed since an earlier survey: the whole of it, and what of it belongs to an opening."""

from collections import Counter
from collections.abc import Iterable
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from condition.compute.comparing import State
from condition.documents.changed import Change, ChangeLine, ChangeRow, StateCount
from condition.documents.judged import Compared, ComparedRow
from condition.documents.terms import months_counted, years_counted
from condition.documents.words import STATE_WORDS, extent_of
from condition.models import Survey
from sites.documents.words import day_words

DAYS_A_MONTH = 30


def change_of(comparison: Compared | None, locale: str, units: str) -> Change | None:
    """Return what changed between the two surveys, or None where there is no earlier one."""
    if comparison is None:
        return None
    earlier, later = comparison.earlier, comparison.later
    rows = [_row(row, units, locale) for row in comparison.rows]
    counts = state_counts(row.state for row in rows)
    day = day_words(earlier.day, locale)
    interval = apart(earlier.day, later.day)
    return Change(
        survey=str(earlier.pk),
        day=earlier.day.isoformat(),
        day_words=day,
        interval=interval,
        surveyors=earlier.surveyors,
        findings_then=sum(bool(row.earlier) for row in rows),
        findings_now=sum(bool(row.later) for row in rows),
        counts=counts,
        lines=_lines(comparison, rows, locale),
        rows=rows,
        has_others=comparison.has_others,
        regrouped=list(comparison.regrouped),
        sentence=_sentence(day, interval, counts, comparison.has_others),
    )


def state_counts(states: Iterable[str]) -> list[StateCount]:
    """Return the count of each state, all states in their order."""
    counted = Counter(states)
    return [
        StateCount(state.value, str(STATE_WORDS[state]), counted[state.value]) for state in State
    ]


def apart(earlier: date, later: date) -> str:
    """Return how far apart two days are, in the largest whole unit: `10 years`, `3 months`."""
    months = (later.year - earlier.year) * 12 + later.month - earlier.month
    months -= later.day < earlier.day
    if months >= 12:
        return _nearest_years(months)
    if months:
        return months_counted(months)
    days = (later - earlier).days
    return ngettext("%d day", "%d days", days) % days


def _nearest_years(months: int) -> str:
    """Whole years; one that lacks a month or two is called full, with `almost`."""
    years, rest = divmod(months, 12)
    if rest >= 10:
        return _("almost %s") % years_counted(years + 1)
    return years_counted(years)


def _row(row: ComparedRow, units: str, locale: str) -> ChangeRow:
    day, words = _day_of(row.compared_with, locale)
    return ChangeRow(
        survey=str(row.compared_with.pk) if row.compared_with else "",
        day=day,
        day_words=words,
        opening=row.opening.number,
        subject=row.subject,
        kind=row.kind,
        state=row.state.value,
        word=row.state_words,
        reason=row.reason,
        then=extent_of(row.earlier, units) if row.earlier else "",
        earlier=row.earlier.number if row.earlier else 0,
        later=row.later.number if row.later else 0,
    )


def _day_of(survey: Survey | None, locale: str) -> tuple[str, str]:
    return (survey.day.isoformat(), day_words(survey.day, locale)) if survey else ("", "")


def _lines(comparison: Compared, rows: Iterable[ChangeRow], locale: str) -> list[ChangeLine]:
    """The table of openings and states, in the order of the rows."""
    before = {row.opening.number: comparison.before.get(row.opening.pk) for row in comparison.rows}
    of_opening: dict[str, list[str]] = {}
    for row in rows:
        of_opening.setdefault(row.opening, []).append(row.state)
    return [
        ChangeLine(
            number, *_day_of(before[number], locale), [each.count for each in state_counts(states)]
        )
        for number, states in of_opening.items()
    ]


def _sentence(day: str, interval: str, counts: Iterable[StateCount], has_others: bool) -> str:
    told = ", ".join(
        f"{each.count} {_plain(each.state, each.word)}" for each in counts if each.count
    )
    words = {"day": day, "interval": interval, "told": told or _("nothing to compare")}
    if has_others:
        return (
            _(
                "Compared with the survey of %(day)s, %(interval)s before, and with others where "
                "that one did not look or did not log it: %(told)s."
            )
            % words
        )
    return _("Compared with the survey of %(day)s, %(interval)s before: %(told)s.") % words


def _plain(state: str, word: str) -> str:
    return _("found repaired") if state == State.REPAIRED else word.lower()
