"""The working kept beside every computed figure."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sites.compute.working import ORIGINS, Input, Working, WorkingError

INPUTS = st.builds(Input, st.text(), st.text(), st.sampled_from(ORIGINS), st.text())
WORKINGS = st.builds(
    Working, st.text(), st.lists(INPUTS, max_size=4).map(tuple), st.text(), st.text(), st.text()
)


@given(WORKINGS)
def test_a_working_survives_json(working):
    assert Working.from_dict(json.loads(json.dumps(working.as_dict()))) == working


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"formula": 3}, "'formula' as text"),
        ({"result": None}, "'result' as text"),
        ({"inputs": "none"}, "as a list"),
        ({"inputs": [3]}, "as a list"),
        ({"inputs": [{"name": "height", "value": "3 m", "origin": "guessed"}]}, "not 'guessed'"),
        ({"inputs": [{"name": "height", "origin": "measured"}]}, "'value' as text"),
    ],
)
def test_a_damaged_working_is_refused(change, says):
    kept = Working("height x width", (), "1 m").as_dict() | change
    with pytest.raises(WorkingError) as refusal:
        Working.from_dict(kept)
    assert says in str(refusal.value)
