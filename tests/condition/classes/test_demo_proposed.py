"""Every finding of the demo's later survey has classes proposed, and no danger goes unsaid."""

import csv
from decimal import Decimal

import pytest

from condition.compute.classes.propose import propose
from condition.compute.classes.situation import Situation
from condition.services.class_rules import shipped_rules
from tests.condition.classes.told import KINDS, ROOT

GROUPS = {entry["code"]: entry["group"] for entry in KINDS.values()}


def rows_of(year):
    with (ROOT / "fixtures" / "demo" / "findings.csv").open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if row["survey"] == year]


def situation(row) -> Situation:
    """What the row itself says; growth and fixings are read from the records, not from here."""
    return Situation(
        row["kind"],
        GROUPS[row["kind"]],
        extent=row["extent"],
        amount=Decimal(row["amount"]) if row["amount"] else None,
        unit=row["unit"],
        of_total=int(row["of"]) if row["of"] else None,
        part=row["part"],
        water=row["water"] == "yes",
        hazard=row["can it come down"] in ("now", "could"),
        falls_now=row["can it come down"] == "now",
        people_below=True,
        diagnosed=bool(row["diagnosis"]),
    )


@pytest.mark.parametrize("row", rows_of("2026"), ids=lambda row: row["finding"])
def test_each_is_proposed_all_three_classes_with_reasons(row):
    proposal = propose(situation(row), shipped_rules())
    assert None not in proposal.levels
    assert proposal.reasons
    if row["can it come down"] == "now":
        assert proposal.urgency == 3
