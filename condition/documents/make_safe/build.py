"""Building the snapshot of a make-safe notice from its finding and what was typed."""

from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID
from zoneinfo import ZoneInfo

from babel.dates import format_time
from django.utils import translation
from django.utils.translation import gettext as _

from condition.documents.make_safe.snapshot import (
    SCHEMA,
    Danger,
    MadeSafe,
    NoticePicture,
    NoticeSnapshot,
)
from condition.documents.words import own_caption, subject_of
from condition.models import Finding, MakeSafeNotice, Photograph
from condition.models.choices import PhotographState
from sites.documents.moment import repeatable_read
from sites.documents.parties import building_block, heading, studio_block
from sites.documents.vocabulary import cautions_for
from sites.documents.words import day_words, language_of, locale_of
from sites.models import DocumentNumber

CAUTIONS: Final = ("falling-glass-and-plaques",)


@dataclass(frozen=True)
class NoticeWords:
    """What was typed on the form. `closed_at` is the building's own clock, without a zone."""

    hazard: str
    area: str
    done: str
    told: str
    closed_at: datetime
    photograph: UUID | None = None

    def as_dict(self) -> dict[str, str]:
        """Return the words as texts, for a job's arguments and for comparing."""
        return {
            "hazard": self.hazard,
            "area": self.area,
            "done": self.done,
            "told": self.told,
            "closed_at": self.closed_at.isoformat(timespec="minutes"),
            "photograph": str(self.photograph or ""),
        }

    @classmethod
    def from_dict(cls, kept: dict[str, str]) -> "NoticeWords":
        """Return the words that `as_dict` kept."""
        return cls(
            hazard=kept["hazard"],
            area=kept["area"],
            done=kept["done"],
            told=kept["told"],
            closed_at=datetime.fromisoformat(kept["closed_at"]),
            photograph=UUID(kept["photograph"]) if kept["photograph"] else None,
        )


def build_snapshot(
    finding: Finding,
    words: NoticeWords,
    number: DocumentNumber,
    supersedes: MakeSafeNotice | None,
) -> dict[str, Any]:
    """Return the notice of `finding` under `number`, complete, as plain data for JSON."""
    building = finding.survey.building
    locale = locale_of(building)
    with translation.override(language_of(building)), repeatable_read():
        picture, note = _picture(finding, words.photograph)
        snapshot = NoticeSnapshot(
            schema=SCHEMA,
            document=heading(
                kind=_("Make-safe notice"),
                number=number.number,
                version=number.version,
                dated=number.dated,
                issued_by=number.asked_by.name,
                building=building,
                supersedes=supersedes,
            ),
            studio=studio_block(building.studio),
            building=building_block(building),
            danger=_danger(finding, words, locale),
            made_safe=MadeSafe(
                area=words.area,
                done=words.done,
                told=words.told,
                closed_at=words.as_dict()["closed_at"],
                closed_words=_moment_words(words.closed_at, locale),
            ),
            picture=picture,
            picture_note=note,
            content=words.as_dict(),
            cautions=cautions_for(CAUTIONS),
        )
        return asdict(snapshot)


def _danger(finding: Finding, words: NoticeWords, locale: str) -> Danger:
    return Danger(
        finding=str(finding.pk),
        finding_number=finding.number,
        survey_day_words=day_words(finding.survey.day, locale),
        where=subject_of(finding),
        opening=str(finding.opening),
        kind=finding.kind.name,
        hazard=words.hazard,
    )


def _moment_words(moment: datetime, locale: str) -> str:
    time = format_time(moment, "short", locale=locale).replace("\N{NARROW NO-BREAK SPACE}", " ")
    return f"{day_words(moment.date(), locale)}, {time}"


def _picture(finding: Finding, key: UUID | None) -> tuple[NoticePicture | None, str]:
    photograph = finding.photographs.filter(pk=key).first() if key else None
    if photograph is None:
        return None, _("No photograph was taken.")
    if photograph.state != PhotographState.READY:
        return None, _no_picture(photograph)
    return _of_photograph(finding, photograph), ""


def _no_picture(photograph: Photograph) -> str:
    if photograph.damage:
        return _("The photograph is damaged in storage and cannot be shown.")
    return _("The photograph could not be prepared; it is kept as it was received.")


def _of_photograph(finding: Finding, photograph: Photograph) -> NoticePicture:
    building = finding.survey.building
    zone = ZoneInfo(building.time_zone)
    caption = own_caption(photograph, zone, locale_of(building))
    what = _("Photograph of the danger: %(kind)s, %(where)s.") % {
        "kind": finding.kind.name.lower(),
        "where": subject_of(finding),
    }
    return NoticePicture(id=str(photograph.pk), alt=f"{what} {caption}".strip(), caption=caption)
