"""How the upper rooms add to the register's pages."""

import pytest

from sites import hooks as module
from sites.hooks import Action, Hooks, Mark, Section, actions_of, marks_of, sections_of


@pytest.fixture
def hooks(monkeypatch):
    """Hooks without what the other rooms registered; theirs come back after the test."""
    empty = Hooks()
    for page in ("buildings", "openings", "items"):
        monkeypatch.setattr(f"sites.views.{page}.hooks", empty)
    monkeypatch.setattr(module, "hooks", empty)
    return empty


def test_actions_stand_in_their_order_and_none_is_left_out():
    makers = [
        lambda request, record: Action(20, "/b", "Second"),
        lambda request, record: None,
        lambda request, record: Action(10, "/a", "First"),
    ]
    assert [action.text for action in actions_of(makers, None, None)] == ["First", "Second"]


def test_of_two_marks_of_one_thing_the_later_counts():
    makers = [
        lambda request, record: {1: Mark(1, "one"), 2: Mark(2, "two")},
        lambda request, record: {1: Mark(3, "three")},
    ]
    assert marks_of(makers, None, None) == {1: Mark(3, "three"), 2: Mark(2, "two")}


def test_a_section_is_rendered_with_its_own_context_alone(rf, user):
    request = rf.get("/")
    request.user = user
    makers = [
        lambda request, record: Section(1, "components/danger.html", {"text": "Mind the plaque"}),
        lambda request, record: None,
    ]
    made = sections_of(makers, request, None)
    assert len(made) == 1
    assert "Mind the plaque" in made[0].html
    assert made[0].comes_first


def test_a_registered_section_and_action_stand_on_the_building_page(hooks, reader, building):
    hooks.building_sections.append(
        lambda request, record: Section(1, "components/danger.html", {"text": record.name})
    )
    hooks.building_actions.append(lambda request, record: Action(1, "/there/", "Start a survey"))
    page = reader.get(building.get_absolute_url()).content.decode()
    assert 'class="btn btn-primary" href="/there/"' in " ".join(page.split())
    assert page.count(building.name) > 2
