"""Reading a stored file against the digest written down when it was stored."""

import hashlib
from typing import cast

from django.db.models.fields.files import FieldFile
from django.utils.translation import gettext as _

CHUNK_BYTES = 1024 * 1024


def file_trouble(file: FieldFile, sha256: str, length: int | None, what: str = "") -> str:
    """Return what is wrong with a stored file in a sentence, or "" where it is as it was stored.

    sha256, length: as written down then; length in bytes, None where only the digest was.
    what: what the sentence calls it; "its file" unless said otherwise.

    Raises OSError where storage cannot be read at present, which tells nothing of the file.
    """
    what = what or _("its file")
    try:
        sha256_now, length_now = _read(file)
    except FileNotFoundError:
        return _("%(what)s is missing: %(name)s") % {"what": what, "name": file.name}
    if sha256_now == sha256:
        return ""
    if length is None:
        return _("%s has been changed since it was kept") % what
    return _("%(what)s has been changed: %(now)d bytes now, %(then)d when it was kept") % {
        "what": what,
        "now": length_now,
        "then": length,
    }


def _read(file: FieldFile) -> tuple[str, int]:
    """The digest and the length in bytes, read a piece at a time."""
    sha256, length = hashlib.sha256(), 0
    with file.storage.open(cast("str", file.name), "rb") as stored:
        for chunk in stored.chunks(CHUNK_BYTES):
            sha256.update(chunk)
            length += len(chunk)
    return sha256.hexdigest(), length
