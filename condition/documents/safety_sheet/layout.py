"""The layout of a site safety sheet: one page of HTML for the printer."""

from collections.abc import Sequence
from typing import Final

from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext as _

from condition.compute.safety.facts import SheetCaution
from condition.compute.safety.sheet import DEFERRAL
from condition.documents.safety_sheet.facts import told_facts
from condition.models import SafetySheet
from sites.documents.characters import covered_by_our_fonts, printable
from sites.documents.laying_out import building_line
from sites.documents.parties import building_block
from sites.documents.words import day_words, language_of, locale_of

# From letters to be read at a tailgate to letters that let the fullest sheet stand on one page.
SETTINGS: Final = ("wide", "middle", "close")


def sheet_html(sheet: SafetySheet, cautions: Sequence[SheetCaution], setting: str) -> str:
    """Return the sheet as HTML, for the printer; `setting` is one of SETTINGS."""
    building = sheet.building
    with translation.override(language_of(building)):
        context, _replaced = printable(
            _context(sheet, cautions) | {"setting": setting}, covered_by_our_fonts()
        )
        return render_to_string("documents/safety_sheet.html", context)


def _context(sheet: SafetySheet, cautions: Sequence[SheetCaution]) -> dict[str, object]:
    building, locale = sheet.building, locale_of(sheet.building)
    return {
        "language_tag": locale.replace("_", "-"),
        "paper": building.paper.lower(),
        "title": f"{_('Site safety sheet')}: {sheet.title}",
        "job": sheet.title,
        "building": f"{building.name}, {building.place}",
        "place": building_line(_block(sheet)),
        "studio": building.studio.name,
        "contact": [part for part in (building.studio.phone, building.studio.email) if part],
        "dated": sheet.day.isoformat(),
        "day": day_words(sheet.day, locale),
        "people": sheet.people,
        "facts": [{"name": name, "value": value} for name, value in told_facts(sheet)],
        "cautions": [_told(each) for each in cautions],
        "notes": sheet.notes.strip(),
        "deferral": DEFERRAL,
    }


def _block(sheet: SafetySheet) -> dict[str, object]:
    block = building_block(sheet.building)
    return {"name": block.name, "place": block.place, "address": block.address}


def _told(caution: SheetCaution) -> dict[str, object]:
    return {
        "title": caution.title,
        "do": caution.do,
        "unknown": list(caution.unknown),
        "lines": [
            {
                "jurisdiction": line.jurisdiction,
                "text": line.text,
                "source": line.source,
                "own": line.own,
            }
            for line in caution.lines
        ],
    }
