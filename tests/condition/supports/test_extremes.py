"""Bars as odd as anybody may record them: always told in words, never an error."""

from math import isfinite
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from condition.compute.supports.checks import BarFacts, check_bar
from condition.services.supports import BarTold
from condition.views.support_rows import bar_row
from sites.models import Bar
from sites.models.choices import BarMaterial, BarSection
from tests.condition.supports.bars import figures, pressing
from tests.properties import examples

LENGTH = st.one_of(st.none(), st.floats(0.01, 100_000))


@examples(60)
@given(
    span=LENGTH,
    below=LENGTH,
    above=LENGTH,
    width=LENGTH,
    depth=LENGTH,
    shape=st.sampled_from(["", *BarSection.values]),
    material=st.sampled_from(["", *BarMaterial.values]),
    pascal=st.floats(1e-6, 1e5),
)
def test_any_bar_is_told(span, below, above, width, depth, shape, material, pascal):
    facts = BarFacts(span, below, above, shape, width, depth, material)
    check = check_bar(facts, pressing(pascal), figures())
    bar = Bar(
        section=shape,
        material=material,
        height_mm=450,
        height_typed="450",
        width_typed="",
        depth_typed="",
    )
    told = BarTold(bar, 1, check)
    supports = SimpleNamespace(figures=figures())
    for units in ("metric", "inch"):
        row = bar_row(told, supports, units)
        assert row.deflection or row.missing or row.trouble
    if check.bending:
        for value in (check.bending.greatest_span_mm, check.bending.greatest_carried_mm):
            assert isfinite(value)
            assert value > 0


@pytest.mark.parametrize("share", [0.5, 2.0])
def test_a_stronger_wind_never_bends_a_bar_less(share):
    facts = BarFacts(600, 380, 380, "flat", 25, 6, "bronze")
    calm = check_bar(facts, pressing(600), figures()).bending
    other = check_bar(facts, pressing(600 * share), figures()).bending
    assert other.deflection_mm / calm.deflection_mm == pytest.approx(share)
    assert other.greatest_carried_mm * share == pytest.approx(calm.greatest_carried_mm)
