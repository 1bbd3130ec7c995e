"""What a make-safe notice says, as plain data: complete, so that nothing is looked up later."""

from dataclasses import dataclass
from typing import Any, Final

from sites.documents.parties import BuildingBlock, Heading, StudioBlock

SCHEMA: Final = "saddlebar/make-safe-notice/1"


@dataclass(frozen=True)
class NoticePicture:
    """The photograph of the danger, or the note that stands in its place."""

    id: str
    alt: str
    caption: str


@dataclass(frozen=True)
class ToldDanger:
    """What was found, where it is, and what can happen, in the surveyor's words.

    finding, finding_number, survey_day_words: of the sighting it tells of; empty and 0 where the
    danger became known without a survey.
    """

    id: str
    finding: str
    finding_number: int
    survey_day_words: str
    since_words: str
    place: str
    where: str
    opening: str
    kind: str
    hazard: str


@dataclass(frozen=True)
class ClosedArea:
    """An area that stands closed for the danger, since when by the building's clock."""

    id: str
    name: str
    closed_at: str
    closed_words: str


@dataclass(frozen=True)
class MadeSafe:
    """What was done about it and on which day, who was told, and the areas closed: `area` is the
    names of all."""

    area: str
    areas: list[ClosedArea]
    done: str
    done_words: str
    told: str


@dataclass(frozen=True)
class NoticeSnapshot:
    """A make-safe notice. `content` is what was typed: sent twice, it is one notice."""

    schema: str
    document: Heading
    studio: StudioBlock
    building: BuildingBlock
    danger: ToldDanger
    made_safe: MadeSafe
    picture: NoticePicture | None
    picture_note: str
    content: dict[str, Any]
    cautions: list[dict[str, str]]
