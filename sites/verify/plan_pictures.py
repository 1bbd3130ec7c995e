"""Checking the pictures that plans are traced from."""

from collections.abc import Iterator

from django.utils.translation import gettext as _

from sites.models import Building, PlanPicture
from sites.verify.checks import Found
from sites.verify.stored import file_trouble


def plan_pictures(building: Building | None = None) -> Iterator[PlanPicture]:
    """Yield every plan's picture, or that of one building."""
    rows = PlanPicture.objects.select_related("building").order_by("pk")
    yield from (rows.filter(building=building) if building else rows).iterator(chunk_size=200)


def read_plan_picture(picture: PlanPicture) -> Found:
    """Return what is wrong with one picture. Nothing can make it again: it is to be sent anew."""
    trouble = file_trouble(picture.file, picture.sha256, None)
    return Found([trouble] if trouble else [])


def name_of(picture: PlanPicture) -> str:
    return _("the picture under the plan of %s") % picture.building
