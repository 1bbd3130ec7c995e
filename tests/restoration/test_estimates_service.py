"""Starting estimates, and findings that become actions."""

import datetime as dt
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from restoration.compute.quantities import Seen, suggested_quantity, together
from restoration.models import NormMaterial, RepairAction
from restoration.services.estimates import (
    ChosenAction,
    add_actions,
    findings_to_price,
    next_action_number,
    start_estimate,
    suggestions_for,
    taken_in,
    usual_cautions,
    usual_option,
    usual_rate_book,
)
from restoration.services.pricing import price
from tests.factories import (
    ActionKindFactory,
    AttachedItemFactory,
    BuildingFactory,
    EstimateFactory,
    FindingFactory,
    FindingKindFactory,
    MaterialFactory,
    OpeningFactory,
    PanelFactory,
    RateBookFactory,
    RepairActionFactory,
    SurveyFactory,
)
from tests.restoration.priced import priced_estimate

PRACTICE = pytest.mark.published("common practice, no source")


@PRACTICE
@pytest.mark.parametrize(
    ("unit", "seen", "quantity"),
    [
        ("joint", Seen("panel", Decimal(6), "count"), "6"),
        ("tie", Seen("opening", Decimal(3), "count"), "3"),
        ("m", Seen("panel", Decimal(1250), "mm"), "1.25"),
        ("m2", Seen("panel", Decimal(40), "percent of area", Decimal(750_000)), "0.3"),
        ("piece", Seen("panel", Decimal(10), "percent of pieces", None, 58), "6"),
        ("panel", Seen("panel", Decimal(22), "mm out of plane"), "1"),
        ("item", Seen("item", None, ""), "1"),
        ("visit", Seen("opening", None, ""), "1"),
        ("joint", Seen("panel", None, ""), None),
        ("joint", Seen("panel", Decimal(200), "mm"), None),
        ("m2", Seen("panel", Decimal(40), "percent of area"), None),
        ("panel", Seen("opening", None, ""), None),
        ("joint", Seen("panel", Decimal(0), "count"), None),
    ],
)
def test_a_first_quantity_comes_from_what_the_finding_measured(unit, seen, quantity):
    suggested = suggested_quantity(unit, seen)
    assert suggested == (None if quantity is None else Decimal(quantity))


@pytest.mark.parametrize(
    ("unit", "quantities", "expected"),
    [("joint", [4, 2], 6), ("panel", [1, 1], 1), ("joint", [4, None], None), ("m2", [2], 2)],
)
def test_one_action_for_several_findings_adds_up_what_is_counted(unit, quantities, expected):
    assert together(unit, quantities) == expected


@pytest.fixture
def studio(building):
    return building.studio


@pytest.fixture
def survey(building):
    return SurveyFactory(building=building)


@pytest.fixture
def estimate(building, survey):
    return EstimateFactory(building=building, survey=survey)


def choice(finding, kind, quantity="2", option="advised", phase=1):
    amount = None if quantity is None else Decimal(quantity)
    return ChosenAction(finding, kind, amount, option, phase)


def test_an_estimate_starts_with_the_contingency_of_its_rate_book(building, survey):
    book = RateBookFactory(studio=building.studio, contingency=Decimal(15))
    estimate = start_estimate(building=building, survey=survey, rate_book=book, title="Repairs")
    estimate.refresh_from_db()
    assert estimate.contingency == 15
    assert estimate.contingency_reason
    assert book.name not in estimate.contingency_reason


def test_a_book_without_contingency_needs_no_reason(building):
    book = RateBookFactory(studio=building.studio, contingency=0)
    estimate = start_estimate(building=building, survey=None, rate_book=book, title="Repairs")
    assert estimate.contingency_reason == ""


def test_the_usual_rate_book_is_the_newest_in_force_in_the_buildings_currency(building, studio):
    day = dt.date(2026, 6, 1)
    RateBookFactory(studio=studio, valid_from=dt.date(2026, 5, 1), currency="EUR")
    in_dollars = RateBookFactory(studio=studio, valid_from=dt.date(2026, 1, 1))
    RateBookFactory(studio=studio, valid_from=dt.date(2025, 1, 1))
    RateBookFactory(studio=studio, valid_from=dt.date(2027, 1, 1))
    RateBookFactory(valid_from=dt.date(2026, 5, 30))
    assert usual_rate_book(studio, "USD", day) == in_dollars
    assert usual_rate_book(studio, "CHF", day).currency == "EUR"
    assert usual_rate_book(BuildingFactory().studio, "USD", day) is None


def test_actions_are_numbered_on_from_the_last(estimate):
    RepairActionFactory(estimate=estimate, number=7)
    with transaction.atomic():
        assert next_action_number(estimate) == 8


def test_the_same_number_twice_is_refused_by_the_database(estimate):
    RepairActionFactory(estimate=estimate, number=7)
    with pytest.raises(IntegrityError), transaction.atomic():
        RepairActionFactory(estimate=estimate, number=7)


def test_many_findings_become_many_actions_at_once(estimate, survey, building, studio):
    joints = ActionKindFactory(studio=studio)
    ties = ActionKindFactory(studio=studio, unit="tie")
    panel = PanelFactory(opening=OpeningFactory(building=building))
    on_panel = FindingFactory(survey=survey, opening=panel.opening, panel=panel)
    at_opening = FindingFactory(survey=survey)
    made = add_actions(
        estimate, [choice(on_panel, joints), choice(on_panel, ties), choice(at_opening, joints)]
    )
    assert [action.number for action in made] == [1, 2, 3]
    rows = RepairAction.objects.filter(estimate=estimate).order_by("number")
    assert [row.kind for row in rows] == [joints, ties, joints]
    assert [row.panel for row in rows] == [panel, panel, None]
    assert [row.opening for row in rows] == [panel.opening, panel.opening, at_opening.opening]
    assert [list(row.findings.all()) for row in rows] == [[on_panel], [on_panel], [at_opening]]


def test_two_findings_on_one_panel_take_it_out_once(estimate, survey, building, studio):
    bench = ActionKindFactory(studio=studio, unit="panel", step="on the bench")
    panel = PanelFactory(opening=OpeningFactory(building=building))
    on_it = {"survey": survey, "opening": panel.opening, "panel": panel}
    bowed, cracked = FindingFactory(**on_it), FindingFactory(**on_it)
    [action] = add_actions(
        estimate,
        [choice(bowed, bench, "1", "advised", 2), choice(cracked, bench, "1", "must", 1)],
    )
    assert action.quantity == 1
    assert (action.option, action.phase) == ("must", 1)
    assert set(action.findings.all()) == {bowed, cracked}


def test_nothing_is_kept_of_a_choice_the_database_refuses(estimate, survey, studio):
    kind = ActionKindFactory(studio=studio)
    good = FindingFactory(survey=survey)
    elsewhere = FindingFactory()
    with pytest.raises(IntegrityError):
        add_actions(estimate, [choice(good, kind), choice(elsewhere, kind)])
    assert not estimate.actions.exists()


def test_suggestions_are_those_of_the_finding_kind_mildest_first(survey, studio, estimate):
    mild = ActionKindFactory(studio=studio, code="mild", unit="visit")
    strong = ActionKindFactory(studio=studio, code="strong", unit="joint")
    kind = FindingKindFactory(studio=studio, actions=[mild, strong])
    finding = FindingFactory(survey=survey, kind=kind, amount=4, unit="count")
    RepairActionFactory(estimate=estimate, kind=mild, opening=finding.opening)
    [found] = findings_to_price(estimate)
    suggested = suggestions_for([found], taken_in(estimate))[finding.pk]
    assert [(each.kind, each.quantity, each.already) for each in suggested] == [
        (mild, 1, True),
        (strong, 4, False),
    ]


def test_an_item_is_its_own_subject(survey, studio, building, estimate):
    refix = ActionKindFactory(studio=studio, code="refix", unit="item")
    kind = FindingKindFactory(studio=studio, actions=[refix])
    item = AttachedItemFactory(opening=OpeningFactory(building=building))
    FindingFactory(survey=survey, kind=kind, opening=item.opening, attached_item=item)
    [found] = findings_to_price(estimate)
    [suggestion] = suggestions_for([found], taken_in(estimate))[found.pk]
    assert suggestion.quantity == 1


@PRACTICE
@pytest.mark.parametrize(
    ("fields", "option"),
    [
        ({"hazard": True, "urgency_class": 0}, "must"),
        ({"urgency_class": 3}, "must"),
        ({"urgency_class": 2}, "advised"),
        ({}, "advised"),
        ({"urgency_class": 0}, "if funds allow"),
    ],
)
def test_how_pressing_an_action_starts_follows_the_finding(survey, fields, option):
    assert usual_option(FindingFactory(survey=survey, **fields)) == option


def test_without_a_survey_the_findings_still_standing_are_offered(building, survey):
    before = FindingFactory(survey=SurveyFactory(building=building, day=dt.date(2015, 6, 9)))
    after = FindingFactory(
        survey=survey, opening=before.opening, kind=before.kind, continues=before
    )
    alone = FindingFactory(survey=before.survey)
    without = EstimateFactory(building=building, survey=None)
    assert set(findings_to_price(without)) == {after, alone}
    with_survey = EstimateFactory(building=building, survey=before.survey)
    assert set(findings_to_price(with_survey)) == {before, alone}


def test_each_caution_is_named_once(studio):
    kinds = [
        ActionKindFactory(studio=studio, cautions=["lead", "hot-work"]),
        ActionKindFactory(studio=studio, cautions=["lead", "lead-waste"]),
    ]
    codes = [caution["code"] for caution in usual_cautions(kinds)]
    assert sorted(codes) == ["hot-work", "lead", "lead-waste"]


@pytest.mark.django_db
def test_an_estimate_is_priced_with_the_book_s_materials_and_its_own_contingency(building):
    """4 joints take 2 kg each at 30.00 and 5 % of waste: 252.00."""
    estimate = priced_estimate(building, contingency=Decimal(7))
    material = MaterialFactory(rate_book=estimate.rate_book)
    kind = estimate.actions.get().kind
    NormMaterial.objects.create(
        rate_book=estimate.rate_book, action_kind=kind, material=material, quantity_per_unit=2
    )
    priced = price(estimate)
    assert priced.lines[0].cost.material == Decimal(252)
    assert (priced.contingency.percent, priced.contingency.reason) == (7, "seen from the floor")
