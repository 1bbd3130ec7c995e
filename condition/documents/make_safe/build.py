"""Building the snapshot of a make-safe notice from its danger and what was typed."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import Any, Final
from uuid import UUID
from zoneinfo import ZoneInfo

from babel.dates import format_time
from django.utils import translation
from django.utils.translation import gettext as _

from condition.documents.make_safe.snapshot import (
    SCHEMA,
    ClosedArea,
    MadeSafe,
    NoticePicture,
    NoticeSnapshot,
    ToldDanger,
)
from condition.documents.words import own_caption, subject_of
from condition.models import AreaClosure, Danger, Finding, MakeSafeNotice, Photograph
from condition.models.choices import PhotographState
from sites.documents.moment import repeatable_read
from sites.documents.parties import building_block, heading, studio_block
from sites.documents.vocabulary import cautions_for
from sites.documents.words import day_words, language_of, locale_of
from sites.models import Building, DocumentNumber

CAUTIONS: Final = ("falling-glass-and-plaques",)


@dataclass(frozen=True, kw_only=True)
class NoticeWords:
    """What was typed on the form. `closed_at` is the building's own clock, without a zone.

    areas: keys of those to close, beside those that stand closed already; new_area: one more, by
    its name. measure, fixed_to, done_on: what `done` says in words, as it is kept with the danger.
    """

    hazard: str
    done: str
    measure: str
    done_on: date
    told: str
    closed_at: datetime
    areas: tuple[UUID, ...] = ()
    new_area: str = ""
    fixed_to: str = ""
    placed: str = ""
    holder: str = ""
    photograph: UUID | None = None

    def as_dict(self) -> dict[str, Any]:
        """Return the words as plain data, for a job's arguments and for comparing."""
        return asdict(self) | {
            "done_on": self.done_on.isoformat(),
            "closed_at": self.closed_at.isoformat(timespec="minutes"),
            "areas": sorted(str(key) for key in self.areas),
            "photograph": str(self.photograph or ""),
        }

    @classmethod
    def from_dict(cls, kept: dict[str, Any]) -> "NoticeWords":
        """Return the words that `as_dict` kept."""
        return cls(
            **kept
            | {
                "done_on": date.fromisoformat(kept["done_on"]),
                "closed_at": datetime.fromisoformat(kept["closed_at"]),
                "areas": tuple(UUID(key) for key in kept["areas"]),
                "photograph": UUID(kept["photograph"]) if kept["photograph"] else None,
            }
        )


def build_snapshot(
    danger: Danger,
    finding: Finding | None,
    closures: Sequence[AreaClosure],
    words: NoticeWords,
    number: DocumentNumber,
    supersedes: MakeSafeNotice | None,
) -> dict[str, Any]:
    """Return the notice of a danger under `number`, complete, as plain data for JSON.

    finding: the sighting it tells of, if there is one. closures: the areas that stand closed.
    """
    building = danger.building
    locale = locale_of(building)
    with translation.override(language_of(building)), repeatable_read():
        picture, note = _picture(danger, words.photograph)
        areas = _areas(closures, building, locale)
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
            danger=_danger(danger, finding, words, locale),
            made_safe=MadeSafe(
                area="; ".join(each.name.strip().rstrip(".") for each in areas),
                areas=areas,
                done=words.done,
                done_words=day_words(words.done_on, locale),
                told=words.told,
            ),
            picture=picture,
            picture_note=note,
            content=words.as_dict(),
            cautions=cautions_for(CAUTIONS),
        )
        return asdict(snapshot)


def _danger(danger: Danger, finding: Finding | None, words: NoticeWords, locale: str) -> ToldDanger:
    return ToldDanger(
        id=str(danger.pk),
        finding=str(finding.pk) if finding else "",
        finding_number=finding.number if finding else 0,
        survey_day_words=day_words(finding.survey.day, locale) if finding else "",
        since_words=day_words(danger.open_since(danger.state_on()), locale),
        place=danger.place.strip().rstrip("."),
        where=subject_of(danger),
        opening=str(danger.opening or ""),
        kind=danger.shown_kind.name,
        hazard=words.hazard,
    )


def _areas(closures: Sequence[AreaClosure], building: Building, locale: str) -> list[ClosedArea]:
    """The closed areas, those closed first before those added by a later version."""
    zone = ZoneInfo(building.time_zone)
    return [
        ClosedArea(
            id=str(each.pk),
            name=each.area.name,
            closed_at=each.closed_at.astimezone(zone).isoformat(timespec="minutes"),
            closed_words=_moment_words(each.closed_at.astimezone(zone), locale),
        )
        for each in sorted(closures, key=lambda each: (each.closed_at, each.pk))
    ]


def _moment_words(moment: datetime, locale: str) -> str:
    time = format_time(moment.time(), "short", locale=locale)
    return f"{day_words(moment.date(), locale)}, {time}".replace("\N{NARROW NO-BREAK SPACE}", " ")


def _picture(danger: Danger, key: UUID | None) -> tuple[NoticePicture | None, str]:
    photographs = Photograph.objects.of_danger(danger)
    photograph = photographs.filter(pk=key).first() if key else None
    if photograph is None:
        if photographs.exists():
            return None, _("No photograph was put on this notice.")
        return None, _("No photograph shows this danger.")
    if photograph.state != PhotographState.READY:
        return None, _no_picture(photograph)
    return _of_photograph(danger, photograph), ""


def _no_picture(photograph: Photograph) -> str:
    if photograph.damage:
        return _("The photograph is damaged in storage and cannot be shown.")
    return _("The photograph could not be prepared; it is kept as it was received.")


def _of_photograph(danger: Danger, photograph: Photograph) -> NoticePicture:
    building = danger.building
    caption = own_caption(photograph, ZoneInfo(building.time_zone), locale_of(building))
    what = _("Photograph of the danger: %(kind)s, %(where)s.") % {
        "kind": danger.shown_kind.name.lower(),
        "where": subject_of(danger),
    }
    return NoticePicture(id=str(photograph.pk), alt=f"{what} {caption}".strip(), caption=caption)
