"""Which of the usual cautions a condition report must carry, and why."""

from collections.abc import Iterable, Iterator
from typing import Final

from condition.documents.reading import Material
from condition.documents.snapshot import CautionHere
from condition.models import Finding
from sites.documents.vocabulary import cautions_for
from sites.models import AttachedItem
from sites.models.choices import FixingKind, ItemKind

# A report is read by people who will go near leaded windows on ladders: always these two.
ALWAYS: Final = ("lead", "work-at-height")
FALLING: Final = "falling-glass-and-plaques"
BY_GROUP: Final = {
    "glass": ("historic-glass-cleaning",),
    "panel": ("bowed-panels-lifting",),
    "cement": ("asbestos",),
    "support": ("structural-screening",),
    "attached-item": ("structural-screening",),
}
BY_KIND: Final = {
    "suspect-putty": ("asbestos",),
    "bird-or-bat-activity": ("nesting-birds-and-bats",),
    "sealant-attacking-lead": ("silicone-neutral-cure",),
}

TOLD_BESIDE_ITEMS: Final = frozenset({"structural-screening", "memorial-owners-asked"})


def caution_codes(material: Material, items: Iterable[AttachedItem]) -> set[str]:
    """Return the codes of the cautions that apply to a survey's report.

    items: the attached items the report describes.
    """
    codes = set(ALWAYS)
    for findings in material.findings.values():
        for finding in findings:
            codes.update(_of_finding(finding))
    if any(state.is_dangerous for _danger, state in material.dangers):
        codes.add(FALLING)
    if material.survey.building.protection.strip():
        codes.add("protected-building-consent")
    for item in items:
        codes.update(_of_item(item))
    return codes


def cautions_here(findings: Iterable[Finding], *, dangerous: bool) -> list[CautionHere]:
    """Return the cautions of one opening, for whoever works there: each with its first sentence.

    dangerous: whether anything there can hurt somebody today, whatever survey saw it.

    Those that hold anywhere (lead, height) stand once, at the end of the report; those of an
    attached item stand beside it in words of its own.
    """
    codes = {code for finding in findings for code in _of_finding(finding)}
    codes |= {FALLING} if dangerous else set()
    return [
        CautionHere(caution["code"], caution["title"], _first_sentence(caution["text"]))
        for caution in cautions_for(codes - TOLD_BESIDE_ITEMS)
    ]


def _first_sentence(text: str) -> str:
    return f"{text.split('. ')[0].rstrip('.')}."


def is_memorial(item: AttachedItem) -> bool:
    """Whether somebody must be asked before the item is moved or altered."""
    named = item.inscription.strip() or item.memorial_of.strip()
    given = item.kind == ItemKind.PLAQUE and item.donors.strip()
    return bool(named or given)


def _of_finding(finding: Finding) -> Iterator[str]:
    yield from BY_GROUP.get(finding.kind.group, ())
    yield from BY_KIND.get(finding.kind.code, ())


def _of_item(item: AttachedItem) -> Iterator[str]:
    if is_memorial(item):
        yield "memorial-owners-asked"
    if any(fixing.kind == FixingKind.SILICONE_BEAD for fixing in item.fixings.all()):
        yield "silicone-neutral-cure"
