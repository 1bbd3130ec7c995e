"""What an estimate is priced from, and the checks it must pass first."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final, Literal, get_args

from sites.compute.working import Origin

Option = Literal["must", "advised", "if funds allow"]
SharedKind = Literal["access", "preliminaries", "travel", "making safe", "other"]

OPTIONS: Final[tuple[Option, ...]] = get_args(Option)
SHARED_KINDS: Final[tuple[SharedKind, ...]] = get_args(SharedKind)

# Studio defaults, no published source: wide bounds that only a slip of the keyboard passes.
MAX_QUANTITY: Final = 1_000_000
MAX_HOURS: Final = 100_000
MAX_PRICE: Final = 10**12
MIN_DIFFICULTY: Final = Decimal("0.1")
MAX_DIFFICULTY: Final = Decimal(10)
MAX_PERCENT: Final[dict[str, int]] = {
    "waste": 200,
    "overhead": 300,
    "profit": 100,
    "contingency": 100,
    "tax": 100,
}
# A figure carried over from binary arithmetic can have some fifty places; exact products of
# figures longer than this would not fit the exact context of money.
MAX_PLACES: Final = 60


class EstimateError(ValueError):
    """An estimate that cannot be priced; the message names the line and what is wrong."""


@dataclass(frozen=True)
class MaterialUse:
    """A material of one action: how much a unit of work takes, its waste and its price."""

    code: str
    name: str
    unit: str
    quantity_per_unit: Decimal
    waste_percent: Decimal
    price_per_unit: Decimal


@dataclass(frozen=True)
class LabourUse:
    """The hours of one trade in one action: to set up, and for each unit of work."""

    trade: str
    hours_per_unit: Decimal
    setup_hours: Decimal
    hourly_rate: Decimal


@dataclass(frozen=True)
class ActionInput:
    """One repair action to price. `opening` and `subject` are labels as printed.

    difficulty multiplies all hours, those of setting up too. A lump sum replaces the price
    and needs its reason; a quantity may then be unknown.
    """

    key: str
    opening: str
    opening_order: int
    subject: str
    description: str
    plain: str
    unit: str
    quantity: Decimal | None
    labour: tuple[LabourUse, ...]
    materials: tuple[MaterialUse, ...]
    difficulty: Decimal
    lump_sum: Decimal | None
    lump_sum_reason: str
    option: Option
    phase: int
    quantity_origin: Origin = "entered"
    quantity_source: str = ""

    @property
    def label(self) -> str:
        """The action as it is named in an error: `nII, panel 3b: re-solder joints`."""
        return f"{self.opening}, {self.subject}: {self.description}"


@dataclass(frozen=True)
class SharedLine:
    """A cost that several actions share and that is counted once."""

    key: str
    kind: SharedKind
    description: str
    amount: Decimal
    phase: int


@dataclass(frozen=True)
class Percentages:
    """What is added to cost (overhead, profit) and to the printed lines (contingency, tax)."""

    overhead: Decimal
    profit: Decimal
    contingency: Decimal
    tax: Decimal
    tax_name: str
    contingency_reason: str


def line_order(action: ActionInput) -> tuple[int, int, int, str]:
    """Return the place of an action in every list: phase, opening, option, key."""
    return action.phase, action.opening_order, OPTIONS.index(action.option), action.key


def shared_order(line: SharedLine) -> tuple[int, int, str]:
    """Return the place of a shared line in every list: phase, kind, key."""
    return line.phase, SHARED_KINDS.index(line.kind), line.key


def missing_quantities(actions: Iterable[ActionInput]) -> tuple[ActionInput, ...]:
    """Return the actions that have neither a quantity nor a lump sum, in line order."""
    missing = (each for each in actions if each.quantity is None and each.lump_sum is None)
    return tuple(sorted(missing, key=line_order))


def check_inputs(
    actions: Sequence[ActionInput], shared: Sequence[SharedLine], percentages: Percentages
) -> None:
    """Raise EstimateError, naming the line and the figure, unless all of it can be priced."""
    _check_percentages(percentages)
    _check_keys("action", [action.key for action in actions])
    _check_keys("shared line", [line.key for line in shared])
    for line in shared:
        _check_shared(line)
    for action in actions:
        _check_action(action)
    if missing := missing_quantities(actions):
        raise EstimateError(_missing_message(missing))


def _missing_message(missing: tuple[ActionInput, ...]) -> str:
    lines = "; ".join(f"{action.label} (quantity in {action.unit})" for action in missing)
    return f"Enter a quantity, or a lump sum with its reason, for: {lines}."


def _check_percentages(percentages: Percentages) -> None:
    for name in ("overhead", "profit", "contingency", "tax"):
        value: Decimal = getattr(percentages, name)
        _within(value, 0, MAX_PERCENT[name], f"The {name} percentage")


def _check_keys(kind: str, keys: list[str]) -> None:
    twice = sorted(key for key, count in Counter(keys).items() if count > 1)
    if twice:
        raise EstimateError(f"The {kind} {twice[0]} is in the estimate twice. Remove one of them.")


def _check_shared(line: SharedLine) -> None:
    if line.kind not in SHARED_KINDS:
        raise EstimateError(
            f'{line.description}: "{line.kind}" is no kind of shared line. Use one of '
            f"{', '.join(SHARED_KINDS)}."
        )
    _check_phase(line.phase, line.description)
    _within(line.amount, 0, MAX_PRICE, f"{line.description}: the amount")


def _check_action(action: ActionInput) -> None:
    if action.option not in OPTIONS:
        raise EstimateError(
            f'{action.label}: "{action.option}" is no option. Use one of {", ".join(OPTIONS)}.'
        )
    _check_phase(action.phase, action.label)
    _within(action.difficulty, MIN_DIFFICULTY, MAX_DIFFICULTY, f"{action.label}: the difficulty")
    if action.quantity is not None:
        _within(action.quantity, 0, MAX_QUANTITY, f"{action.label}: the quantity")
    for labour in action.labour:
        _check_labour(labour, action.label)
    for material in action.materials:
        _check_material(material, action.label)
    _check_price_basis(action)


def _check_price_basis(action: ActionInput) -> None:
    if action.lump_sum is None:
        if not action.labour and not action.materials:
            raise EstimateError(
                f"{action.label} has no hours, no materials and no lump sum, so it would be "
                "priced at nothing. Choose its rates, or enter a lump sum with its reason."
            )
        return
    _within(action.lump_sum, 0, MAX_PRICE, f"{action.label}: the lump sum")
    if not action.lump_sum_reason.strip():
        raise EstimateError(f"{action.label} has a lump sum. Enter the reason for it.")


def _check_labour(labour: LabourUse, label: str) -> None:
    where = f"{label}, {labour.trade}"
    _within(labour.hours_per_unit, 0, MAX_HOURS, f"{where}: the hours for each unit")
    _within(labour.setup_hours, 0, MAX_HOURS, f"{where}: the hours to set up")
    _within(labour.hourly_rate, 0, MAX_PRICE, f"{where}: the hourly rate")


def _check_material(material: MaterialUse, label: str) -> None:
    where = f"{label}, {material.name}"
    _within(material.quantity_per_unit, 0, MAX_QUANTITY, f"{where}: the quantity for each unit")
    _within(material.waste_percent, 0, MAX_PERCENT["waste"], f"{where}: the waste percentage")
    _within(material.price_per_unit, 0, MAX_PRICE, f"{where}: the price")


def _check_phase(phase: int, label: str) -> None:
    if phase < 1:
        raise EstimateError(f"{label}: phases are numbered from 1, not {phase}.")


def _within(value: Decimal, low: Decimal | int, high: Decimal | int, what: str) -> None:
    if not value.is_finite() or not low <= value <= high:
        raise EstimateError(f"{what} is {value}. It must be from {low} to {high}.")
    exponent = value.as_tuple().exponent
    if isinstance(exponent, int) and exponent < -MAX_PLACES:
        raise EstimateError(f"{what} has over {MAX_PLACES} decimal places. Round it first.")
