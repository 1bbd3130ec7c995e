"""JSON from outside: what a script put into a box, and whatever somebody put there instead."""

import json
from typing import Any, NoReturn


def plain_json(text: str) -> Any:
    """Return what `text` holds; ValueError for whatever is not plain JSON.

    Brackets nested by the thousand exhaust the reader, and NaN is no number: no answer of ours.
    """
    try:
        return json.loads(text, parse_constant=_no_number)
    except RecursionError as error:
        raise ValueError("nested too deep") from error


def _no_number(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number")
