"""Letters inside drawings: each where the layout puts it."""

from collections.abc import Iterable

from django import template

register = template.Library()


@register.filter
def places(numbers: Iterable[float]) -> str:
    """Places of letters one after the other, to a hundredth, as SVG lists them."""
    return " ".join(f"{number:.2f}" for number in numbers)
