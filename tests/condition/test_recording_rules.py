"""What the rules of a finding ask and refuse, apart from any way in: form, answer or folder."""

from dataclasses import replace
from decimal import Decimal

import pytest

from condition.compute.recording.classes import Grounds, judged_problems
from condition.compute.recording.facts import Context, FindingData, KnownKind, KnownSurvey
from condition.compute.recording.findings import completed, finding_problems

BOW = KnownKind("Bowed panel", ("mm out of plane",))
TIE = KnownKind("Broken tie", ("count",), danger_when_all=True)
KNOWN = Context(
    surveys={"s": KnownSurvey("2026-05-12", None)},
    openings={"nII": "nII", "nV": "nV"},
    over_people=frozenset({"nII"}),
    kinds={"bow": BOW, "tie": TIE},
)
FOUND = FindingData(survey="s", opening="nII", kind="bow")
DANGER = Grounds(hazard=True, people_below=True, diagnosed=False)
ASLEEP = replace(DANGER, people_below=False)
NO_DANGER = replace(DANGER, hazard=False)


def refused(**said):
    data = completed(replace(FOUND, **said), KNOWN)
    return {each.field: str(each) for each in finding_problems(data, KNOWN)}


def judged(levels, grounds, reason=""):
    return [(each.field, str(each)) for each in judged_problems(levels, grounds, reason)]


def test_a_depth_without_its_unit_is_one_out_of_plane():
    assert refused(amount=Decimal(22)) == {}


def test_a_bow_in_plain_mm_is_refused_with_words_that_say_what_to_give():
    said = refused(amount=Decimal(22), unit="mm")
    assert list(said) == ["unit"]
    assert "how far it is out of flat, in mm out of plane, and over what span" in said["unit"]


def test_a_bow_that_lies_throughout_asks_for_its_depth_or_that_it_was_not_reached():
    said = refused(extent="throughout")
    assert list(said) == ["amount"]
    assert "or say that it was not reached" in said["amount"]
    assert refused(extent="throughout", not_measured="not reached") == {}
    assert refused(extent="throughout", amount=Decimal(22)) == {}
    assert refused(extent="isolated") == {}


def test_what_is_measured_is_not_unmeasured_as_well():
    said = refused(amount=Decimal(22), not_measured="not reached")
    assert list(said) == ["not_measured"]


@pytest.mark.parametrize(
    ("of_total", "answer", "asked"), [(9, None, False), (3, None, True), (3, "no", False)]
)
def test_whether_a_panel_can_come_down_is_asked_where_all_its_ties_are_broken(
    of_total, answer, asked
):
    tie = {"kind": "tie", "amount": Decimal(3), "unit": "count", "answer": answer}
    data = completed(replace(FOUND, **tie, of_total=of_total), KNOWN)
    assert (data.answer == "") == asked


@pytest.mark.parametrize(
    ("levels", "boxes"),
    [
        ((0, 3, 2), ["condition_class"]),
        ((2, 0, 2), ["urgency_class"]),
        ((2, None, 0), ["recommendation_class"]),
        ((2, 3, 0), ["recommendation_class"]),
        ((0, 0, 0), ["condition_class", "urgency_class", "recommendation_class"]),
        ((1, 2, 1), []),
        ((None, None, None), []),
    ],
)
def test_a_danger_over_people_is_not_belittled(levels, boxes):
    assert [box for box, _text in judged(levels, DANGER, "All the same.")] == boxes


@pytest.mark.parametrize("grounds", [DANGER, ASLEEP, NO_DANGER])
def test_what_is_urgent_needs_a_measure(grounds):
    boxes = [box for box, _text in judged((1, 1, 0), grounds, "All the same.")]
    assert boxes == ["recommendation_class"]
    assert not judged((1, 0, 0), NO_DANGER)


@pytest.mark.parametrize(
    ("levels", "grounds", "words"),
    [
        ((3, 0, 1), NO_DANGER, "why maintenance is enough for major symptoms"),
        ((2, 1, 2), DANGER, "why that is not for the short term"),
        ((1, 0, 1), ASLEEP, "why that is not for the short term"),
    ],
)
def test_what_can_be_but_is_seldom_so_wants_a_reason(levels, grounds, words):
    ((box, text),) = judged(levels, grounds)
    assert box == "classes_reason"
    assert words in text
    assert judged(levels, grounds, "Stable since 1950.") == []


def test_a_finding_is_held_to_what_stands_below_its_opening():
    said = {"answer": "now", "condition_class": 2, "urgency_class": 0, "classes_reason": "Roof."}
    assert list(refused(**said)) == ["urgency_class"]
    assert refused(**said, opening="nV") == {}
