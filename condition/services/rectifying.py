"""Photographs that can be measured on: their known points, what they are worth, straightened."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from io import BytesIO
from typing import cast

from django.db import transaction
from django.utils.translation import gettext as _
from PIL import Image

from condition.compute.rectify.homography import Homography, Known, Place, RectifyError, solve
from condition.compute.rectify.judge import Judged, Limits, judge
from condition.compute.rectify.picture import Frame, frame_of, straightened
from condition.models import Photograph, PhotographScale, Rendition
from condition.models.choices import PhotographState
from sites.compute.geometry.rings import Point
from sites.models import Panel, Studio, User
from sites.services.figures import figures_of

JPEG_QUALITY = 85
# The largest copy there is: more pixels than that no screen shows of a whole panel.
FROM_COPY_PX = 1600


@dataclass(frozen=True)
class Measured:
    """A photograph with the map from it to the glass, and how far that is to be believed."""

    photograph: Photograph
    scale: PhotographScale
    known: tuple[Known, ...]
    found: Homography
    judged: Judged

    @cached_property
    def frame(self) -> Frame:
        """What the straightened picture shows. Raises RectifyError where it cannot be made."""
        copy = copy_of(self.photograph)
        coarser = self.photograph.width / copy.width if copy else 1.0
        return frame_of(self.found, self.known, self.judged.mm_per_px * coarser)

    def on_glass(self, shares: Iterable[Point]) -> tuple[Point, ...]:
        """Return where places on the photograph are on the glass, in mm.

        shares: of its width and height. Raises RectifyError for one beyond the horizon.
        """
        width, height = self.photograph.width, self.photograph.height
        return tuple(
            Point(*self.found.to(Place(share.x * width, share.y * height))) for share in shares
        )

    def on_photograph(self, places: Iterable[Point]) -> tuple[Point, ...]:
        """Return where places on the glass, in mm, are on the photograph, in shares of it."""
        back = self.found.inverse()
        width, height = self.photograph.width, self.photograph.height
        seen = (back.to(Place(*place)) for place in places)
        return tuple(Point(at.x / width, at.y / height) for at in seen)


def limits_of(studio: Studio) -> Limits:
    """Return from where on this studio wants to be warned."""
    figures = figures_of(studio)
    return Limits(
        angle_degrees=figures.number("photograph.slant"),
        scale_ratio=figures.number("photograph.scale_ratio"),
        residual_mm=figures.number("photograph.left_over"),
    )


def measured(photograph: Photograph, limits: Limits) -> Measured | None:
    """Return what is known for measuring on a photograph; None where nothing is set or sound."""
    scale = PhotographScale.objects.select_related("panel").filter(photograph=photograph).first()
    if scale is None:
        return None
    try:
        known = known_points(photograph, scale.points)
        found = solve(known)
        return Measured(photograph, scale, known, found, judge(found, known, limits))
    except RectifyError:
        return None


def known_points(photograph: Photograph, points: object) -> tuple[Known, ...]:
    """Return kept points [u, v, x, y] as they are reckoned with, in px and mm.

    Raises RectifyError for anything else that was kept.
    """
    try:
        rows = [tuple(float(value) for value in row) for row in points]  # type: ignore[attr-defined]
        return tuple(
            Known(Place(u * photograph.width, v * photograph.height), Place(x, y))
            for u, v, x, y in rows
        )
    except (TypeError, ValueError):
        raise RectifyError(_("The known points kept with this photograph are damaged.")) from None


@transaction.atomic
def set_scale(
    photograph: Photograph,
    points: Sequence[Sequence[float]],
    *,
    panel: Panel | None,
    from_outside: bool,
    known_from: str,
    user: User,
) -> PhotographScale:
    """Keep a photograph's known points, in place of those it had, and return them.

    points: [u, v, x, y] as `PhotographScale` keeps them. Raises RectifyError for points that no
    photograph of a plane could have.
    """
    solve(known_points(photograph, points))
    Photograph.objects.select_for_update().get(pk=photograph.pk)
    scale = PhotographScale.objects.filter(photograph=photograph).first()
    scale = scale or PhotographScale(photograph=photograph)
    scale.panel, scale.from_outside, scale.known_from = panel, from_outside, known_from.strip()
    scale.points, scale.set_by = [list(row) for row in points], user
    scale.save()
    return scale


@transaction.atomic
def forget_scale(photograph: Photograph) -> None:
    """Make a photograph one that cannot be measured on; marks on it stay where they are."""
    for scale in PhotographScale.objects.filter(photograph=photograph):
        scale.delete()


def copy_of(photograph: Photograph) -> Rendition | None:
    """Return the copy that is straightened; None while there is none."""
    if photograph.state != PhotographState.READY:
        return None
    copies = [each for each in photograph.renditions.all() if each.size <= FROM_COPY_PX]
    return max(copies, key=lambda each: each.size, default=None)


def straightened_jpeg(sheet: Measured) -> bytes:
    """Return the straightened picture as a JPEG without metadata.

    Raises RectifyError where it cannot be made, FileNotFoundError where the copy is gone.
    """
    frame, copy = sheet.frame, copy_of(sheet.photograph)
    if copy is None:
        raise RectifyError(_("The photograph is still being prepared: look again in a moment."))
    with copy.file.storage.open(cast(str, copy.file.name)) as file, Image.open(file) as picture:
        px = copy.width / sheet.photograph.width
        straight = straightened(picture.convert("RGB"), sheet.found, frame, px)
    buffer = BytesIO()
    straight.save(buffer, "JPEG", quality=JPEG_QUALITY)
    return buffer.getvalue()
