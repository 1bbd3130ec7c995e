"""An estimate with figures that can be followed by hand, for the tests of its pages."""

from decimal import Decimal

from tests.factories import (
    ActionKindFactory,
    EstimateFactory,
    LabourRateFactory,
    NormFactory,
    OpeningFactory,
    RateBookFactory,
    RepairActionFactory,
    SharedCostFactory,
    SurveyFactory,
)


def priced_estimate(building, **fields):
    """4 joints at nII: (0.5 + 4 x 0.25) h x 61.37 = 92.055 cost; x 1.173 x 1.091 = 117.81.

    A tower at 801.30 cost: 1025.46. Contingency 10 % of 1143.27: 114.33.
    Tax 5 % of 1257.60: 62.88. Total 1320.48.
    """
    book = RateBookFactory(
        studio=building.studio,
        name="Rates of 2026",
        overhead=Decimal("17.3"),
        profit=Decimal("9.1"),
        tax=Decimal("5"),
        tax_name="Sales tax",
    )
    kind = ActionKindFactory(
        studio=building.studio, name="Resolder joints", cautions=["lead"], step="in place"
    )
    LabourRateFactory(rate_book=book, trade="glazier", hourly=Decimal("61.37"))
    NormFactory(rate_book=book, action_kind=kind)
    estimate = EstimateFactory(
        **{
            "building": building,
            "rate_book": book,
            "survey": SurveyFactory(building=building),
            "title": "Repairs on the north side",
            "contingency": Decimal(10),
            "contingency_reason": "seen from the floor",
            **fields,
        }
    )
    opening = OpeningFactory(building=building, number="nII")
    RepairActionFactory(estimate=estimate, kind=kind, opening=opening)
    SharedCostFactory(estimate=estimate, amount=Decimal("801.30"))
    return estimate


# What only the studio may read: rate, cost of the action and of the tower, overhead, profit, hours.
COST_FIGURES = ("61.37", "92.06", "92.055", "801.30", "17.3", "9.1 ", "9.1%", "Overhead of")
