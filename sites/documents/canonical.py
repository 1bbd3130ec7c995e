"""The one way a snapshot is written as bytes, so that its digest means something in forty years."""

import hashlib
import json
from typing import Any

PLAIN = (str, int, bool, type(None))


def canonical(data: Any) -> bytes:
    """Return plain data as JSON: UTF-8, keys in order, no spaces.

    data: dicts with text keys, lists, texts, whole numbers, true, false and null. Amounts and
        lengths are texts: a binary fraction has no one way of being written.

    Raises TypeError for anything else.

    Source: RFC 8785 (JSON Canonicalization Scheme), for the kinds of value named, with keys in
    ASCII. From memory.
    """
    _check(data)
    text = json.dumps(data, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return text.encode("utf-8")


def digest(data: Any) -> str:
    """Return the SHA-256 of `canonical(data)`, in hexadecimal."""
    return hashlib.sha256(canonical(data)).hexdigest()


def _check(data: Any) -> None:
    if isinstance(data, dict):
        for key, value in data.items():
            if not isinstance(key, str):
                raise TypeError(f"a snapshot's keys are texts, not {key!r}")
            _check(value)
    elif isinstance(data, list | tuple):
        for value in data:
            _check(value)
    elif not isinstance(data, PLAIN):
        raise TypeError(f"a snapshot holds texts and whole numbers, not {data!r}")
