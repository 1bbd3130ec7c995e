"""Building the snapshot of an inscription proof from the item's record."""

from collections.abc import Iterator
from dataclasses import asdict
from decimal import Decimal
from typing import Any, Final

from django.utils import translation
from django.utils.translation import gettext as _

from sites.compute.figures import Figures
from sites.compute.inscription.layout import LaidLine
from sites.compute.inscription.names import Difference, differences, names_and_dates
from sites.compute.inscription.paper import Sheet, sheet_for
from sites.compute.plain_numbers import plain_number
from sites.documents.inscription_proof.plate import Plate, content_of, length_sayer, plate_of
from sites.documents.inscription_proof.snapshot import (
    SCHEMA,
    ItemBlock,
    Named,
    PlateBlock,
    PlateLine,
    ProofSnapshot,
    Ruler,
    ToCheck,
)
from sites.documents.moment import repeatable_read
from sites.documents.parties import building_block, heading, studio_block
from sites.documents.vocabulary import cautions_for
from sites.documents.words import language_of, size_words
from sites.models import AttachedItem, DocumentNumber, InscriptionProof
from sites.models.choices import Lettering, Units

CAUTIONS: Final = ("memorial-owners-asked",)
MM_PER_INCH: Final = Decimal("25.4")


def build_snapshot(
    item: AttachedItem,
    figures: Figures,
    number: DocumentNumber,
    supersedes: InscriptionProof | None,
) -> dict[str, Any]:
    """Return the proof of `item` under `number`, complete, as plain data for JSON.

    Raises PaperError for a plate no sheet can show, ValueError for one that cannot be laid out.
    """
    building = item.opening.building
    with translation.override(language_of(building)), repeatable_read():
        plate = plate_of(item, figures)
        sheet = sheet_for(plate.layout.spec.width_mm, plate.layout.spec.height_mm, building.paper)
        document = heading(
            kind=_("Inscription proof"),
            number=number.number,
            version=number.version,
            dated=number.dated,
            issued_by=number.asked_by.name,
            building=building,
            supersedes=supersedes,
        )
        snapshot = ProofSnapshot(
            schema=SCHEMA,
            document=document,
            studio=studio_block(building.studio),
            building=building_block(building),
            item=_item_block(item),
            content=content_of(item, figures),
            facts=list(_facts(item, plate)),
            plate=_plate_block(item, plate, sheet),
            ruler=ruler_for(building.units),
            remarks=[remark.text for remark in plate.remarks],
            to_check=to_check(plate.layout.spec.lines),
            differences=list(differences_in_words(item)),
            cautions=cautions_for(CAUTIONS),
        )
        return asdict(snapshot)


def to_check(lines: tuple[str, ...]) -> list[ToCheck]:
    """Return every name and date of the inscription with the word for its kind."""
    words = {"name": _("Name"), "date": _("Date"), "year": _("Year")}
    return [ToCheck(words[found.kind], found.text, found.line) for found in names_and_dates(lines)]


def differences_in_words(item: AttachedItem) -> Iterator[str]:
    """Yield a sentence for each name the register spells otherwise than the plate.

    Whoever is remembered is missed where the plate does not name them; a donor need not be named.
    """
    lines = item.inscription.splitlines()
    remembered = differences(item.memorial_of, lines)
    for difference in remembered:
        yield _difference_words(_("In memory of"), difference)
    for difference in differences(item.donors, lines):
        if difference.nearest and difference not in remembered:
            yield _difference_words(_("Given by"), difference)


def _difference_words(name: str, difference: Difference) -> str:
    said = {
        "name": name,
        "word": difference.word,
        "nearest": difference.nearest,
        "line": difference.line,
    }
    if not difference.nearest:
        return _("“%(name)s” in the register has %(word)s; the plate does not.") % said
    return (
        _("“%(name)s” in the register has %(word)s; the plate has %(nearest)s in line %(line)d.")
        % said
    )


def ruler_for(units: str) -> Ruler:
    """Return the line to measure: 100 mm by tens, or 4 inches by halves."""
    if units == Units.INCH:
        length, step, words = 4 * MM_PER_INCH, MM_PER_INCH / 2, _("4 inches (101.6 mm)")
    else:
        length, step, words = Decimal(100), Decimal(10), _("100 mm")
    ticks = [plain_number(step * n) for n in range(int(length / step) + 1)]
    return Ruler(plain_number(length), words, ticks)


def _item_block(item: AttachedItem) -> ItemBlock:
    return ItemBlock(
        id=str(item.pk),
        number=item.number,
        kind=str(item.get_kind_display()),
        opening=str(item.opening),
    )


def _facts(item: AttachedItem, plate: Plate) -> Iterator[Named]:
    say = length_sayer(item.opening.building.units)
    spec = plate.layout.spec
    margin = say(spec.margin_used_mm)
    facts = (
        (_("Item"), f"{item.get_kind_display()} {item.number}, {item.opening}"),
        (_("Material"), str(item.get_material_display())),
        (
            _("Width × height"),
            size_words([(item.width_typed, item.width_mm), (item.height_typed, item.height_mm)]),
        ),
        (_("Thickness"), _one_size(item.thickness_typed, item.thickness_mm)),
        (_("Letter height"), _one_size(item.letter_height_typed, item.letter_height_mm)),
        (_("Lettering"), str(item.get_lettering_display())),
        (_("Lines"), str(item.get_alignment_display())),
        (
            _("Margin"),
            margin if item.margin_mm is not None else _("%s, one not recorded") % margin,
        ),
        (_("From line to line"), say(spec.pitch * spec.letter_mm)),
        (_("Read from"), _one_size(item.reading_distance_typed, item.reading_distance_mm)),
        (_("Fixing"), _fixings(item)),
        (_("In memory of"), item.memorial_of),
        (_("Given by"), item.donors),
    )
    return (Named(name, value or _("not recorded")) for name, value in facts)


def _one_size(typed: str, mm: Decimal | None) -> str:
    return size_words([(typed, mm)])


def _fixings(item: AttachedItem) -> str:
    return "; ".join(
        _("%(count)d × %(kind)s to %(host)s")
        % {
            "count": fixing.count,
            "kind": str(fixing.get_kind_display()).lower(),
            "host": str(fixing.get_holds_on_to_display()).lower(),
        }
        for fixing in item.fixings.all()
    )


def _plate_block(item: AttachedItem, plate: Plate, sheet: Sheet) -> PlateBlock:
    layout = plate.layout
    say = length_sayer(item.opening.building.units)
    return PlateBlock(
        width=_mm(layout.spec.width_mm),
        height=_mm(layout.spec.height_mm),
        margin=_mm(layout.spec.margin_used_mm),
        font=_mm(layout.font_mm),
        slant="italic" if item.lettering == Lettering.ITALIC else "normal",
        weight="700" if item.lettering == Lettering.BOLD else "400",
        scale=sheet.scale,
        scale_words=sheet.words,
        landscape=sheet.landscape,
        lines=[_line(line, plate, say(line.width_mm)) for line in layout.lines],
    )


def _line(line: LaidLine, plate: Plate, width_words: str) -> PlateLine:
    return PlateLine(
        number=line.number,
        text=line.text,
        letters=plate.shown(line.letters),
        places=" ".join(_mm(place) for place in line.places_mm),
        baseline=_mm(line.baseline_mm),
        count=sum(not letter.isspace() for letter in line.text),
        width_words=width_words if line.text.strip() else "",
    )


def _mm(length: float) -> str:
    """A length for a drawing: a text, as a snapshot's digest asks, to a thousandth of a mm."""
    return plain_number(Decimal(f"{length:.3f}"))
