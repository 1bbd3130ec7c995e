"""What a make-safe notice says, as plain data: complete, so that nothing is looked up later."""

from dataclasses import dataclass
from typing import Final

from sites.documents.parties import BuildingBlock, Heading, StudioBlock

SCHEMA: Final = "saddlebar/make-safe-notice/1"


@dataclass(frozen=True)
class NoticePicture:
    """The photograph of the danger, or the note that stands in its place."""

    id: str
    alt: str
    caption: str


@dataclass(frozen=True)
class Danger:
    """What was found: the finding, where it is, and what can happen, in the surveyor's words."""

    finding: str
    finding_number: int
    survey_day_words: str
    where: str
    opening: str
    kind: str
    hazard: str


@dataclass(frozen=True)
class MadeSafe:
    """What was done about it: the area closed, who was told, and when, by the building's clock."""

    area: str
    done: str
    told: str
    closed_at: str
    closed_words: str


@dataclass(frozen=True)
class NoticeSnapshot:
    """A make-safe notice. `content` is what was typed: sent twice, it is one notice."""

    schema: str
    document: Heading
    studio: StudioBlock
    building: BuildingBlock
    danger: Danger
    made_safe: MadeSafe
    picture: NoticePicture | None
    picture_note: str
    content: dict[str, str]
    cautions: list[dict[str, str]]
