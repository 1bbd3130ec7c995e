"""Inscription proofs: asked for, read as issued, approved, and held against the delivered plate."""

from collections.abc import Collection
from typing import Any, Final
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from sites.access import abilities_at, item_for, proof_for
from sites.compute.figures import Figures
from sites.compute.inscription.delivered import ComparedLine, compare
from sites.compute.inscription.layout import lines_of
from sites.compute.plaque import draw_lettered
from sites.compute.roles import EDIT_REGISTER, READ_PEOPLE
from sites.compute.scale_bar import scale_bar
from sites.documents.inscription_proof.build import differences_in_words
from sites.documents.inscription_proof.plate import (
    Plate,
    can_be_laid_out,
    greatest_letter_mm,
    length_sayer,
    plate_of,
)
from sites.forms.proofs import ApprovalForm, DeliveredForm, LetteringForm
from sites.models import AttachedItem, InscriptionProof
from sites.models.choices import Lettering, Units
from sites.services.figures import figures_of
from sites.services.numbers import today_at
from sites.services.proofs import (
    ProofNotReadyError,
    ask_for_proof,
    changes_since,
    latest_approval,
    missing_for_proof,
    open_job,
)
from sites.views.drawings import ItemDrawing, plaque_of
from sites.views.form_page import form_page
from sites.web import AppRequest, send_pdf

PAGE: Final = "sites/proof_detail.html"


def proof_context(
    request: AppRequest, item: AttachedItem, abilities: Collection[str]
) -> dict[str, Any]:
    """What an item's page shows of its lettering and its proofs, and its drawing."""
    figures = figures_of(item.opening.building.studio)
    plate = plate_of(item, figures) if can_be_laid_out(item) else None
    may_edit = EDIT_REGISTER in abilities
    job = open_job(item) if may_edit else None
    return {
        "drawing": _drawing(item, plate, request.user.units),
        "proofing": {
            "shown": bool(item.inscription.strip()),
            "proofs": list(item.proofs.select_related("superseded_by", "issued_by")),
            "judged": latest_approval(item),
            "missing": missing_for_proof(item),
            "job": job,
            "may_follow": job is not None and job.asked_by_id == request.user.pk,
            "may_edit": may_edit,
            "slant": "italic" if item.lettering == Lettering.ITALIC else "",
            "weight": "700" if item.lettering == Lettering.BOLD else "",
            **_lettering(item, plate, figures),
        },
    }


@require_http_methods(["GET", "POST"])
def lettering_edit(request: AppRequest, key: UUID) -> HttpResponse:
    record = item_for(request.user, key, EDIT_REGISTER)
    figures = figures_of(record.opening.building.studio)
    plate = plate_of(record, figures) if can_be_laid_out(record) else None
    return form_page(
        request,
        LetteringForm(request.POST or None, instance=record, user=request.user),
        title=_("Lettering"),
        submit=_("Save the lettering"),
        cancel_url=_proofs_url(record),
        success_message=_("The lettering is saved."),
        success_url=_proofs_url(record),
        template="sites/proof_lettering.html",
        building=record.opening.building,
        opening=record.opening,
        up_url=record.get_absolute_url(),
        up_text=record.number,
        lettering=_lettering(record, plate, figures),
    )


@require_POST
def proof_issue(request: AppRequest, key: UUID) -> HttpResponse:
    """Ask for the item's next proof; the item's page shows how far it is."""
    record = item_for(request.user, key, EDIT_REGISTER)
    try:
        ask_for_proof(record, request.user)
    except ProofNotReadyError as not_ready:
        for missing in not_ready.missing:
            messages.error(request, missing)
    else:
        messages.success(request, _("The proof is being printed. Once issued it never changes."))
    return redirect(_proofs_url(record))


@require_safe
def proof(request: AppRequest, key: UUID) -> HttpResponse:
    """Show an issued proof as it was issued, who approved it, and whether that still stands."""
    shown = proof_for(request.user, key)
    return render(request, PAGE, _context(request, shown))


@require_safe
def proof_pdf(request: AppRequest, key: UUID) -> HttpResponseBase:
    """Send an issued proof to be read in the browser, or saved with `?download=1`."""
    shown = proof_for(request.user, key)
    return send_pdf(request, shown.pdf, f"{shown.number}-v{shown.version}.pdf")


@require_POST
def proof_approve(request: AppRequest, key: UUID) -> HttpResponse:
    """Record who approved exactly this proof."""
    shown = proof_for(request.user, key, EDIT_REGISTER)
    form = ApprovalForm(request.POST, proof=shown, user=request.user)
    if form.store_once():
        messages.success(request, _("The approval is recorded."))
        return redirect(f"{shown.get_absolute_url()}#approvals")
    return render(request, PAGE, _context(request, shown, approval_form=form), status=422)


@require_POST
def proof_compare(request: AppRequest, key: UUID) -> HttpResponse:
    """Hold what stands on the delivered plate against the proof. Nothing is kept."""
    shown = proof_for(request.user, key)
    form = DeliveredForm(request.POST)
    compared = None
    if form.is_valid():
        delivered = lines_of(form.cleaned_data["delivered"].rstrip())
        compared = compare(shown.snapshot["content"]["inscription"], delivered)
    context = _context(request, shown, delivered_form=form, compared=compared)
    return render(request, PAGE, context, status=200 if compared is not None else 422)


def _context(
    request: AppRequest,
    shown: InscriptionProof,
    *,
    approval_form: ApprovalForm | None = None,
    delivered_form: DeliveredForm | None = None,
    compared: tuple[ComparedLine, ...] | None = None,
) -> dict[str, Any]:
    abilities = abilities_at(request.user, shown.building)
    changed = changes_since(shown, shown.item)
    may_approve = EDIT_REGISTER in abilities and not changed
    if may_approve and approval_form is None:
        initial = {"approved_on": today_at(shown.building)}
        approval_form = ApprovalForm(proof=shown, user=request.user, initial=initial)
    return {
        "proof": shown,
        "snapshot": shown.snapshot,
        "item": shown.item,
        "opening": shown.item.opening,
        "building": shown.building,
        "newer": getattr(shown, "superseded_by", None),
        "changed": changed,
        "approvals": list(shown.approvals.select_related("recorded_by")),
        "may_read_people": READ_PEOPLE in abilities,
        "approval_form": approval_form,
        "delivered_form": delivered_form or DeliveredForm(),
        "compared": compared,
        "differing": sum(not line.same for line in compared or ()),
    }


def _drawing(item: AttachedItem, plate: Plate | None, units: str) -> ItemDrawing:
    """The item to scale with its real letters where they are measured."""
    if plate is None:
        return plaque_of(item, units)
    lettered = draw_lettered(plate.layout)
    inches = units == Units.INCH
    bar = scale_bar(lettered.mm_per_unit or 1.0, lettered.width / 2, inches=inches)
    return ItemDrawing(lettered, bar)


def _lettering(item: AttachedItem, plate: Plate | None, figures: Figures) -> dict[str, Any]:
    """What is to be said of an item's lettering as it stands in the record."""
    say = length_sayer(item.opening.building.units)
    greatest = greatest_letter_mm(item, figures)
    return {
        "remarks": [remark.text for remark in plate.remarks] if plate else [],
        "greatest": say(greatest) if greatest else "",
        "differences": list(differences_in_words(item)) if item.inscription.strip() else [],
    }


def _proofs_url(record: AttachedItem) -> str:
    return f"{record.get_absolute_url()}#proofs"
