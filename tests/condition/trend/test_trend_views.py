"""The page of a finding whose chain was counted, whatever of it can be compared."""

from datetime import date
from decimal import Decimal

import pytest

from tests.condition.trend.two_surveys import Visits
from tests.factories import FindingFactory, FindingKindFactory, OpeningFactory, SurveyFactory

pytestmark = pytest.mark.django_db


def test_seven_months_between_two_readings_are_not_called_a_year(building, reader):
    visits = Visits(building)
    first = visits.bowed(date(2025, 10, 1), 14)
    last = visits.bowed(date(2026, 5, 12), 22, first)
    page = reader.get(last.get_absolute_url()).content.decode()
    assert "From 14 mm to 22 mm in 7 months: more than both may be off." in page


@pytest.mark.parametrize("codes", [("loose-item",) * 2, ("item-fixing-failed", "loose-item")])
def test_a_chain_of_which_nothing_can_be_compared_still_has_its_page(building, reader, codes):
    opening, earlier = OpeningFactory(building=building), None
    for year, code in zip((2015, 2026), codes, strict=True):
        kind = building.studio.finding_kinds.filter(code=code).first()
        earlier = FindingFactory(
            survey=SurveyFactory(building=building, day=date(year, 6, 1)),
            opening=opening,
            kind=kind or FindingKindFactory(studio=building.studio, code=code),
            amount=Decimal(1),
            unit="count",
            of_total=4,
            continues=earlier,
        )
    assert reader.get(earlier.get_absolute_url()).status_code == 200
