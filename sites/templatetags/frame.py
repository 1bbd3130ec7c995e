"""What the frame of every page asks for: where we are in the menu, where an error's box is."""

from django import template
from django.forms import BoundField
from django.http import HttpRequest

register = template.Library()

# First part of a path -> entry of the menu. Whatever is not named here belongs to the buildings.
MENU = {
    "": "today",
    "rate-books": "rate-books",
    "labour-rates": "rate-books",
    "materials": "rate-books",
    "norms": "rate-books",
    "studio": "studio",
    "class-rules": "studio",
    "danger-rows": "studio",
    "patterns": "studio",
    "me": "me",
    "accounts": "me",
}


@register.simple_tag(takes_context=True)
def menu_here(context: template.Context) -> str:
    """The entry of the menu that the page belongs to."""
    request: HttpRequest | None = context.get("request")
    if request is None:
        return ""
    return MENU.get(request.path.strip("/").split("/")[0], "buildings")


@register.filter
def error_anchor(field: BoundField) -> str:
    """The id of the first thing one can act on in a field: a group of choices has none itself."""
    if field.id_for_label:
        return field.id_for_label
    return f"{field.auto_id}_0" if field.use_fieldset else field.auto_id
