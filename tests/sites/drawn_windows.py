"""A window as it is typed into the editor, and what its page would send back."""

import re

from django.urls import reverse

from sites.models import Opening

WINDOW = {
    "number": "nIII",
    "title": "The Heron",
    "wall": "north",
    "level": "ground",
    "head": "two-centred",
    "width": "2400",
    "height": "4200",
    "springing": "2400",
    "lights": "4",
    "mullion": "120",
    "rows": "6",
    "act": "save",
}


def new_url(building, preview=False):
    return reverse(f"sites:opening-draw-new{'-preview' if preview else ''}", args=[building.pk])


def url_of(opening, preview=False):
    return reverse(f"sites:opening-draw{'-preview' if preview else ''}", args=[opening.pk])


def boxes_in(page: str) -> dict[str, str]:
    """What a browser would send back: every named box of the form, as it stands."""
    form = page[page.index('<form class="form draw"') :]
    form = form[: form.index("</form>")]
    boxes = {}
    for tag in re.findall(r"<input[^>]*>", form):
        name, value = re.search(r'name="([^"]*)"', tag), re.search(r'value="([^"]*)"', tag)
        kind = re.search(r'type="([^"]*)"', tag)[1]
        if name and (kind not in ("radio", "checkbox") or "checked" in tag):
            boxes[name[1]] = unescaped(value[1] if value else "")
    for name, inner in re.findall(r'<textarea name="([^"]*)"[^>]*>(.*?)</textarea>', form, re.S):
        boxes[name] = unescaped(inner.removeprefix("\n"))
    for name, inner in re.findall(r'<select name="([^"]*)".*?>(.*?)</select>', form, re.S):
        chosen = re.search(r'<option value="([^"]*)"[^>]*selected', inner)
        first = re.search(r'<option value="([^"]*)"', inner)
        boxes[name] = unescaped((chosen or first)[1]) if first else ""
    return boxes


def unescaped(text: str) -> str:
    for code, letter in (("&quot;", '"'), ("&#x27;", "'"), ("&amp;", "&"), ("&lt;", "<")):
        text = text.replace(code, letter)
    return text


def drawn(client, building, **changed):
    response = client.post(new_url(building), {**WINDOW, **changed})
    assert response.status_code == 302, response.content.decode()[:6000]
    return Opening.objects.latest("pk")


def page_of(client, opening):
    return client.get(url_of(opening)).content.decode()
