"""Closed areas as they are shown: each once, with every danger that keeps it closed."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from condition.models import Area, AreaClosure, Danger
from condition.models.closures import AreaClosureQuerySet
from sites.models import Building, Opening, Studio, User


@dataclass
class ClosedArea:
    """An area that stands closed: it is open again once each of its closures has ended."""

    area: Area
    closures: list[AreaClosure] = field(default_factory=list)


def standing() -> AreaClosureQuerySet:
    """Return the closures that nobody ended, with all a list shows of them."""
    rows: AreaClosureQuerySet = AreaClosure.objects.standing().for_list()
    return rows


def closed_at(where: Building | Studio | Opening | Danger) -> list[ClosedArea]:
    """Return the areas closed for a danger, under an opening, at a building or of a studio."""
    path = {
        Danger: "danger",
        Opening: "danger__opening",
        Building: "danger__building",
        Studio: "danger__building__studio",
    }[type(where)]
    return by_area(standing().filter(**{path: where}))


def closed_for(user: User) -> list[ClosedArea]:
    """Return the closed areas at every building the user may read."""
    return by_area(standing().filter(danger__building__in=Building.objects.open_to(user)))


def by_area(closures: Iterable[AreaClosure]) -> list[ClosedArea]:
    """Return closures by the area they close, in the order given."""
    areas: dict[object, ClosedArea] = {}
    for closure in closures:
        areas.setdefault(closure.area_id, ClosedArea(closure.area)).closures.append(closure)
    return list(areas.values())


def names_of(closed: Iterable[ClosedArea]) -> str:
    """Return the names of closed areas, one after the other: `The porch; the two front pews`."""
    return "; ".join(each.area.name.strip().rstrip(".") for each in closed)
