"""The studio's table of dangers by kind: listed, and one row of it changed."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from condition.access import danger_row_for
from condition.forms.danger_rows import DangerRowForm
from sites.access import studio_for
from sites.compute.roles import MANAGE
from sites.views.form_page import form_page
from sites.web import AppRequest


@require_safe
def danger_row_list(request: AppRequest) -> HttpResponse:
    """List what holds a danger of each kind, and who may say that it is over."""
    studio = studio_for(request.user, MANAGE)
    rows = studio.danger_rows.prefetch_related("finding_kinds")
    return render(request, "condition/danger_row_list.html", {"rows": rows})


@require_http_methods(["GET", "POST"])
def danger_row_edit(request: AppRequest, key: UUID) -> HttpResponse:
    """Change a row. Dangers already open are judged by it from then on."""
    row = danger_row_for(request.user, key)
    back = reverse("condition:danger-rows")
    return form_page(
        request,
        DangerRowForm(request.POST or None, instance=row),
        title=row.name,
        submit=_("Save the row"),
        cancel_url=back,
        success_message=_("The row is saved. Open dangers are judged by it from now on."),
        success_url=f"{back}#row-{row.pk}",
        template="condition/danger_row_edit.html",
        up_url=back,
        up_text=_("Dangers by kind"),
    )
