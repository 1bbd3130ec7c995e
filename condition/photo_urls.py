"""Addresses of photographs' copies: signed, so that two hundred of them ask the database nothing.

Whoever may see a photograph's page is given the address of its picture, and whoever holds the
address may fetch it until it runs out: at the end of the next half day, twelve to twenty-four
hours after it was written. That is also how long a picture already shown can still be fetched by
someone whose role has been taken away. The address itself is the same for a whole half day, so
that browsers keep the picture.
"""

import time
from typing import Final
from urllib.parse import urlencode
from uuid import UUID

from django.urls import reverse
from django.utils.crypto import constant_time_compare, salted_hmac

SALT: Final = "condition.photo_urls"
BUCKET_SECONDS: Final = 12 * 60 * 60


def signed_url(photograph_id: UUID, size: int, studio_id: UUID) -> str:
    """Return the address of the copy of `size` pixels, good until the end of the next half day.

    studio_id: of the photograph's building. It is part of the stored file's name, and stands in
        the address so that nothing need be looked up to find the file.
    """
    until = (int(time.time()) // BUCKET_SECONDS + 2) * BUCKET_SECONDS
    query = {
        "studio": studio_id.hex,
        "until": until,
        "key": _signature(photograph_id, size, studio_id, until),
    }
    address = reverse("condition:photograph-file", args=[photograph_id, size])
    return f"{address}?{urlencode(query)}"


def check(photograph_id: UUID, size: int, studio: str, until: str, key: str) -> tuple[str, int]:
    """Return the stored name of the copy an address is for, and for how many seconds it is good.

    studio, until, key: as they stand in the address. Raises ValueError for an address that
    is not one of ours, was changed, or has run out.
    """
    studio_id, end = UUID(studio), int(until)
    if not constant_time_compare(key, _signature(photograph_id, size, studio_id, end)):
        raise ValueError("the signature does not belong to this address")
    left = end - int(time.time())
    if left <= 0:
        raise ValueError("the address has run out")
    return f"{studio_id}/photographs/{photograph_id}/{size}.jpg", left


def _signature(photograph_id: UUID, size: int, studio_id: UUID, until: int) -> str:
    said = f"{photograph_id}/{size}/{studio_id}/{until}"
    return salted_hmac(SALT, said, algorithm="sha256").hexdigest()
