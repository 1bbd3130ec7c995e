"""How a quantity of work is written for one who measures in millimetres or in inches."""

from decimal import Decimal

import pytest

from restoration.documents.work import quantity_words


@pytest.mark.published("NIST SP 811 appendix B.8: 1 ft is 0.3048 m exactly")
@pytest.mark.parametrize(
    ("quantity", "unit", "units", "words"),
    [
        ("0.42", "m2", "metric", "0.42 m²"),
        ("0.42", "m2", "inch", "0.42 m² (4.5 ft²)"),
        ("3.048", "m", "inch", "3.048 m (10 ft)"),
        ("1", "joint", "inch", "1 joint"),
        ("4", "joint", "inch", "4 joints"),
    ],
)
def test_a_metre_is_told_in_feet_to_who_measures_in_inches(quantity, unit, units, words):
    assert quantity_words(Decimal(quantity), unit, units) == words


def test_an_unknown_quantity_is_not_written():
    assert quantity_words(None, "m", "inch") == ""
