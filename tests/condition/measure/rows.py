"""Photographs that can be measured on, for tests: a real copy, and known points on it."""

import hashlib
from io import BytesIO

from django.core.files.base import ContentFile
from PIL import Image

from condition.models import Photograph, PhotographScale, Rendition
from tests.condition.pictures import quarters
from tests.factories import PhotographFactory

# The panel fills the picture but for a tenth on each side.
SQUARE = [[0.1, 0.9, 0, 0], [0.9, 0.9, 640, 0], [0.9, 0.1, 640, 480], [0.1, 0.1, 0, 480]]


def ready_photograph(building, **fields) -> Photograph:
    """A photograph 800 by 600 with its copy in storage."""
    fields = {"width": 800, "height": 600, "state": "ready"} | fields
    photograph = PhotographFactory(building=building, **fields)
    buffer = BytesIO()
    Image.Image.save(quarters(size=(800, 600)), buffer, "JPEG")
    data = buffer.getvalue()
    row = Rendition(photograph=photograph, size=1600, width=800, height=600)
    row.sha256 = hashlib.sha256(data).hexdigest()
    row.file.save("copy.jpg", ContentFile(data))
    return photograph


def measured_photograph(building, user, panel=None, points=SQUARE, **fields) -> Photograph:
    """The same with its known points: a millimetre to a pixel unless said otherwise."""
    photograph = ready_photograph(building, **fields)
    PhotographScale.objects.create(
        photograph=photograph, panel=panel, points=points, set_by=user, known_from="taped"
    )
    return photograph
