"""The rows of a visit folder as what is recorded: the values that the rules of records take."""

from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from condition.compute.recording.facts import (
    Context,
    Continuation,
    FindingData,
    InspectionData,
    Key,
    KnownPart,
    KnownSurvey,
    RecordedFinding,
)
from restoration.compute.visit_folder import layout
from restoration.compute.visit_folder.known import Known, Vocabulary
from restoration.compute.visit_folder.rows import FindingRow, InspectionRow, Rows, SubjectRow
from restoration.compute.visit_folder.subjects import Subjects

# The column of a value, where it has another name.
FINDING_COLUMNS: Final = {column.target: column.name for column in layout.FINDINGS.columns} | {
    "of_total": "of",
    "in_what": "part",
    "attached_item": "item",
    "also_from": "continues",
}
INSPECTION_COLUMNS: Final = {column.target: column.name for column in layout.LOOKS.columns} | {
    "attached_item": "item"
}

REGISTERED: Final = "registered"
Parts = Mapping[tuple[str, str], Key]


@dataclass(frozen=True)
class Keys:
    """The keys that stand for the names in the rows. Panels and items: by opening and number.

    kind: the key of a kind as it is written, None for one that is not known.
    """

    surveys: Mapping[str, Key]
    openings: Mapping[str, Key]
    panels: Parts
    items: Parts
    kind: Callable[[str], Key | None]
    findings: Mapping[str, Key]


def finding_data(row: FindingRow, keys: Keys, number: int | None = None) -> FindingData:
    """Return what a row says of a finding; a name that is not known is taken as not said."""
    main_line = keys.findings.get(row.main_line)
    others = (keys.findings.get(name) for name in row.also_from)
    return FindingData(
        survey=keys.surveys.get(row.survey),
        opening=keys.openings.get(row.opening),
        panel=_part(keys.panels, row),
        attached_item=_item(keys.items, row),
        # A side that is not said stays unsaid: "inside" would be made up.
        side=row.side or "unknown",
        kind=keys.kind(row.kind),
        number=number,
        own_key=row.finding,
        extent=row.extent or "isolated",
        amount=row.amount,
        unit=row.unit or "",
        of_total=row.of,
        not_measured=row.not_measured or "",
        position=row.position,
        in_what=row.part or "",
        water=bool(row.water),
        span=row.span,
        within=row.within,
        datum=row.datum,
        diagnosis=row.diagnosis,
        note=row.note,
        answer=row.answer,
        because=row.because,
        measure=row.measure or "",
        fixed_to=row.fixed_to or "",
        done=row.done,
        keeper=row.keeper,
        look_by=row.look_by,
        placed=row.placed,
        holder=row.holder,
        condition_class=row.condition_class,
        urgency_class=row.urgency_class,
        recommendation_class=row.recommendation_class,
        classes_reason=row.classes_reason,
        continues=main_line,
        also_from=tuple(each for each in others if each is not None),
        subject_change=row.subject_change,
        seen_from=row.seen_from or "",
    )


def inspection_data(row: InspectionRow, keys: Keys) -> InspectionData:
    """Return what a row says of a look; a name that is not known is taken as not said."""
    return InspectionData(
        survey=keys.surveys.get(row.survey),
        opening=keys.openings.get(row.opening),
        panel=_part(keys.panels, row),
        attached_item=_item(keys.items, row),
        side=row.side or "unknown",
        outcome=row.outcome,
        seen_from=row.seen_from or "floor",
        reason=row.reason,
    )


def names_as_keys(known: Context, vocabulary: Vocabulary) -> Keys:
    """Return the keys of a folder that is not taken in yet: each name stands for itself."""
    return Keys(
        surveys={key: key for key in known.surveys if isinstance(key, str)},
        openings={str(key): key for key in known.openings},
        panels={(str(part.opening), part.number): key for key, part in known.panels.items()},
        items={(str(part.opening), part.number): key for key, part in known.items.items()},
        kind=vocabulary.finding_kind,
        findings={str(key): key for key in known.findings},
    )


def known_in(rows: Rows, subjects: Subjects, registered: Known, vocabulary: Vocabulary) -> Context:
    """Return what is known of a folder's own rows and of the register, each by its name.

    Looks are left out:
    they are known one after the other.
    """
    surveys: dict[Key, KnownSurvey] = {
        row.survey: KnownSurvey(row.survey, row.date) for row in rows.surveys if row.survey
    }
    findings: dict[Key, RecordedFinding] = {}
    continuations: dict[Key, list[Continuation]] = defaultdict(list)
    for name, each in registered.findings.items():
        # No name of a sheet is a pair: the two cannot be taken for one another.
        survey = (REGISTERED, each.day)
        surveys[survey] = KnownSurvey(str(each.day), each.day)
        findings[name] = RecordedFinding(
            label=name,
            number=name,
            survey=survey,
            opening=each.opening,
            panel=(each.opening, each.panel) if each.panel else None,
            attached_item=(each.opening, each.item) if each.item else None,
        )
        continuations[name] = [Continuation(None, label, day) for day, label in each.continued]
    for row in rows.findings:
        now = surveys.get(row.survey)
        for name in row.continues or ():
            later = Continuation(row.finding, row.finding, now.day if now else None)
            continuations[name].append(later)
    findings |= {row.finding: _recorded_finding(row) for row in rows.findings if row.finding}
    return Context(
        surveys=surveys,
        openings={number: number for number in subjects.panels},
        panels=_known_parts(subjects.panels),
        items=_known_parts(subjects.items),
        over_people=_over_people(rows, registered),
        kinds=dict(vocabulary.finding_kinds),
        findings=findings,
        continuations=continuations,
    )


def _over_people(rows: Rows, registered: Known) -> frozenset[Key]:
    """The openings under which people pass or sit, as the folder or the register says; where
    nobody answered, they are taken to."""
    below = {number: place.people_below for number, place in registered.openings.items()}
    house = rows.building
    for row in rows.openings:
        inside = row.under_inside or (house.under_inside if house else "")
        outside = row.under_outside or (house.under_outside if house else "")
        below[row.number] = any(each in (None, "", "people") for each in (inside, outside))
    return frozenset(number for number, yes in below.items() if yes)


def _recorded_finding(row: FindingRow) -> RecordedFinding:
    opening, panel, item = row.subject
    return RecordedFinding(
        label=row.finding,
        number=row.finding,
        survey=row.survey,
        opening=opening,
        panel=(opening, panel) if panel else None,
        attached_item=(opening, item) if item else None,
        side=row.side or "unknown",
    )


def _known_parts(parts: Mapping[str, object]) -> dict[Key, KnownPart]:
    return {
        (opening, number): KnownPart(number, opening)
        for opening, numbers in parts.items()
        for number in numbers  # type: ignore[attr-defined]
    }


def _part(panels: Parts, row: SubjectRow) -> Key | None:
    """One that is not there keeps its name: a row about it is not one about the whole opening."""
    opening, panel, _item = row.subject
    return panels.get((opening, panel), (opening, panel)) if panel else None


def _item(items: Parts, row: SubjectRow) -> Key | None:
    opening, _panel, item = row.subject
    return items.get((opening, item), (opening, item)) if item else None
