"""What changed: two surveys of a building side by side, and two photographs under a slider."""

from dataclasses import dataclass
from uuid import UUID

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from condition.access import photograph_for, survey_for
from condition.compute.comparing import State
from condition.compute.state_marks import SHAPES
from condition.documents.words import STATE_WORDS, extent_of
from condition.models import Finding, Photograph, Survey
from condition.services.closures import closed_at
from condition.services.comparing import (
    Comparison,
    EarlierSurvey,
    Row,
    by_opening,
    chosen_of,
    compare_surveys,
    earlier_surveys,
)
from condition.views.compare_drawing import ComparedOpening, draw_both
from condition.views.names import compared_choices, day_words, survey_name
from condition.views.pictures import LARGE_PX, Picture, picture_of
from sites.access import abilities_at
from sites.compute.roles import READ
from sites.forms.idempotency import read_key
from sites.hooks import Action
from sites.models import Opening
from sites.web import AppRequest

COMPARE = 40


@dataclass(frozen=True)
class Count:
    """How many things are in a state."""

    state: str
    words: str
    shape: str
    count: int


@dataclass(frozen=True)
class ComparedRow:
    """A row of the page: what became of one thing, in words."""

    row: Row
    shape: str
    earlier_extent: str
    later_extent: str


@dataclass(frozen=True)
class ComparedGroup:
    """One opening with what became of everything there, and the survey it is compared with."""

    opening: Opening
    before: Survey | None
    rows: list[ComparedRow]
    drawings: ComparedOpening | None
    drawings_url: str


@require_safe
def survey_compare(request: AppRequest, key: UUID) -> HttpResponse:
    """Show what became of everything between this survey and another of the building."""
    shown = survey_for(request.user, key)
    others = list(shown.building.surveys.exclude(pk=shown.pk))
    offered = earlier_surveys(shown)
    other = _other_survey(request, offered, others)
    choices = compared_choices(offered)
    named = {key for key, _words in choices}
    choices += [(each.pk, day_words(each.day)) for each in others if each.pk not in named]
    comparison = None if other is None else compare_surveys(shown, other)
    context = {
        "survey": shown,
        "survey_name": survey_name(shown),
        "building": shown.building,
        "choices": choices,
        "other": other,
        "closed": closed_at(shown.building),
        "comparison": comparison,
        "counts": _counts(comparison) if comparison else [],
        "groups": _groups(request, shown, comparison) if comparison else [],
    }
    return render(request, "condition/compare_surveys.html", context)


def compare_action(request: AppRequest, survey: Survey) -> Action | None:
    """From a survey to what changed since the one before; nothing while it is the only one."""
    if READ not in abilities_at(request.user, survey.building):
        return None
    if not survey.building.surveys.exclude(pk=survey.pk).exists():
        return None
    url = reverse("condition:survey-compare", args=[survey.pk])
    return Action(COMPARE, url, _("What changed"))


@require_safe
def photograph_compare(request: AppRequest, key: UUID) -> HttpResponse:
    """Show a photograph and another of the same opening, side by side or under a slider."""
    shown = photograph_for(request.user, key)
    others = _others_of(shown)
    wanted = request.GET.get("with")
    other = others[0] if others and wanted is None else None
    if wanted is not None:
        other = next((each for each in others if each.pk == read_key(wanted)), None)
        if other is None:
            raise Http404
    pair = sorted((shown, other), key=_taken) if other else []
    studio_id = shown.building.studio_id
    context = {
        "photograph": shown,
        "picture": picture_of(shown, studio_id, LARGE_PX),
        "building": shown.building,
        "other": other,
        "pair": [_dated(each, studio_id) for each in pair],
        "others": [(each.pk, _choice(each)) for each in others],
    }
    return render(request, "condition/compare_photographs.html", context)


def _other_survey(
    request: AppRequest, offered: list[EarlierSurvey], others: list[Survey]
) -> Survey | None:
    """The survey asked for; unasked, the one a report would suggest, else the nearest after."""
    wanted = request.GET.get("with")
    if wanted is not None:
        found = next((each for each in others if each.pk == read_key(wanted)), None)
        if found is None:
            raise Http404
        return found
    return chosen_of(offered, None) or (others[-1] if others else None)


def _counts(comparison: Comparison) -> list[Count]:
    return [
        Count(state.value, str(STATE_WORDS[state]), SHAPES[state], count)
        for state, count in comparison.counts.items()
    ]


def _groups(request: AppRequest, shown: Survey, comparison: Comparison) -> list[ComparedGroup]:
    units = request.user.units
    wanted = read_key(request.GET.get("opening", ""))
    other = comparison.earlier if comparison.later.pk == shown.pk else comparison.later
    start = f"{reverse('condition:survey-compare', args=[shown.pk])}?with={other.pk}"
    groups = []
    for key, rows in by_opening(comparison.rows).items():
        opening = rows[0].opening
        drawings = None
        if key == wanted:
            # The drawing reads the building's units and paper.
            opening.building = shown.building
            drawings = draw_both(opening, rows, comparison, units)
        url = f"{start}&opening={key}#opening-{key}"
        shown_rows = [_row(row, units) for row in rows]
        before = comparison.before.get(key)
        groups.append(ComparedGroup(opening, before, shown_rows, drawings, url))
    return groups


def _row(row: Row, units: str) -> ComparedRow:
    return ComparedRow(
        row=row,
        shape=SHAPES[State(row.state)],
        earlier_extent=_extent(row.earlier, units),
        later_extent=_extent(row.later, units),
    )


def _extent(finding: Finding | None, units: str) -> str:
    return "" if finding is None else extent_of(finding, units)


def _others_of(shown: Photograph) -> list[Photograph]:
    """Other photographs of the same opening: of the same thing first, then the oldest first."""
    if shown.opening_id is None:
        return []
    rows = (
        Photograph.objects.filter(building=shown.building_id, opening=shown.opening_id)
        .exclude(pk=shown.pk)
        .select_related("survey", "opening")
        .with_renditions()
        .with_findings()
    )
    return sorted(rows, key=lambda each: (_nearness(shown, each), _taken(each)))


def _nearness(shown: Photograph, other: Photograph) -> int:
    """0 for the same thing at another survey, 1 for another survey, 2 for the rest."""
    if shown.survey_id == other.survey_id:
        return 3
    these, those = list(shown.findings.all()), list(other.findings.all())
    if not (these and those):
        return 2 if these or those else 1
    continued = {each.continues_id for each in (*these, *those)}
    if continued & {each.pk for each in (*these, *those)}:
        return 0
    return 1 if {each.subject_key for each in these} & {each.subject_key for each in those} else 2


def _taken(photograph: Photograph) -> tuple[str, str]:
    day = photograph.taken_local[:10]
    if not day and photograph.survey:
        day = photograph.survey.day.isoformat()
    return day, str(photograph.pk)


def _dated(photograph: Photograph, studio_id: UUID) -> Picture:
    day = day_words(photograph.survey.day) if photograph.survey else photograph.taken_local[:10]
    return picture_of(photograph, studio_id, LARGE_PX).with_day(day)


def _choice(photograph: Photograph) -> str:
    day = photograph.survey.day.isoformat() if photograph.survey else photograph.taken_local[:10]
    name = photograph.caption or ", ".join(
        f"{each.number} {each.kind.name}" for each in photograph.findings.all()
    )
    return " · ".join(part for part in (day, name or photograph.name) if part)
