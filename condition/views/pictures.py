"""Photographs as pages show them: an address, a size, a text for those who do not see it."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from uuid import UUID

from django.urls import reverse
from django.utils.translation import gettext as _

from condition.documents.words import subject_of
from condition.models import Photograph
from condition.models.choices import PhotographState
from condition.models.photograph import nearest_copy
from condition.photo_urls import signed_url

THUMB_PX, SCREEN_PX, LARGE_PX = 400, 800, 1600


@dataclass(frozen=True)
class Picture:
    """One photograph on a page. `image_url` is empty while there is no copy to show."""

    key: UUID
    page_url: str
    image_url: str
    width: int
    height: int
    alt: str
    caption: str
    note: str

    def with_day(self, day: str) -> "Picture":
        """The same picture with its day beside the caption."""
        return replace(self, note=f"{day} · {self.note}" if day and self.note else day or self.note)


def picture_of(photograph: Photograph, studio_id: UUID, size: int = THUMB_PX) -> Picture:
    """Return a photograph as a page shows it; reads its renditions, finding and opening."""
    rendition = nearest_copy(photograph.renditions.all(), size)
    shown = rendition if photograph.state == PhotographState.READY else None
    return Picture(
        key=photograph.pk,
        page_url=reverse("condition:photograph", args=[photograph.pk]),
        image_url=signed_url(photograph.pk, shown.size, studio_id) if shown else "",
        width=rendition.width if rendition else photograph.width,
        height=rendition.height if rendition else photograph.height,
        alt=alt_of(photograph),
        caption=photograph.caption or caption_of(photograph),
        note=_note(photograph),
    )


def _note(photograph: Photograph) -> str:
    """What a list says beside a photograph that is not as it ought to be."""
    if photograph.state != PhotographState.READY:
        return str(photograph.get_state_display())
    return _("Its original is damaged or lost") if photograph.damage else ""


def pictures_of(
    photographs: Iterable[Photograph], studio_id: UUID, size: int = THUMB_PX
) -> list[Picture]:
    return [picture_of(photograph, studio_id, size) for photograph in photographs]


def caption_of(photograph: Photograph) -> str:
    """Return what stands under a photograph without a caption of its own."""
    if findings := photograph.findings.all():
        return "; ".join(
            _("Finding %(number)s, %(subject)s")
            % {"number": finding.number, "subject": subject_of(finding)}
            for finding in findings
        )
    if photograph.opening:
        return str(photograph.opening)
    return photograph.name or _("Photograph")


def alt_of(photograph: Photograph) -> str:
    """Return what a photograph shows, said for those who do not see it."""
    place = caption_of(photograph)
    if kinds := dict.fromkeys(each.kind.name for each in photograph.findings.all()):
        place = f"{place}: {', '.join(kinds)}"
    if photograph.caption:
        place = f"{photograph.caption} ({place})"
    return _("Photograph: %s") % place
