"""The table a glazier can read: what is found, how much, how it lies, and what is proposed.

It stands in `situations.txt`. Where a test below names no source for it, a figure is a studio
default: common practice, no source.
"""

from pathlib import Path

import pytest

from condition.compute.classes.propose import propose
from condition.services.class_rules import shipped_rules
from tests.condition.classes.told import Told, table

TABLE = (Path(__file__).parent / "situations.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("told", table(TABLE), ids=lambda told: " ".join(told.words.split()))
def test_what_is_proposed_for(told: Told):
    proposal = propose(told.situation, shipped_rules())
    assert (proposal.levels, told.because in proposal.because) == (told.levels, True), (
        proposal.because
    )


def test_the_table_holds_sixty_situations_and_more():
    assert len(table(TABLE)) >= 60


def reasons(line: str):
    return propose(table(line)[0].situation, shipped_rules()).reasons


@pytest.mark.published("NPS Preservation Brief 33: a bulge over 1½ in (38 mm) out of flat")
def test_a_bow_over_38_mm_names_its_source():
    line = "Bowed panel | 39 mm out of flat over 900 mm | single |  | 3 1 2 |"
    assert "Preservation Brief 33" in reasons(line)[0].source


@pytest.mark.published("NPS Preservation Brief 33: more than 5 % of the glass broken")
def test_more_than_5_percent_broken_names_its_source():
    line = "Cracked glass | 6 of 100 | scattered |  | 3 1 2 |"
    assert "Preservation Brief 33" in reasons(line)[0].source


@pytest.mark.published("Irish guidance on stained glass, p. 15: buckling alone proves no releading")
@pytest.mark.parametrize("depth", [38, 60, 100, 400])
@pytest.mark.parametrize("diagnosed", ["", "diagnosed"])
def test_a_bow_alone_never_proposes_releading(depth, diagnosed):
    line = f"Bowed panel | {depth} mm out of flat over 760 mm | single | {diagnosed} | 0 0 0 |"
    assert propose(table(line)[0].situation, shipped_rules()).recommendation == 2


@pytest.mark.published("EN 16096:2012, from memory: RC 3 presupposes a diagnosis")
def test_a_major_intervention_waits_for_its_diagnosis():
    line = "Fatigued came | 30 % of area | throughout |  | 3 1 2 |"
    said = reasons(line)[-1]
    assert (said.source, said.touched) == ("EN 16096:2012, from memory", ("recommendation",))
