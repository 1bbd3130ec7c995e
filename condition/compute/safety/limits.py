"""The published limits of safe work, as plain functions of the facts of a job."""

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

M2_PER_SQUARE_FOOT: Final = Decimal("0.09290304")
MM_PER_FOOT: Final = Decimal("304.8")

LEAD_LIMIT_UG_M3: Final = Decimal(50)
LEAD_ACTION_UG_M3: Final = Decimal(30)
WHOLE_DAY_HOURS: Final = Decimal(8)
LEAD_LONG_DAY: Final = Decimal(400)

MINOR_INSIDE_FT2: Final = Decimal(6)
MINOR_OUTSIDE_FT2: Final = Decimal(20)

BUILT_BEFORE: Final = 1978
CHILD_DAYS_A_WEEK: Final = 2
CHILD_HOURS_A_DAY: Final = Decimal(3)
CHILD_HOURS_A_WEEK: Final = Decimal(6)
CHILD_HOURS_A_YEAR: Final = Decimal(60)

FALL_PROTECTION_MM: Final = 6 * MM_PER_FOOT
SCAFFOLD_MM: Final = 10 * MM_PER_FOOT
LADDER_FOOT_SHARE: Final = 4


@dataclass(frozen=True)
class ChildUse:
    """How much the same child under 6 is in the place; None where nobody has said."""

    days_a_week: int | None = None
    hours_a_day: Decimal | None = None
    weeks_a_year: int | None = None

    @property
    def hours_a_week(self) -> Decimal | None:
        if self.days_a_week is None or self.hours_a_day is None:
            return None
        return self.days_a_week * self.hours_a_day

    @property
    def hours_a_year(self) -> Decimal | None:
        if self.hours_a_week is None or self.weeks_a_year is None:
            return None
        return self.hours_a_week * self.weeks_a_year


def allowable_lead_in_air(hours: Decimal) -> Decimal:
    """Return the most lead allowed in the air on average over a working day, in µg/m³.

    hours: of exposure in the day, above 0 and up to 24. Up to 8 the limit of 50 stands; beyond,
        it falls to 400 divided by the hours.

    Raises ValueError for hours that no day has.

    Source: 29 CFR 1926.62(c)(1) and (c)(2).
    """
    if not 0 < hours <= 24:
        raise ValueError(f"a day has from 0 to 24 hours, not {hours}")
    return LEAD_LIMIT_UG_M3 if hours <= WHOLE_DAY_HOURS else LEAD_LONG_DAY / hours


def square_feet(m2: Decimal) -> Decimal:
    """Return an area in ft² to a hundredth, which takes back the rounding of a stored m².

    Source: 1 ft = 0.3048 m exactly (NIST SP 811, appendix B). From memory.
    """
    return (m2 / M2_PER_SQUARE_FOOT).quantize(Decimal("0.01"), ROUND_HALF_UP)


def is_minor_work(
    inside_ft2: Decimal | None, outside_ft2: Decimal | None, *, window_replaced: bool, torch: bool
) -> bool | None:
    """Return whether disturbing old paint is minor work; None where an area is not known.

    inside_ft2: in the one room where most is disturbed, with all jobs there within 30 days.

    Source: 40 CFR 745.83, "minor repair and maintenance activities": at most 6 ft² a room inside
    and 20 ft² outside, and never where a window is replaced or paint is burnt off.
    """
    if window_replaced or torch:
        return False
    within = [
        None if area is None else area <= limit
        for area, limit in ((inside_ft2, MINOR_INSIDE_FT2), (outside_ft2, MINOR_OUTSIDE_FT2))
    ]
    return _all_of(within)


def is_child_occupied(built_year: int | None, use: ChildUse) -> bool | None:
    """Return whether the place counts as child-occupied; None where too little is known.

    Source: 40 CFR 745.83, "child-occupied facility": built before 1978, visited by the same child
    under 6 on at least two days a week, each at least 3 h, at least 6 h a week and 60 h a year.
    """
    return _all_of(
        [
            None if built_year is None else built_year < BUILT_BEFORE,
            _reaches(use.days_a_week, CHILD_DAYS_A_WEEK),
            _reaches(use.hours_a_day, CHILD_HOURS_A_DAY),
            _reaches(use.hours_a_week, CHILD_HOURS_A_WEEK),
            _reaches(use.hours_a_year, CHILD_HOURS_A_YEAR),
        ]
    )


def ladder_foot(working_length: Decimal) -> Decimal:
    """Return how far the foot of a ladder stands out, in the unit of its working length.

    working_length: along the ladder from its foot to its top support.

    Source: 29 CFR 1926.1053(b)(5)(i): a quarter of the working length.
    """
    return working_length / LADDER_FOOT_SHARE


def ladder_length(height: Decimal) -> Decimal:
    """Return the working length of a ladder whose top support is at `height`, in the same unit.

    With its foot out by a quarter of its length L, height = L·√(1 − 1/16) = L·√15/4.
    """
    return height * 4 / Decimal(15).sqrt()


def ladder_angle() -> float:
    """Return the angle in degrees between the ground and a ladder set one in four.

    Source: its cosine is a quarter, by 29 CFR 1926.1053(b)(5)(i).
    """
    return math.degrees(math.acos(1 / LADDER_FOOT_SHARE))


def needs_fall_protection(height_mm: Decimal | None) -> bool:
    """Return whether an open edge at the height must be protected; a height not known must.

    Source: 29 CFR 1926.501(b)(1): from 6 ft.
    """
    return height_mm is None or height_mm >= FALL_PROTECTION_MM


def needs_scaffold_protection(height_mm: Decimal | None) -> bool:
    """Return whether a scaffold of the height needs protection; a height not known does.

    Source: 29 CFR 1926.451(g)(1): above 10 ft. From memory.
    """
    return height_mm is None or height_mm > SCAFFOLD_MM


def _reaches(value: Decimal | int | None, least: Decimal | int) -> bool | None:
    return None if value is None else value >= least


def _all_of(answers: list[bool | None]) -> bool | None:
    """No as soon as one is no; else unknown as soon as one is."""
    if any(answer is False for answer in answers):
        return False
    return None if any(answer is None for answer in answers) else True
