"""Each danger situation of the table comes out as it was written down before the rules."""

import pytest

from condition.compute.danger.state import Standing
from tests.condition.danger.test_situations_are_complete import SITUATIONS
from tests.condition.danger.told import Told, day


def today_words(told: Told) -> str:
    if not told.is_asked:
        return "no danger asked"
    state = told.state()
    held = state.is_held and state.standing in (Standing.DANGER, Standing.LET_IN)
    return f"{state.standing}, held" if held else str(state.standing)


@pytest.mark.parametrize(
    "situation", SITUATIONS, ids=[str(number) for number in range(1, len(SITUATIONS) + 1)]
)
def test_it_stands_as_written(situation):
    told = Told(situation)
    state = told.state()
    assert told.refused == situation.get("refused", [])
    assert today_words(told) == situation["today"]
    assert (state.urgency_at_least if told.is_asked else 0) == situation["urgency_at_least"]
    if not told.is_asked:
        return
    assert bool(state.overdue) == situation.get("look_overdue", False)
    assert (told.notices > 0) == situation.get("shut", False)
    open_words = situation["today"] not in ("ended", "no danger asked", "answered no")
    if open_words:
        assert state.not_answered == situation.get("not_answered", False)


def test_a_look_is_due_until_somebody_looked_and_then_by_the_new_day():
    told = Told(
        {
            "kind": "loose-item", "side": "inside", "under": "people", "falls": "now",
            "then": ["day 0: held, fixed to bar, look by day 30"], "asked": 25,
        }
    )  # fmt: skip
    assert told.state().look_due(day(24)) is None
    assert told.state().look_due(day(30)) == day(30)
    assert told.state(day(31)).look_due(day(31)) == day(30)
    assert told.take(day(31), "holds, seen, look by day 60")
    assert told.state(day(32)).look_due(day(39)) is None
    assert told.take(day(33), "end mended by glazier from ladder")
    assert told.state(day(90)).look_due(day(90)) is None


def test_a_danger_is_open_since_the_first_answer_that_counts_after_the_last_no():
    told = Told(
        {
            "kind": "loose-item", "side": "inside", "under": "people", "falls": "could",
            "then": ["day 5: falls no, because pulled, steady", "day 9: falls now"], "asked": 20,
        }
    )  # fmt: skip
    assert told.state(day(3)).open_since == day(0)
    assert told.state(day(6)).open_since is None
    assert told.state().open_since == day(9)
