"""The entries of a report: openings with their findings and photographs, numbered once."""

from collections.abc import Iterable
from datetime import date
from itertools import count
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from condition.compute.comparing import State
from condition.compute.stroke_drawing import Stroke
from condition.compute.stroke_signs import SIGNS, sign_of
from condition.documents.cautions import cautions_here
from condition.documents.changed import Change, ChangeRow
from condition.documents.changes import state_counts
from condition.documents.drawing import drawing_of
from condition.documents.facts import item_entry, opening_facts
from condition.documents.judging import advice_of, assessment_of
from condition.documents.reading import Material
from condition.documents.reasons import reasons_of
from condition.documents.snapshot import (
    Earlier,
    FindingEntry,
    ItemEntry,
    LegendMark,
    OpeningEntry,
    OpeningLine,
    PhotographEntry,
)
from condition.documents.words import (
    DASH,
    extent_of,
    findings_counted,
    inspection_words,
    is_mended,
    mark,
    own_caption,
    place_of,
    subject_of,
)
from condition.models import Finding, Inspection, Photograph
from condition.models.choices import Outcome
from sites.documents.words import day_words
from sites.models import AttachedItem, Opening
from sites.services.fixings import fixing_verdict


class Entries:
    """Builds the entries of one survey's report; photographs are numbered in printing order."""

    def __init__(self, material: Material, change: Change | None, locale: str, units: str) -> None:
        self.material = material
        self.change = change
        self.locale = locale
        self.units = units
        self.zone = ZoneInfo(material.survey.building.time_zone)
        self.numbers = count(1)
        self.changed = {row.later: row for row in change.rows if row.later} if change else {}

    def openings(self) -> list[OpeningEntry]:
        """Return an entry for each opening the survey says something of, in their order."""
        return [
            self._opening(place, opening)
            for place, opening in enumerate(self.material.openings, start=1)
            if self.material.says_something_of(opening)
        ]

    def general_photographs(self) -> list[PhotographEntry]:
        """Return the photographs of no opening in particular."""
        return [self._photograph(each) for each in self.material.photographs.get(None, [])]

    def _opening(self, place: int, opening: Opening) -> OpeningEntry:
        material, key = self.material, opening.pk
        photographs = [self._photograph(each) for each in material.photographs.get(key, [])]
        inspections = material.inspections.get(key, [])
        items, findings = material.items.get(key, []), material.findings.get(key, [])
        entries = [self._finding(each, photographs) for each in findings]
        rows, strokes = self._rows_of(opening), material.judged.strokes.get(key, ())
        return OpeningEntry(
            id=str(key),
            number=opening.number,
            anchor=anchor_of(place),
            title=opening.title,
            facts=opening_facts(opening),
            drawing=drawing_of(opening, items, findings, strokes),
            damage_signs=_signs(strokes),
            assessment=assessment_of(material.assessments.get(key), findings),
            advice=advice_of(findings, entries, material.judged.steps),
            since=self._compared_with(opening),
            changed=state_counts(row.state for row in rows) if rows else [],
            past=[row for row in rows if not row.later],
            cautions=cautions_here(findings, dangerous=material.is_dangerous(key)),
            findings=entries,
            looked_at=_words_of(inspections, Outcome.NOTHING_FOUND),
            not_seen=_words_of(inspections, Outcome.NOT_INSPECTED),
            items=[self._item(item, opening) for item in items],
            photographs=photographs,
        )

    def _rows_of(self, opening: Opening) -> list[ChangeRow]:
        """What became of everything known of the opening since the survey before."""
        rows = self.change.rows if self.change else []
        return [row for row in rows if row.opening == opening.number]

    def _compared_with(self, opening: Opening) -> str:
        """The day of the survey an opening is compared with, in words."""
        lines = self.change.lines if self.change else []
        return next((line.day_words for line in lines if line.opening == opening.number), "")

    def _item(self, item: AttachedItem, opening: Opening) -> ItemEntry:
        """The item with the verdict on its fixings as of the day of the visit."""
        item.opening, opening.building = opening, self.material.survey.building
        return item_entry(
            item, fixing_verdict(item, self.material.survey.day, self.material.figures)
        )

    def _finding(self, finding: Finding, photographs: Iterable[PhotographEntry]) -> FindingEntry:
        row = self.changed.get(finding.number)
        return FindingEntry(
            id=str(finding.pk),
            number=finding.number,
            label=_("Finding %d") % finding.number,
            opening=finding.opening.number,
            subject=subject_of(finding),
            where=place_of(finding),
            kind_code=finding.kind.code,
            kind=finding.kind.name,
            plain="" if is_mended(finding) else finding.kind.plain,
            extent=extent_of(finding, self.units),
            note=finding.note.strip(),
            hazard=finding.hazard,
            danger=str(finding.danger_id or ""),
            condition=mark(finding, "condition_class"),
            urgency=mark(finding, "urgency_class"),
            recommendation=mark(finding, "recommendation_class"),
            reasons=reasons_of(finding, self.material.judged.proposals.get(finding.pk)),
            diagnosis=finding.diagnosis.strip(),
            continues=self._earlier(finding.continues),
            state=row.state if row else "",
            since=self._since(row),
            photographs=[
                each.number
                for each in photographs
                if finding.number in (each.finding, *each.also_shows)
            ],
        )

    def _since(self, row: ChangeRow | None) -> str:
        """What became of it since an earlier survey, in a sentence; nothing where none was."""
        if row is None:
            return ""
        values = {"day": row.day_words, "state": row.word, "why": row.reason}
        if row.state == State.NEW:
            return _("%(state)s since %(day)s: not logged then.") % values
        if row.state == State.NOT_COMPARABLE:
            start = _("%(state)s with %(day)s: %(why)s.") if row.day else _("%(state)s: %(why)s.")
            return start % values
        return _("%(state)s since %(day)s: %(why)s.") % values

    def _earlier(self, finding: Finding | None) -> Earlier | None:
        if finding is None:
            return None
        return Earlier(
            number=finding.number,
            day=finding.survey.day.isoformat(),
            day_words=day_words(finding.survey.day, self.locale),
            extent=extent_of(finding, self.units),
            condition=mark(finding, "condition_class"),
            urgency=mark(finding, "urgency_class"),
        )

    def _photograph(self, photograph: Photograph) -> PhotographEntry:
        number, shown = next(self.numbers), list(photograph.findings.all())
        taken = self._taken(photograph)
        taken_words = day_words(taken, self.locale) if taken else _("date not recorded")
        subject = _subject(photograph)
        name = _("Photograph %d") % number
        of_finding = _of_findings(shown)
        parts = [name, of_finding, subject, taken_words]
        kinds = ", ".join(dict.fromkeys(each.kind.name.lower() for each in shown))
        what = f"{of_finding} ({kinds})" if shown else _("general view")
        return PhotographEntry(
            id=str(photograph.pk),
            number=number,
            sha256=photograph.sha256,
            file=photograph.name,
            finding=shown[0].number if shown else None,
            also_shows=[each.number for each in shown[1:]],
            subject=subject,
            caption=f" {DASH} ".join(part for part in parts if part),
            own_caption=own_caption(photograph, self.zone, self.locale),
            taken=taken.isoformat() if taken else "",
            taken_words=taken_words,
            alt=f"{name}: {what}, {subject}. {photograph.caption.strip()}".strip(),
        )

    def _taken(self, photograph: Photograph) -> date | None:
        """The camera's own date; else the date at the building of the moment it tells."""
        if photograph.taken_local:
            return date.fromisoformat(photograph.taken_local[:10])
        if photograph.taken_at:
            return photograph.taken_at.astimezone(self.zone).date()
        return None


def opening_lines(material: Material) -> list[OpeningLine]:
    """Return a line for every opening of the building, also for those nothing is recorded of."""
    return [
        _line(place, opening, material) for place, opening in enumerate(material.openings, start=1)
    ]


def _line(place: int, opening: Opening, material: Material) -> OpeningLine:
    findings = material.findings.get(opening.pk, [])
    judged = assessment_of(material.assessments.get(opening.pk), findings)
    return OpeningLine(
        number=opening.number,
        anchor=anchor_of(place) if material.says_something_of(opening) else "",
        title=opening.title,
        outcome=outcome_of(opening, material),
        finding_count=len(findings),
        hazard=material.is_dangerous(opening.pk),
        condition=judged.condition,
        urgency=judged.urgency,
        recommendation=judged.recommendation,
    )


def outcome_of(opening: Opening, material: Material) -> str:
    """Return what the survey says of an opening in a word or two."""
    findings = material.findings.get(opening.pk, [])
    if findings:
        return findings_counted(len(findings))
    outcomes = {inspection.outcome for inspection in material.inspections.get(opening.pk, [])}
    if Outcome.NOTHING_FOUND in outcomes:
        return _("Nothing found")
    if Outcome.NOT_INSPECTED in outcomes:
        return _("Not inspected")
    if opening.pk in material.photographs:
        return _("Photographed only")
    return _("Not recorded")


def anchor_of(place: int) -> str:
    return f"window-{place}"


def _signs(strokes: Iterable[Stroke]) -> list[LegendMark]:
    """The signs of what is drawn on an elevation, to stand beneath it."""
    used = {sign_of(stroke.group) for stroke in strokes}
    return [LegendMark(sign.letter, sign.word) for sign in SIGNS if sign in used]


def _words_of(inspections: Iterable[Inspection], outcome: Outcome) -> list[str]:
    return [
        _capital(inspection_words(inspection))
        for inspection in inspections
        if inspection.outcome == outcome
    ]


def _capital(text: str) -> str:
    """A part's number may open the line, and `3b` or `nII` is left as it is."""
    return text if ":" in text.split(" ")[0] else text[:1].upper() + text[1:]


def _of_findings(shown: list[Finding]) -> str:
    if not shown:
        return ""
    numbers = ", ".join(str(each.number) for each in shown)
    return ngettext("finding %s", "findings %s", len(shown)) % numbers


def _subject(photograph: Photograph) -> str:
    if shown := photograph.findings.all():
        return "; ".join(dict.fromkeys(subject_of(each) for each in shown))
    return photograph.opening.number if photograph.opening else _("the building")
