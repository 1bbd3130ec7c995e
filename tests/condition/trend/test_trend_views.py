"""The page of a finding whose chain was counted, whatever of it can be compared."""

from datetime import date
from decimal import Decimal

import pytest

from tests.factories import FindingFactory, FindingKindFactory, OpeningFactory, SurveyFactory

pytestmark = pytest.mark.django_db


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
