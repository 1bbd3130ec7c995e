"""The page on which a window is drawn from its measurements, and the drawing that follows."""

import json
from typing import Any, Final
from uuid import UUID

from django.contrib import messages
from django.db import IntegrityError
from django.db.models import ProtectedError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from sites.access import building_for, opening_for
from sites.compute.roles import EDIT_REGISTER
from sites.forms.base import LENGTH_HELP
from sites.forms.drawing import DrawingForm, WindowForms
from sites.models import Opening
from sites.models.choices import Head
from sites.services.drawing_editor.acts import act_on, last_drawn, others_drawn
from sites.services.drawing_editor.heads import head_path
from sites.services.drawing_editor.panels import Leaving
from sites.services.drawing_editor.picture import Picture, picture_of
from sites.services.drawing_editor.reading import sheet_of
from sites.services.drawing_editor.saving import (
    Agreement,
    EditConflictError,
    NotSavedError,
    leaving_of,
    save_drawing,
    version_of,
)
from sites.services.drawing_editor.sheet import Sheet, posted_sheet
from sites.services.recording import NotRecordedError, refusal_in_words
from sites.web import AppRequest

PAGE: Final = "sites/opening_draw.html"
PARTS: Final = "sites/_draw_parts.html"
SAVE: Final = "save"
BOXES: Final = (
    *DrawingForm.Meta.fields,
    *DrawingForm.lengths,
    *DrawingForm.declared_fields,
    "saddle_every",
)
NEW: Final = {"head": Head.TWO_CENTRED.value, "lights": "1", "wall": "other", "level": "ground"}


@require_http_methods(["GET", "POST"])
def opening_draw_new(request: AppRequest, key: UUID) -> HttpResponse:
    building = building_for(request.user, key, EDIT_REGISTER)
    return editor_page(request, Opening(building=building))


@require_http_methods(["GET", "POST"])
def opening_draw(request: AppRequest, key: UUID) -> HttpResponse:
    return editor_page(request, opening_for(request.user, key, EDIT_REGISTER))


@require_POST
def opening_draw_new_preview(request: AppRequest, key: UUID) -> HttpResponse:
    building = building_for(request.user, key, EDIT_REGISTER)
    return preview(request, Opening(building=building))


@require_POST
def opening_draw_preview(request: AppRequest, key: UUID) -> HttpResponse:
    return preview(request, opening_for(request.user, key, EDIT_REGISTER))


def editor_page(request: AppRequest, opening: Opening) -> HttpResponse:
    """Show the editor; do what a button asks of the boxes; or save and leave."""
    user, act = request.user, request.POST.get("act", "draw")
    if request.method == "GET":
        sheet = Sheet(boxes=dict(NEW)) if opening._state.adding else sheet_of(opening, user.units)
        window = WindowForms(sheet, opening, user)
        return render(request, PAGE, page_of(request, window, version_of(opening)))
    window = WindowForms(sheet_after(request, opening), opening, user)
    seen = request.POST.get("seen", "")
    if act == SAVE:
        saved, seen = try_to_save(request, window, seen)
        if saved is not None:
            messages.success(request, _("The window is saved."))
            return redirect(saved.get_absolute_url())
    context = page_of(request, window, seen, early=act != SAVE)
    refused = act == SAVE
    return render(request, PAGE, context, status=422 if refused else 200)


def preview(request: AppRequest, opening: Opening) -> HttpResponse:
    """Answer with the drawing of what is typed, its remarks and its errors; save nothing.

    Errors are part of a good answer here: the page is told what to say beside which box.
    """
    window = WindowForms(sheet_after(request, opening), opening, request.user)
    context = page_of(request, window, request.POST.get("seen", ""), early=True)
    return render(request, PARTS, context)


def sheet_after(request: AppRequest, opening: Opening) -> Sheet:
    """Return the boxes as sent, after what the pressed button does to them."""
    posted = request.POST
    sheet = posted_sheet(posted, BOXES)
    sheet.boxes = {**NEW, **sheet.boxes}
    act = posted.get("act", "draw")
    source = last_drawn(opening) if act == "last" else None
    if act == "copy":
        source = others_drawn(opening).filter(number=posted.get("copy_from", "")).first()
    at = (posted.get("at_x", ""), posted.get("at_y", ""))
    return act_on(sheet, act, request.user.units, source, at)


def try_to_save(request: AppRequest, window: WindowForms, seen: str) -> tuple[Opening | None, str]:
    """Save the window, or add to the form why not; with the version the page was drawn from."""
    division = window.division
    if division is None or not window.is_good:
        return None, seen
    agreement = Agreement(seen, request.POST.get("agreed", ""))
    try:
        return save_drawing(window.draft, division, agreement, window.units), seen
    except EditConflictError as error:
        window.form.add_error(None, str(error))
        return None, version_of(window.opening)
    except (NotSavedError, NotRecordedError) as error:
        window.form.add_error(None, str(error))
    except IntegrityError as error:
        protected = isinstance(error, ProtectedError)
        words = _("Something was recorded of a panel just now: it cannot be removed. Save again.")
        window.form.add_error(None, words if protected else refusal_in_words(error))
    return None, seen


def page_of(
    request: AppRequest, window: WindowForms, seen: str, early: bool = False
) -> dict[str, Any]:
    """Return what the page and its parts show. early: boxes not reached yet are no errors."""
    opening, sheet = window.opening, window.sheet
    leaving = Leaving()
    if window.division is not None:
        leaving = leaving_of(window.draft, window.division)
    picture, new = picture_in(window), opening._state.adding
    owner = opening.building if new else opening
    names = "sites:opening-draw-new" if new else "sites:opening-draw"
    changed = {name: sheet.boxes[name] for name in sheet.changed if name in sheet.boxes}
    return {
        "opening": None if new else opening,
        "building": opening.building,
        "window": window,
        "form": window.form,
        "heads": [(value, name, head_path(value)) for value, name in window.form.heads],
        "picture": picture,
        "drawing_svg": drawing_svg(picture) if picture else "",
        "to_scale": window.draft.to_scale,
        "complaints": window.complaints(early=early or request.method == "GET"),
        "leaving": leaving,
        "agreed": request.POST.get("agreed", ""),
        "seen": seen,
        "laid": json.dumps(sheet.laid),
        "relaid": " ".join(sorted(sheet.changed & {"bar", "tracery", "plaque"})),
        "changed_boxes": changed,
        "last": last_drawn(opening),
        "others": others_drawn(opening),
        "length_help": LENGTH_HELP[window.units],
        "units": window.units,
        "draw_url": reverse(names, args=[owner.pk]),
        "preview_url": reverse(f"{names}-preview", args=[owner.pk]),
        "leave_url": owner.get_absolute_url(),
    }


def picture_in(window: WindowForms) -> Picture | None:
    """Return the drawing, or None while the window cannot be divided."""
    if window.division is None:
        return None
    rows = {key: str(row.prefix) for key, row in window.records.items()}
    label = _("Drawing of the window, seen from inside")
    return picture_of(window.draft, window.division, rows, window.units, label)


def drawing_svg(picture: Picture) -> SafeString:
    """Return the drawing with its handles inside it. What the drawing holds is escaped there."""
    handles = render_to_string("sites/_draw_handles.html", {"handles": picture.handles})
    return mark_safe(f"{picture.svg}{handles}</svg>")
