"""What earlier surveys left standing, answered at this one: one press for each."""

from dataclasses import dataclass
from itertools import groupby
from urllib.parse import urlencode
from uuid import UUID

from django.contrib import messages
from django.db.models import prefetch_related_objects
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from condition.access import survey_for
from condition.forms.answers import AnswerForm
from condition.models import Finding, Survey
from condition.models.finding import shown_by
from condition.services.answering import (
    READ_ANEW,
    Answer,
    asked_of,
    say_gone,
    say_not_seen,
    say_still_there,
    say_worse,
)
from condition.services.continuing import offered
from condition.views.names import survey_name
from condition.views.pictures import pictures_of
from condition.views.review import FindingRow, finding_row
from sites.access import abilities_at
from sites.compute.roles import SURVEY
from sites.hooks import Action
from sites.models import Opening
from sites.services.recording import NotRecordedError
from sites.web import AppRequest

CONTINUE = 20
KEPT = ("seen_from", "reason")


@dataclass(frozen=True)
class OfferedRow:
    """One earlier finding; `alike` is one of this survey that may be the same, not linked yet."""

    row: FindingRow
    alike: Finding | None


@dataclass(frozen=True)
class OfferedOpening:
    """One opening with what was found there before."""

    opening: Opening
    rows: list[OfferedRow]


@require_http_methods(["GET", "POST"])
def continuing(request: AppRequest, key: UUID) -> HttpResponse:
    """Show what earlier surveys found and this one has not spoken of; take one answer."""
    survey = survey_for(request.user, key, SURVEY)
    rows = offered(survey)
    by_key = {finding.pk: finding for finding in rows}
    kept = {name: request.GET[name] for name in KEPT if name in request.GET}
    posted = request.POST if request.method == "POST" else None
    form = AnswerForm(posted, initial=kept)
    if form.is_valid():
        try:
            return _answered(request, survey, form, by_key)
        except NotRecordedError as refusal:
            form.show(refusal.problems)
    prefetch_related_objects(rows, "photographs__renditions", shown_by("photographs__findings"))
    context = {
        "survey": survey,
        "survey_name": survey_name(survey),
        "building": survey.building,
        "form": form,
        "groups": _groups(rows, survey, request.user.units),
        "count": len(rows),
    }
    status = 422 if form.is_bound else 200
    return render(request, "condition/continuing.html", context, status=status)


def continuing_action(request: AppRequest, survey: Survey) -> Action | None:
    """From a survey to what earlier ones left standing; nothing once all is answered."""
    if SURVEY not in abilities_at(request.user, survey.building):
        return None
    count = len(offered(survey))
    if not count:
        return None
    text = ngettext("Look again for %d finding", "Look again for %d findings", count) % count
    return Action(CONTINUE, reverse("condition:continuing", args=[survey.pk]), text)


def _groups(rows: list[Finding], survey: Survey, units: str) -> list[OfferedOpening]:
    studio_id = survey.building.studio_id
    unlinked = survey.findings.filter(continues__isnull=True)
    alike = {(each.subject_key, each.kind_id): each for each in unlinked}
    groups = []
    for _key, members in groupby(rows, key=lambda finding: finding.opening_id):
        found = list(members)
        shown = [
            OfferedRow(
                finding_row(each, pictures_of(each.photographs.all(), studio_id), units),
                alike.get((each.subject_key, each.kind_id)),
            )
            for each in found
        ]
        groups.append(OfferedOpening(found[0].opening, shown))
    return groups


def _answered(
    request: AppRequest, survey: Survey, form: AnswerForm, rows: dict[UUID, Finding]
) -> HttpResponse:
    """Keep the answer; go on to the next finding, or to the form where more is to be said."""
    answer, key = form.pressed
    finding = asked_of(rows, answer, key)
    seen_from, reason = form.cleaned_data["seen_from"], form.cleaned_data["reason"]
    if answer == Answer.WORSE:
        new = say_worse(survey, finding, request.user, seen_from)
        messages.success(request, _("Finding %d is logged. Say how much worse it is.") % new.number)
        return redirect("condition:finding-edit", new.pk)
    if answer == Answer.STILL:
        new = say_still_there(survey, finding, request.user, seen_from)
        text = _still_there(new, finding)
    elif answer == Answer.GONE:
        say_gone(survey, finding, seen_from, request.user)
        text = _("%(place)s, %(kind)s: gone.") % _names(finding)
    else:
        say_not_seen(survey, finding, reason, seen_from, request.user)
        text = _("%(place)s, %(kind)s: could not be seen.") % _names(finding)
    messages.success(request, text)
    keys = list(rows)
    after = keys[keys.index(finding.pk) + 1 :]
    url = reverse("condition:continuing", args=[survey.pk])
    kept = urlencode({"seen_from": seen_from, "reason": reason})
    return redirect(f"{url}?{kept}#{f'offer-{after[0]}' if after else 'offers'}")


def _still_there(new: Finding, finding: Finding) -> str:
    if finding.unit in READ_ANEW:
        text = _("%(place)s, %(kind)s: still there. Measure it again and put the figure in: ")
        return text % _names(finding) + _("finding %d.") % new.number
    return _("%(place)s, %(kind)s: still there, as it was.") % _names(finding)


def _names(finding: Finding) -> dict[str, str]:
    return {"kind": finding.kind.name, "place": finding.subject_label}
