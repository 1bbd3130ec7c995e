"""What a condition report says, as plain data: complete, so that nothing is looked up later.

Every count is made once, when the snapshot is built; the layout only prints what stands here.
"""

from dataclasses import dataclass
from typing import Final

from condition.documents.changed import Change, ChangeRow, StateCount
from condition.documents.first_page import DangerEntry, PageOne
from sites.compute.drawing.sheet import Mark
from sites.documents.parties import BuildingBlock, Heading, StudioBlock

SCHEMA: Final = "saddlebar/condition-report/5"


@dataclass(frozen=True)
class Named:
    """A line of a list of facts: `Maker`, `not known`."""

    name: str
    value: str


@dataclass(frozen=True)
class ClassMark:
    """A class as given: its number and its word."""

    level: int
    word: str


@dataclass(frozen=True)
class Because:
    """Why classes were proposed: a sentence, and where its rule comes from."""

    text: str
    source: str


@dataclass(frozen=True)
class ClassReasons:
    """How a finding's classes came to be: proposed by rules, and perhaps set otherwise.

    `proposed` says in words which classes the rules give where the surveyor set others; `why` is
    the surveyor's reason for that.
    """

    because: list[Because]
    proposed: str
    why: str


@dataclass(frozen=True)
class Earlier:
    """The finding of an earlier survey that a finding continues, as it was then."""

    number: int
    day: str
    day_words: str
    extent: str
    condition: ClassMark | None
    urgency: ClassMark | None


@dataclass(frozen=True)
class FindingEntry:
    """One finding in full. `photographs` are numbers of this report's photographs.

    danger: the key of the danger it is a sighting of; empty for none.
    """

    id: str
    number: int
    label: str
    opening: str
    subject: str
    where: str
    kind_code: str
    kind: str
    plain: str
    extent: str
    note: str
    hazard: bool
    danger: str
    condition: ClassMark | None
    urgency: ClassMark | None
    recommendation: ClassMark | None
    reasons: ClassReasons
    diagnosis: str
    continues: Earlier | None
    state: str
    since: str
    photographs: list[int]


@dataclass(frozen=True)
class PhotographEntry:
    """One printed photograph, with its findings; `sha256` is of the original as received."""

    id: str
    number: int
    sha256: str
    file: str
    finding: int | None
    also_shows: list[int]
    subject: str
    caption: str
    own_caption: str
    taken: str
    taken_words: str
    alt: str


@dataclass(frozen=True)
class ItemEntry:
    """A plaque or another thing fixed to the window, with what holds it."""

    id: str
    number: str
    kind: str
    facts: list[Named]
    inscription: list[str]
    fixings: list[str]
    holding: str
    may_fall: bool
    memorial: bool


@dataclass(frozen=True)
class Pin:
    """A numbered disc on the drawing; `leader` is a path to its part, or nothing."""

    finding: int
    hazard: bool
    x: str
    y: str
    radius: str
    leader: str


@dataclass(frozen=True)
class Drawing:
    """An opening drawn from the register, in millimetres of paper, written as text.

    x to the right and y downwards, as in SVG; left, top, width and height are its view box.
    """

    left: str
    top: str
    width: str
    height: str
    marks: list[Mark]
    pins: list[Pin]
    caption: list[str]
    alt: str


@dataclass(frozen=True)
class LegendMark:
    """A sign of the damage marks on a drawing: its letter and its word."""

    letter: str
    word: str


@dataclass(frozen=True)
class Assessment:
    """The classes of an opening as a whole: set by the surveyor, or the worst of its findings."""

    condition: ClassMark | None
    urgency: ClassMark | None
    recommendation: ClassMark | None
    is_set: bool
    reason: str


@dataclass(frozen=True)
class Advice:
    """What is recommended at one level: for which findings, and the usual steps."""

    level: int
    word: str
    findings: list[int]
    steps: list[str]


@dataclass(frozen=True)
class OpenNotice:
    """Areas that stand closed for one danger, since when, and the notice that says so, or that it
    is being printed; `finding` is 0 where this survey did not see the danger."""

    number: str
    day_words: str
    where: str
    hazard: str
    area: str
    finding: int


@dataclass(frozen=True)
class CautionHere:
    """A caution where it is needed: its name, its first sentence, and where it stands whole."""

    code: str
    title: str
    start: str


@dataclass(frozen=True)
class Terms:
    """Within how long each urgency class is to be acted on, and how long the report holds."""

    agreed: bool
    immediate_months: int
    short_years: int
    intermediate_years: int
    long_years: int
    shelf_months: int
    until: str
    until_words: str
    relied_on_by: str
    limits: str


@dataclass(frozen=True)
class OpeningEntry:
    """One opening that the survey says something about."""

    id: str
    number: str
    anchor: str
    title: str
    facts: list[Named]
    drawing: Drawing | None
    damage_signs: list[LegendMark]
    assessment: Assessment
    advice: list[Advice]
    since: str
    changed: list[StateCount]
    past: list[ChangeRow]
    cautions: list[CautionHere]
    findings: list[FindingEntry]
    looked_at: list[str]
    not_seen: list[str]
    items: list[ItemEntry]
    photographs: list[PhotographEntry]


@dataclass(frozen=True)
class OpeningLine:
    """A line of the list of all openings: also of those nothing is recorded of."""

    number: str
    anchor: str
    title: str
    outcome: str
    finding_count: int
    hazard: bool
    condition: ClassMark | None
    urgency: ClassMark | None
    recommendation: ClassMark | None


@dataclass(frozen=True)
class Counts:
    """Every number the report gives of itself.

    dangers: those that nobody ended; areas_shut: areas that stand closed; notices: dangers that
    some are closed for. The database counted these three itself, apart from what is listed.
    """

    openings: int
    openings_looked_at: int
    openings_not_inspected: int
    openings_not_recorded: int
    openings_seen_in_part: int
    findings: int
    dangers: int
    areas_shut: int
    notices: int
    photographs: int
    photographs_damaged: int


@dataclass(frozen=True)
class SurveyBlock:
    """The visit: when, who, for whom, how, in what weather, and what it cannot tell."""

    id: str
    day: str
    day_words: str
    surveyors: str
    client: str
    purpose: str
    method: str
    access: str
    weather: str
    limits: str
    distribution: list[str]


@dataclass(frozen=True)
class LegendRow:
    """What one level means as a class of condition, of urgency and of recommendation."""

    level: int
    condition: str
    urgency: str
    within: str
    recommendation: str


@dataclass(frozen=True)
class ReportSnapshot:
    """The whole report. moment: when it was read, as ISO 8601 with the time zone."""

    schema: str
    moment: str
    document: Heading
    studio: StudioBlock
    building: BuildingBlock
    survey: SurveyBlock
    counts: Counts
    page_one: PageOne
    dangers: list[DangerEntry]
    how_numbered: str
    terms: Terms
    notices: list[OpenNotice]
    change: Change | None
    plan: Drawing | None
    opening_lines: list[OpeningLine]
    openings: list[OpeningEntry]
    general_photographs: list[PhotographEntry]
    not_seen: list[Named]
    cautions: list[dict[str, str]]
    glossary: list[dict[str, str]]
    legend: list[LegendRow]
    sources: list[str]
