"""The rules by which a studio's classes are proposed: those that are shipped, and its own copy."""

import tomllib
from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, Final

from django.db import transaction
from django.db.models import Max

from condition.compute.classes.rules import CLASSES, RAISES, SETS, Rule
from condition.models import ClassRule, FindingKind
from sites.models import Studio

SHIPPED: Final = (
    Path(__file__).resolve().parents[2] / "fixtures" / "vocabulary" / "class_rules.toml"
)
UNTOUCHED: Final = "-"
LONGEST_CODE: Final = 70
TEXTS: Final = ("kind", "extent", "unit", "when", "source", "otherwise")


@cache
def shipped_rules() -> tuple[Rule, ...]:
    """Return the rules of the reference file, in its order. Raises ValueError naming a bad one."""
    entries = tomllib.loads(SHIPPED.read_text(encoding="utf-8"), parse_float=Decimal)["rule"]
    return tuple(_rule_from(entry) for entry in entries)


def rule_of(row: ClassRule) -> Rule:
    """Return a studio's rule as the evaluator takes it. Reads the row's kind."""
    return Rule(
        code=row.code,
        reason=row.reason,
        kind=row.kind.code if row.kind else "",
        extent=row.extent,
        unit=row.unit,
        at_least=row.at_least,
        share_at_least=row.share_at_least,
        least_count=row.least_count,
        when=row.when,
        effect=row.effect,
        condition=row.condition_class,
        urgency=row.urgency_class,
        recommendation=row.recommendation_class,
        source=row.source,
        needs=tuple(row.needs),
        otherwise=row.otherwise,
    )


def rules_of(studio: Studio) -> tuple[Rule, ...]:
    """Return the studio's rules that are in use, in their order; the shipped ones if it has none.

    A studio has none as long as its copy was never made: see `add_shipped_rules`.
    """
    rows = list(studio.class_rules.select_related("kind"))
    if not rows:
        return shipped_rules()
    return tuple(rule_of(row) for row in rows if row.in_use)


def rules_with(row: ClassRule) -> tuple[Rule, ...]:
    """Return the studio's rules as they would be with `row` saved as it is, new or changed."""
    rows = [
        each
        for each in row.studio.class_rules.select_related("kind")
        if each.in_use and each.pk != row.pk
    ]
    if row.in_use:
        rows.append(row)
    rows.sort(key=lambda each: (each.order, each.code))
    return tuple(rule_of(each) for each in rows)


def place_last(row: ClassRule) -> None:
    """Give a new rule its place after all others of the studio, and a code of its own."""
    highest = row.studio.class_rules.aggregate(highest=Max("order"))["highest"]
    row.order = 1 + (highest or 0)
    start = f"{row.kind.code if row.kind else 'every-kind'}-own"[:LONGEST_CODE]
    row.code = f"{start}-{row.order}"


@transaction.atomic
def add_shipped_rules(studio: Studio) -> list[ClassRule]:
    """Give the studio those shipped rules that it lacks, and return them; what it has stays.

    A rule for a kind of finding that the studio does not have is passed over.
    """
    there = set(studio.class_rules.values_list("code", flat=True))
    kinds = {kind.code: kind for kind in studio.finding_kinds.all()}
    return ClassRule.objects.bulk_create(
        _row(studio, rule, kinds, place)
        for place, rule in enumerate(shipped_rules(), start=1)
        if rule.code not in there and (not rule.kind or rule.kind in kinds)
    )


def _row(studio: Studio, rule: Rule, kinds: Mapping[str, FindingKind], place: int) -> ClassRule:
    return ClassRule(
        studio=studio,
        code=rule.code,
        kind=kinds.get(rule.kind),
        extent=rule.extent,
        unit=rule.unit,
        at_least=rule.at_least,
        share_at_least=rule.share_at_least,
        least_count=rule.least_count,
        when=rule.when,
        effect=rule.effect,
        condition_class=rule.condition,
        urgency_class=rule.urgency,
        recommendation_class=rule.recommendation,
        reason=rule.reason,
        source=rule.source,
        needs=list(rule.needs),
        otherwise=rule.otherwise,
        order=place,
    )


def _rule_from(entry: Mapping[str, Any]) -> Rule:
    effect, said = (SETS, entry.get("gives")) if "gives" in entry else (RAISES, entry.get("raises"))
    levels = str(said).split()
    if len(levels) != len(CLASSES):
        raise ValueError(f"the rule {entry.get('code')} gives three classes, not {said}")
    classes: dict[str, Any] = {
        name: None if level == UNTOUCHED else int(level)
        for name, level in zip(CLASSES, levels, strict=True)
    }
    return Rule(
        code=entry["code"],
        reason=entry["reason"],
        effect=effect,
        at_least=_number(entry.get("at_least")),
        share_at_least=_number(entry.get("share_at_least")),
        least_count=entry.get("least_count"),
        needs=tuple(entry.get("needs", ())),
        **{name: entry.get(name, "") for name in TEXTS},
        **classes,
    )


def _number(value: Any) -> Decimal | None:
    return None if value is None else Decimal(value)
