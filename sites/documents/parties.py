"""The parts that every document's snapshot has: its heading, the studio and the building."""

from dataclasses import dataclass
from datetime import date

from sites.documents.words import day_words, language_of, lines, locale_of
from sites.models import Building, FrozenDocument, Studio


@dataclass(frozen=True)
class Superseded:
    """The version that a document takes the place of."""

    number: str
    version: int
    dated: str
    dated_words: str


@dataclass(frozen=True)
class Heading:
    """Which document this is, and how it is written."""

    kind: str
    title: str
    number: str
    version: int
    dated: str
    dated_words: str
    issued_by: str
    supersedes: Superseded | None
    language: str
    locale: str
    paper: str


@dataclass(frozen=True)
class StudioBlock:
    """The studio as its documents name it. Business addresses, nobody's own."""

    name: str
    address: list[str]
    email: str
    phone: str
    registration: str


@dataclass(frozen=True)
class BuildingBlock:
    """The building as documents name it. The people to speak to are left out on purpose."""

    id: str
    name: str
    place: str
    address: list[str]
    kind: str
    dedication: str
    built: str
    protection: str
    consent_body: str


def heading(
    *,
    kind: str,
    number: str,
    version: int,
    dated: date,
    issued_by: str,
    building: Building,
    supersedes: FrozenDocument | None,
) -> Heading:
    """Return the heading of a document of `building`; `kind` is its name in plain words."""
    locale = locale_of(building)
    return Heading(
        kind=kind,
        title=f"{kind} {number}: {building.name}, {building.place}",
        number=number,
        version=version,
        dated=dated.isoformat(),
        dated_words=day_words(dated, locale),
        issued_by=issued_by,
        supersedes=_superseded(supersedes, locale) if supersedes else None,
        language=language_of(building),
        locale=locale,
        paper=building.paper,
    )


def studio_block(studio: Studio) -> StudioBlock:
    return StudioBlock(
        name=studio.name,
        address=lines(studio.address),
        email=studio.email,
        phone=studio.phone,
        registration=studio.registration,
    )


def building_block(building: Building) -> BuildingBlock:
    return BuildingBlock(
        id=str(building.pk),
        name=building.name,
        place=building.place,
        address=lines(building.address),
        kind=str(building.get_kind_display()),
        dedication=building.dedication,
        built=building.built,
        protection=building.protection,
        consent_body=building.consent_body,
    )


def _superseded(document: FrozenDocument, locale: str) -> Superseded:
    return Superseded(
        number=document.number,
        version=document.version,
        dated=document.dated.isoformat(),
        dated_words=day_words(document.dated, locale),
    )
