"""Quantities as the reader's units write them."""

import pytest

from sites.models.choices import Units
from sites.templatetags.quantities import area, four_places, mass, run_length, side, two_places
from sites.templatetags.trade import origin_name

SP811 = pytest.mark.published("NIST SP 811, appendix B: 1 ft = 0.3048 m, 1 lb = 0.45359237 kg")


@SP811
@pytest.mark.parametrize(
    ("tag", "value", "metric", "inches"),
    [
        (area, 483_000.0, "0.483 m²", "5.20 ft²"),
        (area, 92_903.04, "0.093 m²", "1.00 ft²"),
        (run_length, 8280.0, "8.28 m", "27' 2\""),
        (run_length, 304.8, "0.30 m", "1' 0\""),
        (side, 690.2, "690 mm", '27 3/16"'),
        (mass, 6.94, "6.9 kg", "6.9 kg (15 lb)"),
        (mass, 0.45359237, "0.5 kg", "0.5 kg (1 lb)"),
    ],
)
def test_a_quantity_is_written_in_the_readers_units(tag, value, metric, inches):
    assert tag(value) == tag(value, Units.METRIC) == metric
    assert tag(value, Units.INCH) == inches


def test_plain_figures_keep_their_places():
    assert four_places(0.21205) == "0.2120"
    assert two_places(4.0249) == "4.02"
    assert two_places(4.025) == "4.03"


def test_where_a_figure_came_from_is_said_in_words():
    assert origin_name("default") == "usual value"
    assert origin_name("unheard of") == "unheard of"
