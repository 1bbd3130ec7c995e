"""What the room above leaves to be decided: quotes that nobody has accepted or declined."""

from collections.abc import Callable, Iterable
from typing import Final

from condition.documents.first_page import ToDecide
from sites.models import Building

# Registered from above as the application starts, like the hooks of the pages.
quotes_to_decide: Final[list[Callable[[Building], Iterable[ToDecide]]]] = []


def decisions_at(building: Building) -> list[ToDecide]:
    """Return what is to be decided about at a building, from every room that registered."""
    return [each for makers in quotes_to_decide for each in makers(building)]
