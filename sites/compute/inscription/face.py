"""What a layout needs of a typeface: how wide its letters are, how far they reach, its kerning."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from io import BytesIO
from itertools import pairwise
from threading import Lock
from typing import Any, Final

from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

PAIR_ADJUSTMENT: Final = 2
EXTENSION: Final = 9
# A typeface is unpacked as it is read, and the server reads in several threads.
_ONE_AT_A_TIME: Final = Lock()


@dataclass(frozen=True)
class Face:
    """Measures of the letters of one text, in ems; of letters the face lacks there is none."""

    cap_height: float
    advances: Mapping[str, float]
    reaches: Mapping[str, tuple[float, float]]
    kerns: Mapping[tuple[str, str], float]

    def has(self, letter: str) -> bool:
        return letter in self.advances


def read_face(data: bytes, text: str) -> Face:
    """Return what the typeface `data` (a TrueType file) says of the letters of `text`.

    Kerning is of letters that stand side by side in a line, from the face's pair adjustment;
    kerning that depends on more than two letters is left out.

    Source: OpenType specification, tables OS/2 (sCapHeight), hmtx and GPOS (lookup type 2).
    """
    with _ONE_AT_A_TIME:
        font = _opened(data)
        em = font["head"].unitsPerEm
        names = font.getBestCmap()
        glyphs = {letter: names[ord(letter)] for letter in set(text) if ord(letter) in names}
        pairs = {(a, b) for a, b in pairwise(text) if a in glyphs and b in glyphs}
        return Face(
            cap_height=font["OS/2"].sCapHeight / em,
            advances={
                letter: font["hmtx"].metrics[glyph][0] / em for letter, glyph in glyphs.items()
            },
            reaches={letter: _reach(font, glyph, em) for letter, glyph in glyphs.items()},
            kerns=dict(_kerning(font, glyphs, pairs, em)),
        )


@lru_cache(maxsize=8)
def _opened(data: bytes) -> TTFont:
    """The typeface with what was read of it before: its kerning takes half a second to unpack."""
    return TTFont(BytesIO(data))


def _reach(font: TTFont, glyph: str, em: int) -> tuple[float, float]:
    """How far below and above the baseline a glyph's outline goes."""
    glyphs = font.getGlyphSet()
    pen = BoundsPen(glyphs)
    glyphs[glyph].draw(pen)
    # A glyph without an outline, such as a space, has no bounds.
    _, low, _, high = pen.bounds or (0, 0, 0, 0)
    return low / em, high / em


def _kerning(
    font: TTFont, glyphs: Mapping[str, str], pairs: set[tuple[str, str]], em: int
) -> Iterator[tuple[tuple[str, str], float]]:
    lookups = list(_kern_lookups(font)) if "GPOS" in font else []
    for left, right in pairs:
        both = glyphs[left], glyphs[right]
        units = sum(_adjustment(subtables, *both) for subtables in lookups)
        if units:
            yield (left, right), units / em


def _kern_lookups(font: TTFont) -> Iterator[list[Any]]:
    """The pair adjustments that the feature "kern" of the default script names, in their order."""
    table = font["GPOS"].table
    script = table.ScriptList.ScriptRecord[0].Script.DefaultLangSys
    records = [table.FeatureList.FeatureRecord[index] for index in script.FeatureIndex]
    named = {
        i for each in records if each.FeatureTag == "kern" for i in each.Feature.LookupListIndex
    }
    for index in sorted(named):
        lookup = table.LookupList.Lookup[index]
        inner = [getattr(each, "ExtSubTable", each) for each in lookup.SubTable]
        kind = inner[0].LookupType if lookup.LookupType == EXTENSION else lookup.LookupType
        if kind == PAIR_ADJUSTMENT:
            yield inner


def _adjustment(subtables: list[Any], left: str, right: str) -> int:
    """By how many units one lookup changes the advance of `left` before `right`.

    The first subtable that knows the pair decides; one of classes knows every second glyph.
    """
    for table in subtables:
        if left not in table.Coverage.glyphs:
            continue
        if table.Format == 1:
            of_left = table.PairSet[table.Coverage.glyphs.index(left)].PairValueRecord
            found = next((each for each in of_left if each.SecondGlyph == right), None)
            if found is None:
                continue
        else:
            first = table.ClassDef1.classDefs.get(left, 0)
            second = table.ClassDef2.classDefs.get(right, 0)
            found = table.Class1Record[first].Class2Record[second]
        return int(getattr(found.Value1, "XAdvance", 0) or 0) if found.Value1 else 0
    return 0
