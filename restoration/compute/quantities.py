"""A first quantity for an action, from what the finding measured: offered, never taken as read."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from typing import Final, Literal

from sites.compute.plain_numbers import plain_number
from sites.compute.working import Input, Origin, Working

Subject = Literal["opening", "panel", "item"]

# Units of which there is one for each thing worked on, however often it was found wanting.
ONCE_A_SUBJECT: Final = frozenset({"panel", "item", "visit"})
COUNTED: Final = frozenset({"joint", "piece", "tie", "bar", "item", "panel"})
# Things one does not do half of: metres and square metres alone may be a fraction.
WHOLE: Final = frozenset({"joint", "piece", "panel", "item", "tie", "bar", "visit"})
THROUGHOUT: Final = "throughout"
PLACES: Final = Decimal("0.001")
MM_IN_M: Final = 1000
MM2_IN_M2: Final = 1_000_000
HUNDRED: Final = 100
SOURCE: Final = "common practice, no source"
MOST_JOINTS: Final = (
    "The most there can be: throughout was said, and no number. Count the joints that have let go."
)
WHOLE_AREA: Final = "The whole of it: throughout was said, and no share."


@dataclass(frozen=True)
class Seen:
    """What a finding tells of its own size, and the register of its subject's.

    amount_unit: one of the units of a finding, or "" where nothing was measured.
    area_mm2, pieces: of the panel, where the subject is one and they are known; the area may be
        an opening's glazed one. area_origin, area_source: where the area comes from.
    extent: how far it reaches, in the word of the finding.
    joints: of one face of the panel, where they can be told without an estimate.
    """

    subject: Subject
    amount: Decimal | None
    amount_unit: str
    area_mm2: Decimal | None = None
    pieces: int | None = None
    extent: str = ""
    joints: int | None = None
    area_origin: Origin = "measured"
    area_source: str = ""


@dataclass(frozen=True)
class Suggested:
    """A quantity in the action's unit, with the working that says where it comes from."""

    quantity: Decimal
    working: Working


def suggested_quantity(action_unit: str, seen: Seen) -> Decimal | None:
    """Return the quantity that `suggest` gives, or None where nothing tells it."""
    suggested = suggest(action_unit, seen)
    return suggested.quantity if suggested else None


def suggest(
    action_unit: str, seen: Seen, *, both_faces: bool = False, whole_panel: bool = False
) -> Suggested | None:
    """Return a quantity in `action_unit`, to three places, or None where nothing tells it.

    both_faces: the work is on the bench, where the joints of both faces are reached.
    whole_panel: the work takes the whole panel, however much of it was found wanting.

    One panel or item for a finding on it, one visit for anything; a count for what is counted;
    a length in mm as metres; a share of the area or of the pieces where these are known. What is
    throughout a panel, without a number, is its whole area, or each of its joints as the most it
    can be. A share of area or pieces says nothing of joints.

    Source: common practice, no source.
    """
    if action_unit == "visit" or action_unit == seen.subject:
        return _told(Decimal(1), f"one {action_unit} for the {seen.subject}", ())
    if whole_panel and action_unit == "m2" and seen.subject == "panel":
        return _whole_area(seen, "the whole panel is worked on")
    if seen.amount:
        return _from_amount(action_unit, seen, seen.amount)
    if seen.amount is None and seen.extent == THROUGHOUT:
        return _from_throughout(action_unit, seen, both_faces)
    return None


def _from_amount(action_unit: str, seen: Seen, amount: Decimal) -> Suggested | None:
    unit = seen.amount_unit
    if unit == "count" and action_unit in COUNTED:
        return _told(amount, "as counted", (_found(amount, "in number"),))
    if unit == "mm" and action_unit == "m":
        return _told(amount / MM_IN_M, "length measured ÷ 1000", (_found(amount, "mm"),))
    if unit == "percent of area" and action_unit == "m2" and seen.area_mm2:
        return _told(
            seen.area_mm2 / MM2_IN_M2 * amount / HUNDRED,
            "area × share",
            (_area(seen, seen.area_mm2), _found(amount, "% of area")),
        )
    if unit == "percent of pieces" and action_unit == "piece" and seen.pieces:
        pieces = (seen.pieces * amount / HUNDRED).to_integral_value(ROUND_CEILING)
        inputs = (
            Input("pieces of the panel", f"{seen.pieces}", "entered"),
            _found(amount, "% of pieces"),
        )
        return _told(pieces, "pieces × share, rounded up", inputs)
    return None


def _from_throughout(action_unit: str, seen: Seen, both_faces: bool) -> Suggested | None:
    if action_unit == "m2":
        return _whole_area(seen, "the whole area", WHOLE_AREA)
    if action_unit == "joint" and seen.joints:
        faces = 2 if both_faces else 1
        inputs = (
            Input("joints of one face", f"{seen.joints}", "computed", "from the pieces and leads"),
            Input("faces that are reached", f"{faces}", "default", _faces_in_words(both_faces)),
        )
        return _told(Decimal(seen.joints * faces), "joints × faces", inputs, MOST_JOINTS)
    return None


def _whole_area(seen: Seen, formula: str, caution: str = "") -> Suggested | None:
    if not seen.area_mm2:
        return None
    return _told(seen.area_mm2 / MM2_IN_M2, formula, (_area(seen, seen.area_mm2),), caution)


def _told(
    quantity: Decimal, formula: str, inputs: tuple[Input, ...], caution: str = ""
) -> Suggested:
    rounded = quantity.quantize(PLACES, rounding=ROUND_HALF_UP).normalize()
    return Suggested(rounded, Working(formula, inputs, plain_number(rounded), SOURCE, caution))


def _found(amount: Decimal, unit: str) -> Input:
    return Input("found", f"{plain_number(amount)} {unit}", "measured", "the finding")


def _area(seen: Seen, area_mm2: Decimal) -> Input:
    shown = (area_mm2 / MM2_IN_M2).quantize(PLACES, rounding=ROUND_HALF_UP)
    return Input(f"area of the {seen.subject}", f"{shown} m²", seen.area_origin, seen.area_source)


def _faces_in_words(both_faces: bool) -> str:
    return "both, on the bench" if both_faces else "one, in place"


def together(action_unit: str, quantities: list[Decimal | None]) -> Decimal | None:
    """Return the quantity of one action that answers several findings on one subject.

    What stands once for a subject is not added up; a quantity not yet known leaves the whole
    unknown.
    """
    known = [quantity for quantity in quantities if quantity is not None]
    if len(known) < len(quantities):
        return None
    return max(known) if action_unit in ONCE_A_SUBJECT else sum(known, Decimal(0))
