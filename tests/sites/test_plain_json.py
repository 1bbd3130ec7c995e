"""JSON from outside is read, or refused by one kind of error."""

import pytest

from sites.compute.plain_json import plain_json


def test_plain_json_is_read():
    assert plain_json('[[1, 2.5], {"a": null}]') == [[1, 2.5], {"a": None}]


@pytest.mark.parametrize("text", ["", "[", "[" * 100_000, "NaN", "[-Infinity]", "{'a': 1}"])
def test_anything_else_is_a_value_error(text):
    with pytest.raises(ValueError):  # noqa: PT011
        plain_json(text)
