"""What is recorded as plain values, and what is known around it.

A key is whatever names a row where the values come from: a UUID, or in a visit folder that is not
taken in yet the name that stands in a sheet. The rules only compare keys and look them up,
so that to them it is of any type: the columns of the database take a UUID alone.
"""

import dataclasses
import datetime
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Any, Final

from condition.compute.danger.facts import ANYTHING_ELSE, DangerRow, Falls
from sites.compute.lengths import Length

Key = Any

SUBJECT: Final = ("survey", "opening", "panel", "attached_item", "side")
NOTHING_FOUND: Final = "nothing found"
NOT_INSPECTED: Final = "not inspected"
OPPOSITE: Final = {"inside": "outside", "outside": "inside"}


@dataclass(frozen=True)
class Refused:
    """What is wrong with one value. text: marked for translation, with `values` to fill in."""

    field: str
    text: str
    values: Mapping[str, object] = dataclasses.field(default_factory=dict)

    def __str__(self) -> str:
        return self.text % self.values


def gettext_noop(text: str) -> str:
    """Mark a text for translation where nothing is known of Django; it is translated when shown."""
    return text


def refused(field: str, text: str, **values: object) -> Refused:
    return Refused(field, text, values)


@dataclass(frozen=True, kw_only=True)
class WhenSeen:
    """seen_at: by the clock of the device; seen_clock_ahead_s: how far ahead it was, in seconds."""

    seen_at: datetime.datetime | None = None
    seen_clock_ahead_s: int | None = None


@dataclass(frozen=True, kw_only=True)
class AboutSubject(WhenSeen):
    """What is about an opening, or one panel or attached item of it. None: not said."""

    survey: Key
    opening: Key
    panel: Key = None
    attached_item: Key = None
    side: str = "unknown"

    @property
    def part(self) -> Key:
        return self.attached_item if self.attached_item is not None else self.panel


@dataclass(frozen=True, kw_only=True)
class FindingData(AboutSubject):
    """All that is recorded of one finding.

    number: the one it has already, as in notes taken on site; None: the next of its survey.
    own_key: what its surveyor calls it by, kept for ever once recorded.
    amount: in `unit`, of_total: out of so many. not_measured: why there is no amount; empty where
    nothing is said of that.
    answer: to "can it come down?", "" where it was asked and not answered, None where nobody was
    asked; because: of a no. measure: what was done at once, in words in `done`;
    fixed_to, keeper, look_by: what holds it, who keeps it, when to look again; placed, holder:
    where a thing is that was taken away, and who has it.
    in_what: of the picture. continues: the earlier finding its trend goes back to; also_from:
    earlier ones that have come together with that one in this. subject_change: how it comes that
    it is on another subject than the one it continues. seen_from: "" where that is not said.
    """

    kind: Key | None
    number: int | None = None
    own_key: str = ""
    extent: str = "isolated"
    amount: Decimal | None = None
    unit: str = ""
    of_total: int | None = None
    not_measured: str = ""
    position: str = ""
    in_what: str = ""
    water: bool = False
    span: Length | None = None
    within: Length | None = None
    datum: str = ""
    diagnosis: str = ""
    note: str = ""
    answer: str | None = None
    because: str = ""
    measure: str = ""
    fixed_to: str = ""
    done: str = ""
    keeper: str = ""
    look_by: datetime.date | None = None
    placed: str = ""
    holder: str = ""
    condition_class: int | None = None
    urgency_class: int | None = None
    recommendation_class: int | None = None
    classes_reason: str = ""
    continues: Key | None = None
    also_from: tuple[Key, ...] = ()
    subject_change: str = ""
    seen_from: str = ""

    @property
    def levels(self) -> tuple[int | None, int | None, int | None]:
        return self.condition_class, self.urgency_class, self.recommendation_class

    @property
    def says_danger(self) -> bool:
        """Whether it was answered, or asked and not answered, and the answer is not a no."""
        return self.answer is not None and self.answer != Falls.NO


@dataclass(frozen=True, kw_only=True)
class InspectionData(AboutSubject):
    """All that is recorded of one look: nothing found, or not inspected and why."""

    outcome: str | None
    seen_from: str = "floor"
    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class PhotographData(WhenSeen):
    """What is recorded of a photograph besides its bytes.

    findings: those it shows, all of one survey and one opening, which may then be left out.
    """

    building: Key
    survey: Key = None
    opening: Key = None
    findings: tuple[Key, ...] = ()
    name: str = ""
    caption: str = ""


@dataclass(frozen=True)
class KnownSurvey:
    """label: as the user knows it."""

    label: str
    day: datetime.date | None


@dataclass(frozen=True)
class KnownPart:
    """A panel or attached item: its number, and the opening it is in; of an item what it was
    weighed at and how high its lower edge is, where that is known."""

    number: str
    opening: Key
    weight_kg: float | None = None
    lower_edge_mm: float | None = None


@dataclass(frozen=True)
class KnownKind:
    """A kind of finding: the units its amounts may have (any where there is none).

    danger: by its nature it can hurt people. danger_when_all: where all that was counted of it is
    affected. row: what holds such a danger, and who may judge it.
    """

    name: str
    units: tuple[str, ...] = ()
    danger: bool = False
    danger_when_all: bool = False
    code: str = ""
    row: DangerRow = ANYTHING_ELSE

    @property
    def needs_depth(self) -> bool:
        """Whether it is measured by its depth out of flat alone."""
        return self.units == ("mm out of plane",)


@dataclass(frozen=True, kw_only=True)
class RecordedFinding(AboutSubject):
    """A finding that is recorded already, or in the same folder.

    label: as the user knows it, `Finding 3 of 2015-06-09`.
    """

    label: str
    number: str


@dataclass(frozen=True)
class Continuation:
    """A later finding that continues or comes from another: key, label, and its survey's day."""

    key: Key
    label: str
    day: datetime.date | None


@dataclass(frozen=True, kw_only=True)
class RecordedInspection(AboutSubject):
    """A look that is recorded already, or in the same folder."""

    outcome: str | None


def about(data: AboutSubject) -> dict[str, Any]:
    """Return by name what something is about, and the side it was seen from."""
    return {name: getattr(data, name) for name in SUBJECT}


@dataclass(frozen=True)
class Context:
    """What stands around the values, by key; of one building, so that others are not known.

    openings: their numbers. over_people: those under which people pass or sit.
    continuations: by the key of a finding, what continues it already.
    """

    surveys: Mapping[Key, KnownSurvey] = dataclasses.field(default_factory=dict)
    openings: Mapping[Key, str] = dataclasses.field(default_factory=dict)
    over_people: frozenset[Key] = frozenset()
    panels: Mapping[Key, KnownPart] = dataclasses.field(default_factory=dict)
    items: Mapping[Key, KnownPart] = dataclasses.field(default_factory=dict)
    kinds: Mapping[Key, KnownKind] = dataclasses.field(default_factory=dict)
    findings: Mapping[Key, RecordedFinding] = dataclasses.field(default_factory=dict)
    continuations: Mapping[Key, Sequence[Continuation]] = dataclasses.field(default_factory=dict)
    inspections: Mapping[Key, RecordedInspection] = dataclasses.field(default_factory=dict)

    @cached_property
    def findings_at(self) -> Mapping[tuple[Key | None, Key | None], list[RecordedFinding]]:
        """The findings by their survey and opening."""
        found: dict[tuple[Key | None, Key | None], list[RecordedFinding]] = defaultdict(list)
        for each in self.findings.values():
            found[each.survey, each.opening].append(each)
        return found

    @cached_property
    def inspections_at(
        self,
    ) -> Mapping[tuple[Key | None, Key | None], list[tuple[Key, RecordedInspection]]]:
        """The looks, each with its key, by their survey and opening."""
        found: dict[tuple[Key | None, Key | None], list[tuple[Key, RecordedInspection]]] = (
            defaultdict(list)
        )
        for key, each in self.inspections.items():
            found[each.survey, each.opening].append((key, each))
        return found

    @cached_property
    def numbered(self) -> Mapping[tuple[Key | None, str], list[Key]]:
        """The keys of the findings by their survey and number."""
        found: dict[tuple[Key | None, str], list[Key]] = defaultdict(list)
        for key, each in self.findings.items():
            found[each.survey, each.number].append(key)
        return found

    def label_of(self, about: AboutSubject) -> str:
        """Return `nII 3b`: the opening, then the panel or item where there is one."""
        part = self.items.get(about.attached_item) or self.panels.get(about.panel)
        opening = self.openings.get(about.opening, "")
        return f"{opening} {part.number}" if part else opening
