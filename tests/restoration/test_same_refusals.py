"""A form, the drawing editor, a visit folder and the service refuse the same input alike.

Each wrong input is asked of every path that has a box or a column for it.
"""

import html
from dataclasses import fields

import pytest

from sites.compute import record_fields as rules
from tests.restoration.refusal_paths import Forms, from_folder, from_service
from tests.restoration.wrong_inputs import CHOSEN, KINDS, cases_of, leaves_open

pytestmark = pytest.mark.django_db


def test_there_are_more_than_a_hundred_wrong_inputs():
    assert sum(len(cases_of(kind)) for kind in KINDS.values()) > 100


@pytest.mark.parametrize("name", KINDS)
def test_every_path_refuses_the_same_input_in_the_same_words(name, building, user):
    kind, forms = KINDS[name], Forms(building, user)
    different, asked = [], 0
    for case in cases_of(kind):
        typed = {**kind.good, **case}
        expected = from_service(kind, typed, forms.parents(name))
        assert expected, case
        answers = list(forms.answers(name, typed, case))
        if not leaves_open(kind, case):
            answers += [("folder", from_folder(kind, typed)), *forms.editor(name, typed)]
        asked += len(answers)
        different += [(case, path, said, expected) for path, said in answers if said != expected]
    assert "\n".join(map(str, different)) == ""
    assert asked > len(cases_of(kind)), "no form was asked"


@pytest.mark.parametrize("name", KINDS)
def test_what_is_right_is_refused_by_none(name, building, user):
    kind, forms = KINDS[name], Forms(building, user)
    assert from_service(kind, kind.good, forms.parents(name)) == {}
    assert from_folder(kind, kind.good) == {}
    for path, errors in (*forms.answers(name, kind.good, {}), *forms.editor(name, kind.good)):
        assert errors == {}, path


@pytest.mark.parametrize(
    ("name", "address", "wrong"),
    [
        ("opening", "buildings/{building}/openings/add/", {"springing": "2000"}),
        ("panel", "openings/{opening}/panels/add/", {"pieces": "0"}),
        ("item", "openings/{opening}/items/add/", {"installed": "31/02/1998"}),
        ("fixing", "items/{item}/fixings/add/", {"count": "501"}),
        ("action", "estimates/{estimate}/actions/add/", {"quantity": "1.5"}),
    ],
)
def test_a_page_says_what_the_service_says(name, address, wrong, owner, building, user):
    kind, forms = KINDS[name], Forms(building, user)
    typed = {**kind.good, **wrong}
    places = {each: getattr(forms, each).pk for each in ("building", "opening", "item", "estimate")}
    posted = {**CHOSEN, "where": str(forms.opening.pk), **typed}
    if name == "action":
        posted["kind"] = str(forms.kind.pk)
    answer = owner.post("/" + address.format(**places), posted)
    assert answer.status_code == 422
    (message,) = from_service(kind, typed, forms.parents(name)).values()
    assert message in html.unescape(answer.content.decode())


def test_every_value_is_as_its_column():
    for kind in KINDS.values():
        model = kind.recording.model
        for each in fields(kind.data):
            rule = rules.rules_of(kind.data).get(each.name)
            name = f"{each.name}_typed" if isinstance(rule, rules.Size) else each.name
            column = model._meta.get_field(name)
            if isinstance(rule, rules.Choice):
                listed = {value for value, _ in column.choices}
                assert set(rule.values) == listed, (model, name)
                assert rule.required or column.blank
            elif isinstance(rule, rules.Words) and column.max_length:
                assert rule.longest == column.max_length, (model, name)
            elif isinstance(rule, rules.Number):
                assert rule.places == column.decimal_places
                whole = column.max_digits - column.decimal_places
                assert len(str(int(rule.highest))) <= whole
            elif isinstance(rule, rules.Size):
                assert column.max_length == rules.LONGEST_LENGTH
