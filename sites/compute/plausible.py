"""What sizes, masses and sums usually are: what lies outside is asked about before it is kept.

A range refuses nothing. It catches the slip of a factor of ten or a thousand: an opening 0.9 mm
wide, a scaffold for 1.61. All ranges are common practice, no source; they are declared here once
for the forms and the visit folder.
"""

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from sites.compute.lengths import BareUnit, format_inches, format_mm
from sites.compute.plain_numbers import plain_number
from sites.compute.typed_numbers import number_for_box

# Currencies whose unit is worth about a hundredth of a dollar or less, from memory: their sums
# are a hundred times as large.
_SMALL_UNITS: Final = """
    AOA ARS BIF CDF CLP COP CRC DJF DZD GNF HUF IDR INR IQD IRR ISK JPY KHR KMF KRW KZT LAK LBP
    MGA MMK MNT MWK NGN PKR PYG RSD RWF SDG SOS SSP TZS UGX UZS VND XAF XOF XPF YER
"""
SMALL_UNITS: Final = frozenset(_SMALL_UNITS.split())
SMALL_FACTOR: Final = 100
# Ends the name of the tick box that answers the question about another box.
SURE: Final = "-sure"


@dataclass(frozen=True)
class Usual:
    """The usual range of a quantity, ends included; `words` stand behind the value.

    unit: `mm`, `kg`, or empty for a sum, whose unit is its currency.
    """

    least: Decimal
    most: Decimal
    words: str
    unit: str = "mm"


@dataclass(frozen=True)
class Question:
    """What is asked about a value out of its usual range.

    key: says the value itself, so that a yes to 12 mm is no yes to 13 mm.
    """

    key: str
    words: str
    usual: str

    @property
    def asked(self) -> str:
        return f"{self.words}: is that right?"

    def __str__(self) -> str:
        return f"{self.asked} {self.usual}"


def _mm(least: str, most: str, words: str) -> Usual:
    return Usual(Decimal(least), Decimal(most), words)


USUAL: Final[dict[str, Usual]] = {
    "opening width": _mm("100", "20000", "wide"),
    "opening height": _mm("100", "20000", "high"),
    "panel width": _mm("40", "4000", "wide"),
    "panel height": _mm("40", "4000", "high"),
    "glass thickness": _mm("0.5", "30", "thick"),
    "item width": _mm("10", "3000", "wide"),
    "item height": _mm("10", "3000", "high"),
    "item thickness": _mm("0.3", "100", "thick"),
    "letter height": _mm("1.5", "150", "high"),
    "item mass": Usual(Decimal("0.01"), Decimal(200), "in weight", "kg"),
    "sum": Usual(Decimal(10), Decimal(2_000_000), "in all", ""),
    "rate": Usual(Decimal(5), Decimal(500), "an hour", ""),
}


def implausible(
    quantity: str, value: Decimal, currency: str = "", bare_unit: BareUnit = "mm"
) -> Question | None:
    """Return what to ask about a value outside the usual range of `quantity`, a key of USUAL.

    value: in mm, kg or units of `currency`; nought and below is no slip of this kind: either it
    is meant or it is refused elsewhere. bare_unit: inches are said too where they are the user's.

    Source: common practice, no source.
    """
    usual = USUAL[quantity]
    factor = SMALL_FACTOR if currency in SMALL_UNITS else 1
    least, most = usual.least * factor, usual.most * factor
    if least <= value <= most or value <= 0:
        return None
    unit = usual.unit or currency
    return Question(
        key=plain_number(value),
        words=f"{_shown(value, unit, bare_unit)} {usual.words}",
        usual=f"Usual is {plain_number(least)} to {plain_number(most)} {unit}.",
    )


def _shown(value: Decimal, unit: str, bare_unit: BareUnit) -> str:
    if unit != "mm":
        return f"{number_for_box(value)} {unit}"
    inches = f" ({format_inches(value)})" if bare_unit == "in" else ""
    return f"{format_mm(value)}{inches}"
