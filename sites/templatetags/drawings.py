"""Numbers inside drawings: with a point whatever the language, and no more figures than matter."""

from collections.abc import Iterable

from django import template

register = template.Library()


@register.filter
def units(number: float) -> str:
    """A number of the drawing's units as SVG writes it."""
    return f"{number:.1f}".removesuffix(".0")


@register.filter
def letter_units(number: float) -> str:
    """A size of letters, to a hundredth: on a crowded plate a tenth would be too coarse."""
    return f"{number:.2f}"


@register.filter
def places(numbers: Iterable[float]) -> str:
    """Places of letters one after the other, to a hundredth."""
    return " ".join(f"{number:.2f}" for number in numbers)


@register.filter
def add_units(number: float, more: float) -> str:
    """The sum of two numbers of units, as SVG writes it."""
    return units(number + more)
