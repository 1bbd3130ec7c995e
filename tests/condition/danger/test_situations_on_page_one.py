"""Each danger situation of the table stands on page one where it was written down to stand."""

from types import SimpleNamespace

import pytest

from condition.documents.page_one import DANGER, LET_IN, TAKEN, group_of
from tests.condition.danger.test_situations_are_complete import SITUATIONS
from tests.condition.danger.told import Told

pytestmark = pytest.mark.one_engine


@pytest.mark.parametrize(
    "situation", SITUATIONS, ids=[str(number) for number in range(1, len(SITUATIONS) + 1)]
)
def test_it_stands_on_page_one_as_written(situation):
    told, words = Told(situation), situation["page_one"]
    state = told.state()
    held_by = state.held_by.facts.measure if state.held_by else ""
    group = group_of(SimpleNamespace(standing=state.standing, held_by=held_by))
    if not told.is_asked or words.startswith("not listed"):
        assert group == "" or not told.is_asked
    elif words.startswith("on its own line"):
        assert group == LET_IN
    else:
        assert group in (DANGER, TAKEN)
    if "nothing holds it" in words:
        assert not held_by
    if "look again" in words:
        assert held_by
