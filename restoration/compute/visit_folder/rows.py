"""The rows of a visit folder as plain data: what each sheet says, nothing worked out yet.

An empty cell is "" where the column holds text and None where it holds anything else.
"""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from restoration.compute.visit_folder.problems import Place
from sites.compute.lengths import Length


@dataclass(frozen=True, kw_only=True)
class Row:
    """A row and where it stands."""

    at: Place


@dataclass(frozen=True, kw_only=True)
class SizedRow(Row):
    """A row with values that are asked about where they are out of their usual range.

    sure: the values that are right all the same, each with its heading: `width 12 mm`.
    """

    sure: tuple[str, ...] | None


@dataclass(frozen=True, kw_only=True)
class BuildingRow(Row):
    name: str
    place: str
    address: str
    country: str | None
    kind: str | None
    built: str
    dedication: str
    protection: str
    consent_body: str
    access: str
    under_inside: str | None
    under_outside: str | None
    currency: str | None
    time_zone: str | None
    language: str | None
    paper: str | None
    units: str | None
    ritual_east: Decimal | None


@dataclass(frozen=True, kw_only=True)
class PersonRow(Row):
    name: str
    role: str
    email: str | None
    phone: str


@dataclass(frozen=True, kw_only=True)
class WallRow(Row):
    name: str
    x1: Decimal | None
    y1: Decimal | None
    x2: Decimal | None
    y2: Decimal | None
    bulge: Decimal | None


@dataclass(frozen=True, kw_only=True)
class OpeningRow(SizedRow):
    number: str
    title: str
    wall: str
    level: str | None
    width: Length | None
    height: Length | None
    sill_height: Length | None
    head: str | None
    springing: Length | None
    small_radius: Length | None
    foils: int | None
    lights: int | None
    mullion: Length | None
    light_head: str | None
    light_springing: Length | None
    light_widths: tuple[Length, ...] | None
    rebate: Length | None
    plan_wall: str
    plan_along: Length | None
    rows: int | None
    made: str | None
    maker: str
    protective_glazing: str | None
    under_inside: str | None
    under_outside: str | None
    significance: str | None
    access: str
    older_numbers: tuple[tuple[str, str], ...] | None


@dataclass(frozen=True, kw_only=True)
class BarRow(Row):
    opening: str
    kind: str | None
    light: int | None
    height: Length | None
    ties: int | None
    section: str | None
    width: Length | None
    depth: Length | None
    material: str | None


@dataclass(frozen=True, kw_only=True)
class PanelRow(SizedRow):
    opening: str
    number: str
    width: Length | None
    height: Length | None
    pieces: int | None
    shape: str | None
    x_mm: Decimal | None
    y_mm: Decimal | None
    turn_degrees: Decimal | None
    foils: int | None
    glass_thickness: Length | None
    pattern: str | None
    crossings: int | None
    ringed_pieces: int | None
    plated_pieces: int | None
    subject: str


@dataclass(frozen=True, kw_only=True)
class ItemRow(SizedRow):
    opening: str
    number: str
    panel: str
    kind: str | None
    material: str | None
    width: Length | None
    height: Length | None
    thickness: Length | None
    inscription: str
    memorial_of: str
    donors: str
    installed: str | None
    x_mm: Decimal | None
    y_mm: Decimal | None
    weighed_kg: Decimal | None
    letter_height: Length | None
    margin: Length | None
    reading_distance: Length | None


@dataclass(frozen=True, kw_only=True)
class FixingRow(Row):
    opening: str
    item: str
    kind: str | None
    count: int | None
    state: str | None
    holds_on_to: str | None
    host_state: str | None
    width: Length | None
    length: Length | None
    cures_on: datetime.date | None
    product: str


@dataclass(frozen=True, kw_only=True)
class SurveyRow(Row):
    survey: str
    date: datetime.date | None
    surveyors: str
    purpose: str
    client: str
    method: str
    access: str
    weather: str
    limits: str
    distribution: str


@dataclass(frozen=True, kw_only=True)
class SubjectRow(Row):
    """A row about an opening, or one panel or attached item of it.

    Where both are named the row is about the item, and the panel says where that is.
    """

    opening: str
    panel: str
    item: str

    @property
    def subject(self) -> tuple[str, str, str]:
        """The opening, and the panel or the item, never both."""
        return self.opening, "" if self.item else self.panel, self.item


@dataclass(frozen=True, kw_only=True)
class FindingRow(SubjectRow):
    finding: str
    survey: str
    kind: str
    side: str | None
    extent: str | None
    amount: Decimal | None
    unit: str | None
    of: int | None
    not_measured: str | None
    position: str
    part: str | None
    water: bool | None
    span: Length | None
    within: Length | None
    datum: str
    diagnosis: str
    note: str
    answer: str | None
    because: str
    measure: str | None
    fixed_to: str | None
    done: str
    keeper: str
    look_by: datetime.date | None
    placed: str
    holder: str
    condition_class: int | None
    urgency_class: int | None
    recommendation_class: int | None
    classes_reason: str
    continues: tuple[str, ...] | None
    subject_change: str
    seen_from: str | None

    @property
    def main_line(self) -> str:
        """The earlier finding it continues: the first of those it comes from."""
        return self.continues[0] if self.continues else ""

    @property
    def also_from(self) -> tuple[str, ...]:
        """The others that have come together with that one in it."""
        return (self.continues or ())[1:]


@dataclass(frozen=True, kw_only=True)
class InspectionRow(SubjectRow):
    survey: str
    side: str | None
    outcome: str | None
    seen_from: str | None
    reason: str


@dataclass(frozen=True, kw_only=True)
class PhotographRow(Row):
    file: str
    finding: tuple[str, ...] | None
    survey: str
    opening: str
    caption: str


@dataclass(frozen=True, kw_only=True)
class ActionRow(SizedRow):
    finding: tuple[str, ...] | None
    kind: str
    quantity: Decimal | None
    option: str | None
    phase: int | None
    scope: str
    difficulty: Decimal | None
    lump_sum: Decimal | None
    lump_sum_reason: str


@dataclass(frozen=True, kw_only=True)
class SharedCostRow(SizedRow):
    kind: str | None
    description: str
    amount: Decimal | None
    phase: int | None


@dataclass(frozen=True, kw_only=True)
class Rows:
    """All rows of a folder, sheet by sheet, in the order they stand."""

    building: BuildingRow | None = None
    people: tuple[PersonRow, ...] = ()
    walls: tuple[WallRow, ...] = ()
    openings: tuple[OpeningRow, ...] = ()
    bars: tuple[BarRow, ...] = ()
    panels: tuple[PanelRow, ...] = ()
    items: tuple[ItemRow, ...] = ()
    fixings: tuple[FixingRow, ...] = ()
    surveys: tuple[SurveyRow, ...] = ()
    findings: tuple[FindingRow, ...] = ()
    inspections: tuple[InspectionRow, ...] = ()
    photographs: tuple[PhotographRow, ...] = ()
    actions: tuple[ActionRow, ...] = ()
    shared_costs: tuple[SharedCostRow, ...] = ()

    def findings_counts(self, photographs: int) -> dict[str, int]:
        """Return how many rows the findings bring, and how many new photographs."""
        return {
            "surveys": len(self.surveys),
            "findings": len(self.findings),
            "inspections": len(self.inspections),
            "photographs": photographs,
            "actions": len(self.actions),
            "shared costs": len(self.shared_costs),
        }
