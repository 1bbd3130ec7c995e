"""Photographs sorted in: by hand, by the number of a finding or an opening, or by time."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from condition.access import survey_for
from condition.compute.photo_times import WITH_FINDING
from condition.documents.words import subject_of
from condition.forms.sorting import ByTimeForm, InOrderForm, places_of
from condition.models import Finding, Photograph, Survey
from condition.services.sorting import Filed, Moved, TimeOffer, offers_for, put_back
from condition.views.names import survey_name
from condition.views.pictures import Picture, picture_of
from sites.compute.roles import SURVEY
from sites.models import Opening
from sites.services.figures import figures_of
from sites.services.recording import NotRecordedError
from sites.web import AppRequest

SHOWN: Final = 60
LAST_STEP: Final = "photographs_sorted"
MINUTES: Final = "photographs.minutes"
LONGEST_MINUTES: Final = 240


@dataclass(frozen=True)
class Target:
    """One opening photographs can be filed at, with its findings."""

    opening: Opening
    findings: list[tuple[Finding, str]]


@dataclass(frozen=True)
class OfferShown:
    """Photographs that may belong to one place by time: the place in words, and why."""

    place: str
    why: str
    photographs: list[tuple[str, Picture]]


@dataclass(frozen=True)
class Bench:
    """All that sorting reads of a survey."""

    survey: Survey
    openings: list[Opening]
    findings: list[Finding]
    photographs: list[Photograph]
    minutes: int

    @property
    def unsorted(self) -> list[Photograph]:
        return [each for each in self.photographs if each.opening_id is None]

    def offers(self) -> list[TimeOffer]:
        return offers_for(self.survey, self.photographs, self.findings, self.minutes)


@require_http_methods(["GET", "POST"])
def photographs_in_order(request: AppRequest, key: UUID) -> HttpResponse:
    """Show what is not sorted in beside the places it may show; file, offer by time, undo."""
    survey = survey_for(request.user, key, SURVEY)
    here = reverse("condition:photographs-in-order", args=[survey.pk])
    if "undo" in request.POST:
        _undo(request, survey)
        return redirect(here)
    bench = _bench(request, survey)
    problems: Sequence[object] = ()
    if request.method == "POST":
        form = _form(request, bench)
        if _stored(request, survey, form):
            return redirect(f"{here}?within={bench.minutes}" if "by_time" in request.POST else here)
        problems = [error for errors in form.errors.values() for error in errors]
    context = _context(request, bench) | {"problems": problems}
    template = "condition/photographs_in_order.html"
    return render(request, template, context, status=422 if problems else 200)


def _bench(request: AppRequest, survey: Survey) -> Bench:
    figures = figures_of(survey.building.studio)
    findings = survey.findings.select_related("kind", "opening", "panel", "attached_item")
    photographs = survey.photographs.select_related("building", "opening")
    return Bench(
        survey=survey,
        openings=list(survey.building.openings.all()),
        findings=list(findings.order_by("number")),
        photographs=list(photographs.with_renditions().with_findings()),
        minutes=_minutes(request, int(figures.value(MINUTES))),
    )


def _minutes(request: AppRequest, usual: int) -> int:
    """How many minutes were asked for, the studio's figure for what is no number of them."""
    asked = request.POST.get("within") or request.GET.get("within") or ""
    if not asked.isascii() or not asked.isdigit():
        return usual
    return min(int(asked[:6]), LONGEST_MINUTES)


def _form(request: AppRequest, bench: Bench) -> InOrderForm | ByTimeForm:
    if "by_time" in request.POST:
        places = places_of(bench.survey, bench.openings, bench.findings)
        return ByTimeForm(request.POST, offered=bench.offers(), places=places)
    return InOrderForm(
        request.POST, survey=bench.survey, openings=bench.openings, findings=bench.findings
    )


def _stored(request: AppRequest, survey: Survey, form: InOrderForm | ByTimeForm) -> bool:
    if not form.is_valid():
        return False
    try:
        _keep(request, survey, form.store(request.user))
    except NotRecordedError as refusal:
        form.add_error(None, str(refusal))
        return False
    return True


def _keep(request: AppRequest, survey: Survey, moved: list[Moved]) -> None:
    """Say what was done, and remember it for one step back."""
    request.session[LAST_STEP] = {
        "survey": str(survey.pk),
        "moved": [
            [str(each.photograph), _written(each.before), _written(each.after)] for each in moved
        ],
    }
    text = ngettext("%d photograph is sorted in.", "%d photographs are sorted in.", len(moved))
    messages.success(request, text % len(moved))


def _undo(request: AppRequest, survey: Survey) -> None:
    kept = request.session.pop(LAST_STEP, None)
    if not kept or kept["survey"] != str(survey.pk):
        messages.warning(request, _("There is nothing to take back here."))
        return
    count = put_back(
        survey,
        [
            Moved(UUID(photograph), _read(before), _read(after))
            for photograph, before, after in kept["moved"]
        ],
    )
    text = ngettext(
        "%d photograph is back where it was.", "%d photographs are back where they were.", count
    )
    messages.success(request, text % count)


def _written(place: Filed) -> list[str]:
    opening, findings = place
    return [str(opening or ""), *(str(key) for key in findings)]


def _read(place: Sequence[str]) -> Filed:
    opening, *findings = place
    return UUID(opening) if opening else None, tuple(UUID(key) for key in findings)


def _context(request: AppRequest, bench: Bench) -> dict[str, Any]:
    survey = bench.survey
    studio_id = survey.building.studio_id
    unsorted = bench.unsorted
    last = request.session.get(LAST_STEP)
    chosen = set(request.POST.getlist("photographs"))
    return {
        "survey": survey,
        "survey_name": survey_name(survey),
        "building": survey.building,
        "tray": [
            (picture_of(each, studio_id), str(each.pk) in chosen) for each in unsorted[:SHOWN]
        ],
        "count": len(unsorted),
        "beyond": max(0, len(unsorted) - SHOWN),
        "targets": _targets(bench),
        "offers": [_shown(offer, bench) for offer in bench.offers()],
        "minutes": bench.minutes,
        "longest_minutes": LONGEST_MINUTES,
        "typed": request.POST.get("typed", ""),
        "can_undo": bool(last and last["survey"] == str(survey.pk) and last["moved"]),
    }


def _targets(bench: Bench) -> list[Target]:
    of_opening: dict[UUID, list[tuple[Finding, str]]] = {each.pk: [] for each in bench.openings}
    for finding in bench.findings:
        of_opening[finding.opening_id].append((finding, subject_of(finding)))
    return [Target(each, of_opening[each.pk]) for each in bench.openings]


def _shown(offer: TimeOffer, bench: Bench) -> OfferShown:
    studio_id = bench.survey.building.studio_id
    if offer.why == WITH_FINDING:
        finding = next(each for each in bench.findings if each.pk == offer.place)
        place = f"{finding.number} {finding.kind.name}, {subject_of(finding)}"
        minutes = bench.minutes
        why = ngettext(
            "Taken within %d minute of logging it", "Taken within %d minutes of logging it", minutes
        )
        why = why % minutes
    else:
        opening = next(each for each in bench.openings if each.pk == offer.place)
        place, why = str(opening), _("Taken after its view as a whole and before the next one")
    pictures = [
        (f"{each.pk} {offer.place}", picture_of(each, studio_id)) for each in offer.photographs
    ]
    return OfferShown(place, why, pictures)
