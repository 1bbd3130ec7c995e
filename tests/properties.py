"""How many examples a property is tried on: few and the same ones, or many and other ones."""

import os
from typing import Any, Final

from hypothesis import settings

# `make test-long` sets it.
LONG: Final = bool(os.environ.get("LONG"))
SHARE: Final = 5
FEWEST: Final = 20


def examples(full: int, **more: Any) -> settings:
    """Return the settings of a property that deserves `full` examples.

    The suite draws a fifth of them, the same each time; the long run all, by a seed that it tells.
    A busy machine is no reason for a property to fail: none has a deadline.
    """
    if LONG:
        return settings(max_examples=full, deadline=None, derandomize=False, **more)
    few = min(full, max(full // SHARE, FEWEST))
    return settings(max_examples=few, deadline=None, derandomize=True, **more)
