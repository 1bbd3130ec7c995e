"""Estimates: worked by hand, refused by name, and seen from two sides."""

from dataclasses import asdict, replace
from decimal import Decimal

import pytest

from restoration.compute.estimate import price_estimate
from restoration.compute.estimate_inputs import (
    ActionInput,
    EstimateError,
    LabourUse,
    MaterialUse,
    Percentages,
    SharedLine,
    missing_quantities,
)
from restoration.compute.estimate_lines import OpeningSubtotal, OptionSubtotal, PhaseSubtotal
from restoration.compute.estimate_views import client_lines, client_view, studio_view
from restoration.compute.money import CurrencyError

SOLDER = MaterialUse(
    code="SO60",
    name="Solder 60/40",
    unit="kg",
    quantity_per_unit=Decimal("0.012"),
    waste_percent=Decimal(10),
    price_per_unit=Decimal("62.50"),
)
GLAZIER = LabourUse(
    trade="Glazier",
    hours_per_unit=Decimal("0.25"),
    setup_hours=Decimal("0.5"),
    hourly_rate=Decimal("48.00"),
)
RESOLDER = ActionInput(
    key="a1",
    opening="nII",
    opening_order=2,
    subject="panel 3b",
    description="Solder failed joints in place",
    plain="Mend the joints between the leads",
    unit="joint",
    quantity=Decimal(14),
    labour=(GLAZIER,),
    materials=(SOLDER,),
    difficulty=Decimal("1.2"),
    lump_sum=None,
    lump_sum_reason="",
    option="must",
    phase=1,
)
REFIX = replace(
    RESOLDER,
    key="a2",
    opening="sIV",
    opening_order=4,
    subject="plaque P1",
    description="Refix the dedication plaque",
    unit="item",
    quantity=None,
    labour=(),
    materials=(),
    difficulty=Decimal(1),
    lump_sum=Decimal("185.00"),
    lump_sum_reason="Agreed with the family on site",
    option="advised",
    phase=2,
)
TOWER = SharedLine("s1", "access", "Access tower, one visit", Decimal("420.00"), 1)
PERCENTAGES = Percentages(
    overhead=Decimal(15),
    profit=Decimal(10),
    contingency=Decimal(5),
    tax=Decimal(20),
    tax_name="VAT",
    contingency_reason="Seen from a tower",
)


def price(actions=(RESOLDER, REFIX), shared=(TOWER,), percentages=PERCENTAGES, currency="GBP"):
    return price_estimate(actions, shared, percentages, currency)


# Worked by hand.
# Joints: hours (0.5 + 14 x 0.25) x 1.2 = 4.8; labour 4.8 x 48 = 230.40;
#   solder 14 x 0.012 x 1.1 = 0.1848 kg, x 62.50 = 11.55; cost 241.95;
#   x 1.15 = 278.2425, x 1.10 = 306.06675, printed 306.07.
# Plaque: lump sum 185.00, no mark-up. Tower: 420 x 1.15 x 1.10 = 531.30, once.
# Lines 306.07 + 185.00 + 531.30 = 1022.37; contingency 5 % = 51.1185, printed 51.12;
# net 1073.49; tax 20 % = 214.698, printed 214.70; total 1288.19.
def test_an_estimate_worked_by_hand():
    estimate = price()
    joints, plaque = estimate.lines
    assert joints.cost is not None
    assert joints.cost.hours == Decimal("4.8")
    assert joints.cost.labour == Decimal("230.40")
    assert joints.cost.material == Decimal("11.55")
    assert joints.cost.total == Decimal("241.95")
    assert joints.price == Decimal("306.07")
    assert (plaque.price, plaque.cost, plaque.is_lump_sum) == (Decimal("185.00"), None, True)
    assert estimate.shared[0].price == Decimal("531.30")
    assert [str(amount) for amount in asdict(estimate.totals).values()] == [
        "491.07",
        "531.30",
        "1022.37",
        "51.12",
        "1073.49",
        "214.70",
        "1288.19",
    ]


# The same with no decimals: 306 + 185 + 531 = 1022, 51.1 -> 51, 1073, 214.6 -> 215, 1288.
# With three: 306.067 + 185 + 531.3 = 1022.367, 51.11835 -> 51.118, 1073.485, 214.697, 1288.182.
@pytest.mark.published("ISO 4217: JPY has no minor unit, KWD has three digits; from memory")
@pytest.mark.parametrize(
    ("currency", "tax", "total"), [("JPY", "215", "1288"), ("KWD", "214.697", "1288.182")]
)
def test_the_same_estimate_in_currencies_with_other_coins(currency, tax, total):
    totals = price(currency=currency).totals
    assert (str(totals.tax), str(totals.total)) == (tax, total)


def test_subtotals_of_the_estimate_worked_by_hand():
    estimate = price()
    assert estimate.openings == (
        OpeningSubtotal("nII", Decimal("306.07")),
        OpeningSubtotal("sIV", Decimal("185.00")),
    )
    assert estimate.phases == (
        PhaseSubtotal(1, Decimal("306.07"), Decimal("531.30"), Decimal("837.37")),
        PhaseSubtotal(2, Decimal("185.00"), Decimal("0.00"), Decimal("185.00")),
    )
    assert estimate.options == (
        OptionSubtotal("must", Decimal("306.07")),
        OptionSubtotal("advised", Decimal("185.00")),
    )


def test_a_phase_of_shared_costs_alone_has_its_subtotal():
    phases = price(shared=(replace(TOWER, phase=3),)).phases
    assert [(each.phase, str(each.total)) for each in phases] == [
        (1, "306.07"), (2, "185.00"), (3, "531.30")
    ]  # fmt: skip


def test_half_a_coin_on_a_line_goes_up():
    # 1 h x 2.665, no mark-up: 2.665, printed 2.67; its tax of 50 % is 1.335, printed 1.34.
    hour = LabourUse("Glazier", Decimal(1), Decimal(0), Decimal("2.665"))
    action = replace(
        RESOLDER, quantity=Decimal(1), labour=(hour,), materials=(), difficulty=Decimal(1)
    )
    plain = Percentages(Decimal(0), Decimal(0), Decimal(0), Decimal(50), "", "")
    estimate = price([action], [], plain, "USD")
    assert estimate.lines[0].price == Decimal("2.67")
    assert (estimate.tax.label, estimate.tax.amount) == ("Tax", Decimal("1.34"))


def test_lines_stand_by_phase_opening_option_and_key():
    actions = [
        replace(REFIX, key="d", phase=1, opening_order=9, option="must"),
        replace(REFIX, key="b", phase=1, opening_order=3, option="if funds allow"),
        replace(REFIX, key="c", phase=1, opening_order=3, option="must"),
        replace(REFIX, key="a", phase=1, opening_order=3, option="must"),
        replace(REFIX, key="e", phase=2, opening_order=1, option="must"),
    ]
    assert [line.key for line in price(actions).lines] == ["a", "c", "b", "d", "e"]


def test_openings_stand_in_their_order_whatever_their_phase():
    actions = [
        replace(REFIX, key="a", phase=1, opening="sIV", opening_order=4),
        replace(REFIX, key="b", phase=2, opening="nII", opening_order=2),
        replace(REFIX, key="c", phase=3, opening="sIV", opening_order=1),
    ]
    assert price(actions).openings == (
        OpeningSubtotal("sIV", Decimal("370.00")),
        OpeningSubtotal("nII", Decimal("185.00")),
    )


def test_each_price_carries_its_working():
    joints, plaque = price().lines
    inputs = {each.name: each for each in joints.working.inputs}
    assert inputs["quantity"].value == "14 joint"
    assert inputs["Glazier: hourly rate"].value == "48"
    assert inputs["Solder 60/40: waste"].value == "10 %"
    assert inputs["overhead"].value == "15 %"
    assert joints.working.result == "306.07 GBP"
    assert "without mark-up" in plaque.working.formula
    assert plaque.working.inputs[0].source == "Agreed with the family on site"


def test_the_working_says_where_the_quantity_comes_from():
    counted = replace(RESOLDER, quantity_origin="measured", quantity_source="survey of 3 May")
    quantity = price([counted]).lines[0].working.inputs[0]
    assert (quantity.origin, quantity.source) == ("measured", "survey of 3 May")


def test_an_estimate_of_nothing_is_nothing():
    assert str(price([], [], currency="KWD").totals.total) == "0.000"


def test_a_quantity_that_is_missing_is_named():
    unknown = replace(RESOLDER, quantity=None)
    other = replace(unknown, key="a0", subject="panel 1a")
    with pytest.raises(EstimateError) as refusal:
        price([unknown, REFIX, other])
    assert str(refusal.value) == (
        "Enter a quantity, or a lump sum with its reason, for: nII, panel 1a: Solder failed joints "
        "in place (quantity in joint); nII, panel 3b: Solder failed joints in place (quantity in "
        "joint)."
    )
    assert missing_quantities([unknown, REFIX, other]) == (other, unknown)
    assert missing_quantities([RESOLDER, REFIX]) == ()


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"quantity": Decimal(-1)}, "nII, panel 3b: Solder failed joints in place: the quantity"),
        ({"quantity": Decimal("NaN")}, "the quantity is NaN"),
        ({"quantity": Decimal(10**6 + 1)}, "from 0 to 1000000"),
        ({"quantity": Decimal("1E-61")}, "60 decimal places"),
        ({"difficulty": Decimal(0)}, "the difficulty is 0. It must be from 0.1 to 10"),
        ({"phase": 0}, "numbered from 1"),
        ({"option": "perhaps"}, '"perhaps" is no option'),
        ({"lump_sum": Decimal(-5), "lump_sum_reason": "gift"}, "the lump sum is -5"),
        ({"lump_sum": Decimal(5), "lump_sum_reason": " "}, "Enter the reason"),
        ({"labour": (), "materials": ()}, "priced at nothing"),
        ({"labour": (replace(GLAZIER, hourly_rate=Decimal(-48)),)}, "Glazier: the hourly rate"),
        ({"labour": (replace(GLAZIER, setup_hours=Decimal(-1)),)}, "the hours to set up"),
        ({"labour": (replace(GLAZIER, hours_per_unit=Decimal(-1)),)}, "hours for each unit"),
        ({"materials": (replace(SOLDER, waste_percent=Decimal(201)),)}, "the waste percentage"),
        ({"materials": (replace(SOLDER, quantity_per_unit=Decimal(-1)),)}, "for each unit is -1"),
        ({"materials": (replace(SOLDER, price_per_unit=Decimal(-1)),)}, "Solder 60/40: the price"),
    ],
)
def test_an_impossible_action_is_refused_by_name(change, says):
    with pytest.raises(EstimateError) as refusal:
        price([replace(RESOLDER, **change)])
    assert says in str(refusal.value)


@pytest.mark.parametrize(
    ("percentage", "value"),
    [("overhead", -1), ("overhead", 301), ("profit", 101), ("contingency", 101), ("tax", -1)],
)
def test_a_percentage_out_of_bounds_is_refused(percentage, value):
    with pytest.raises(EstimateError, match=f"The {percentage} percentage is {value}"):
        price(percentages=replace(PERCENTAGES, **{percentage: Decimal(value)}))


def test_other_impossible_estimates_are_refused():
    with pytest.raises(EstimateError, match="action a1 is in the estimate twice"):
        price([RESOLDER, RESOLDER])
    with pytest.raises(EstimateError, match="shared line s1 is in the estimate twice"):
        price(shared=[TOWER, TOWER])
    with pytest.raises(EstimateError, match="Access tower, one visit: the amount is -1"):
        price(shared=[replace(TOWER, amount=Decimal(-1))])
    with pytest.raises(EstimateError, match='"scaffold" is no kind'):
        price(shared=[replace(TOWER, kind="scaffold")])
    with pytest.raises(CurrencyError):
        price(currency="pounds")


def test_a_lump_sum_keeps_the_cost_where_it_can_be_reckoned():
    agreed = replace(RESOLDER, lump_sum=Decimal("300"), lump_sum_reason="Agreed")
    line = price([agreed]).lines[0]
    assert line.cost is not None
    assert (str(line.price), line.cost.total) == ("300.00", Decimal("241.95"))


def test_the_studio_sees_hours_costs_and_margin_of_what_can_be_reckoned():
    view = studio_view(price())
    assert view.hours == Decimal("4.8")
    assert view.cost == Decimal("661.95")  # 241.95 + 420
    assert view.price == Decimal("837.37")  # 306.07 + 531.30
    assert view.margin == Decimal("175.42")
    assert view.uncosted == ("a2",)


def test_the_client_sees_prices_and_no_costs():
    estimate = price()
    lines = client_lines(estimate)
    assert [(line.kind, line.price) for line in lines] == [
        ("action", Decimal("306.07")),
        ("action", Decimal("185.00")),
        ("access", Decimal("531.30")),
    ]
    told = repr(client_view(estimate)).lower()
    assert "306.07" in told
    for kept_back in ("cost", "overhead", "profit", "hours", "rate", "margin", "241.95", "agreed"):
        assert kept_back not in told
