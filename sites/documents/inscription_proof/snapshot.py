"""What an inscription proof says, as plain data: complete, so that nothing is looked up later."""

from dataclasses import dataclass
from typing import Any, Final

from sites.documents.parties import BuildingBlock, Heading, StudioBlock

SCHEMA: Final = "saddlebar/inscription-proof/1"


@dataclass(frozen=True)
class Named:
    """A line of a list of facts."""

    name: str
    value: str


@dataclass(frozen=True)
class ItemBlock:
    """Which item it is."""

    id: str
    number: str
    kind: str
    opening: str


@dataclass(frozen=True)
class PlateLine:
    """A line of the plate: as written, as drawn, and where each letter stands (mm, texts)."""

    number: int
    text: str
    letters: str
    places: str
    baseline: str
    count: int
    width_words: str


@dataclass(frozen=True)
class PlateBlock:
    """The plate in mm, and how it is printed. Numbers are texts, to a thousandth of a mm."""

    width: str
    height: str
    margin: str
    font: str
    slant: str
    weight: str
    scale: int
    scale_words: str
    landscape: bool
    lines: list[PlateLine]


@dataclass(frozen=True)
class ToCheck:
    """A name or a date, to be read letter by letter."""

    kind: str
    text: str
    line: int


@dataclass(frozen=True)
class Ruler:
    """The line that shows whether the printer kept the size: its length, and its divisions."""

    length: str
    words: str
    ticks: list[str]


@dataclass(frozen=True)
class ProofSnapshot:
    """An inscription proof. `content` is what an approval of it stands for."""

    schema: str
    document: Heading
    studio: StudioBlock
    building: BuildingBlock
    item: ItemBlock
    content: dict[str, Any]
    facts: list[Named]
    plate: PlateBlock
    ruler: Ruler
    remarks: list[str]
    to_check: list[ToCheck]
    differences: list[str]
    cautions: list[dict[str, str]]
