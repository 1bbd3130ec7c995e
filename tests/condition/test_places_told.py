"""What page one tells of the numbers it uses."""

import pytest

from condition.documents.places_told import how_numbered
from sites.models import AttachedItem, Opening, Panel


def windows(*numbers: str) -> list[Opening]:
    return [Opening(number=number) for number in numbers]


@pytest.mark.parametrize(
    ("numbers", "told", "left_out"),
    [
        (["I", "nII"], ["n is the north side"], ["s is", "w is", "capital letter"]),
        (["sIV", "NII"], ["s is the south side", "capital letter"], ["w is"]),
        (["wI"], ["w is the west wall"], ["n is the north"]),
    ],
)
def test_only_the_letters_that_occur_are_explained(numbers, told, left_out):
    text = how_numbered(windows(*numbers), [])
    assert all(words in text for words in told)
    assert not any(words in text for words in left_out)


def test_panels_and_plaques_are_explained_where_there_are_any():
    text = how_numbered([], [Panel(number="2a"), AttachedItem(number="P1", kind="plaque")])
    assert "third panel up from the sill" in text
    assert "first plaque" in text


def test_windows_with_names_of_their_own_need_no_word():
    assert how_numbered(windows("Baptistery door"), [Opening(number="x")]) == ""
