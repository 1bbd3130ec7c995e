"""What was looked at without a finding, and what could not be inspected."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from condition.access import inspection_for, survey_for
from condition.forms.inspections import InspectionForm, NothingFoundForm
from condition.services.inspections import InspectionsLogged, log_nothing_found
from condition.views.names import survey_name
from sites.compute.roles import SURVEY
from sites.models import Opening
from sites.services.recording import NotRecordedError
from sites.views.form_page import form_page
from sites.web import AppRequest

PREFILLED = ("opening", "outcome", "side", "seen_from")


@require_http_methods(["GET", "POST"])
def inspection_add(request: AppRequest, key: UUID) -> HttpResponse:
    """Log one look: also at a panel or an item, and also that it could not be inspected."""
    survey = survey_for(request.user, key, SURVEY)
    asked = {name: request.GET[name] for name in PREFILLED if name in request.GET}
    url = survey.get_absolute_url()
    return form_page(
        request,
        InspectionForm(request.POST or None, survey=survey, initial=asked, user=request.user),
        title=_("Looked at, or not inspected"),
        submit=_("Save"),
        cancel_url=url,
        success_message=_("Saved."),
        success_url=f"{url}#inspections",
        template="condition/inspection_form.html",
        building=survey.building,
        up_url=url,
        up_text=survey_name(survey),
    )


@require_POST
def inspection_nothing_found(request: AppRequest, key: UUID) -> HttpResponse:
    """Log "looked at, nothing found" for one opening, or for all that are ticked."""
    survey = survey_for(request.user, key, SURVEY)
    form = NothingFoundForm(request.POST, survey=survey)
    if not form.is_valid():
        messages.error(request, _("Choose from the openings of this building."))
        return redirect(survey)
    side, seen_from = form.cleaned_data["side"], form.cleaned_data["seen_from"]
    try:
        done = log_nothing_found(
            survey, form.chosen, side=side, seen_from=seen_from, user=request.user
        )
    except NotRecordedError as refusal:
        messages.error(request, str(refusal))
    else:
        _tell(request, done)
    return redirect(survey)


@require_POST
def inspection_delete(request: AppRequest, key: UUID) -> HttpResponse:
    gone = inspection_for(request.user, key, SURVEY)
    said = _("Taken away: %s.") % gone
    gone.delete()
    messages.success(request, said)
    return redirect(f"{gone.survey.get_absolute_url()}#inspections")


def _tell(request: AppRequest, done: InspectionsLogged) -> None:
    if done.logged:
        text = _("Looked at, nothing found: %s.") % _numbers(done.logged)
        messages.success(request, text)
    if done.left_out:
        text = _("Left as it was, something is recorded there already: %s.")
        messages.warning(request, text % _numbers(done.left_out))


def _numbers(openings: list[Opening]) -> str:
    return ", ".join(opening.number for opening in openings)
