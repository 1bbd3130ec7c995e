"""The facts a safety sheet is made from, and what it says."""

from dataclasses import dataclass, field
from decimal import Decimal
from typing import Final

from condition.compute.safety.limits import ChildUse
from sites.compute.working import Working

FLOOR, LADDER, TOWER, SCAFFOLD, LIFT = "floor", "ladder", "tower", "scaffold", "lift"
NO_HEAT, IRON, FLAME = "none", "iron", "flame"
NONE_HERE, NOT_TESTED, CLEAR, FOUND = "none", "not tested", "clear", "found"

US, UK, EU, ANYWHERE = "United States", "United Kingdom", "European Union", ""
EU_COUNTRIES: Final = (
    "AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MT NL PL PT RO SE SI SK"
)


@dataclass(frozen=True)
class SheetFacts:
    """What is known of one visit or job; None where nobody has said.

    country: two letters of ISO 3166, or nothing; units: "metric" or "inch".
    access, hot_work, putty, heating: the words above.
    """

    country: str = ""
    units: str = "metric"
    height_mm: Decimal | None = None
    access: str = FLOOR
    hot_work: str = NO_HEAT
    lead: bool = False
    old_paint: bool = False
    hours: Decimal | None = None
    inside_m2: Decimal | None = None
    outside_m2: Decimal | None = None
    window_replaced: bool = False
    built_year: int | None = None
    children: ChildUse = field(default_factory=ChildUse)
    putty: str = NOT_TESTED
    heating: str = NONE_HERE
    nesting: bool = False
    people_below: bool | None = None

    @property
    def jurisdiction(self) -> str:
        """Whose published rules hold at the place, as far as we know any."""
        country = self.country.upper()
        if country == "US":
            return US
        if country == "GB":
            return UK
        return EU if country in EU_COUNTRIES.split() else ANYWHERE


@dataclass(frozen=True)
class SafetyLine:
    """One published figure applied to the facts: whose it is, in words, with its working.

    topic: what it limits; where the building's own country limits that, others are left out.
    own: whether it is a rule of the building's own country; others stand for comparison.
    """

    jurisdiction: str
    text: str
    source: str
    working: Working | None = None
    topic: str = ""
    own: bool = True


@dataclass(frozen=True)
class SheetCaution:
    """One danger of the job: what is done about it, the figures, and what is not known.

    code: of the usual caution in the reference file.
    """

    code: str
    title: str
    do: str
    lines: tuple[SafetyLine, ...] = ()
    unknown: tuple[str, ...] = ()
