"""What every form of a record does."""

from decimal import Decimal

import pytest
from django import forms
from django.db import IntegrityError

from sites.compute.lengths import Length
from sites.forms import world
from sites.forms.base import RecordForm
from sites.forms.fields import LengthField, OldDateField
from sites.forms.opening import OpeningForm, PanelForm
from sites.models import Building, Opening, Panel, User
from sites.services.recording import refusal_in_words
from tests.factories import OpeningFactory, PanelFactory


def panel_form(panel, units="metric", **posted):
    return PanelForm(posted or None, instance=panel, user=User(units=units))


def test_a_length_box_reads_what_is_typed_or_nothing():
    field = LengthField()
    assert field.clean(' 34 3/8" ') == Length('34 3/8"', Decimal("873.125"))
    assert field.clean("") is None


def test_a_length_box_reads_a_bare_number_in_the_users_unit():
    assert LengthField(units="inch").clean("10").mm == 254
    assert LengthField(units="metric").clean("10").mm == 10


def test_a_box_says_in_words_what_is_wrong():
    with pytest.raises(forms.ValidationError, match="below zero"):
        LengthField().clean("-3")
    with pytest.raises(forms.ValidationError, match="yesteryear"):
        OldDateField().clean("yesteryear")


def test_an_old_date_box_keeps_the_words_beside_the_date():
    date = OldDateField().clean("the 1890s")
    assert (date.typed, date.edtf) == ("the 1890s", "189X")


def test_a_length_emptied_is_not_known_any_more(db):
    panel = PanelFactory(width_typed="560", width_mm=Decimal(560))
    form = panel_form(panel, number=panel.number, width="")
    assert form.is_valid()
    assert form.store()
    panel.refresh_from_db()
    assert (panel.width_typed, panel.width_mm) == ("", None)


def test_a_length_that_cannot_be_read_leaves_the_record_as_it_was(db):
    panel = PanelFactory(width_typed="560", width_mm=Decimal(560))
    form = panel_form(panel, number=panel.number, width="wide")
    assert not form.is_valid()
    assert list(form.errors) == ["width"]
    assert form["width"].value() == "wide"
    assert panel.width_mm == 560


def test_a_length_typed_in_anothers_unit_is_offered_with_its_unit(db):
    panel = PanelFactory(width_typed="560", width_mm=Decimal(560))
    assert panel_form(panel, units="metric").initial["width"] == "560"
    assert panel_form(panel, units="inch").initial["width"] == "560 mm"


def test_constraints_over_fields_not_shown_are_checked_too(db):
    taken = PanelFactory()
    form = panel_form(Panel(opening=taken.opening), number=taken.number)
    assert not form.is_valid()
    assert form.errors["number"] == ["Another panel of this opening has this number."]


def test_an_error_of_a_length_constraint_stands_at_its_box(db):
    class Careless(RecordForm):
        """Lets a length through that the record may not have."""

        lengths = {"width": "Width"}

        class Meta:
            model = Panel
            fields = ["number"]

        def _fill_length(self, name):
            self.instance.width_typed, self.instance.width_mm = "0", Decimal(0)

    form = Careless({"number": "1a", "width": "0.5"}, instance=Panel(opening=OpeningFactory()))
    assert not form.is_valid()
    assert list(form.errors) == ["width"]


def test_boxes_and_their_errors_stand_in_the_order_of_the_page(db):
    form = OpeningForm(instance=Opening(building=Building()), user=User())
    assert list(form.fields) == list(
        pointer.name for pointer in form.helper.layout.get_field_names()
    )
    assert list(form.fields)[:3] == ["number", "wall", "level"]


def test_a_refusing_database_is_told_in_the_rules_own_words():
    told = refusal_in_words(IntegrityError("the panel is not in this opening\nCONTEXT: here"))
    assert told == "The panel is not in this opening."
    assert "somebody may have changed" in refusal_in_words(IntegrityError("UNIQUE failed: x.y"))


def test_the_database_has_the_last_word_and_the_form_tells_it(db, monkeypatch):
    panel = PanelFactory()
    form = panel_form(panel, number="5c")
    assert form.is_valid()

    def refuse():
        raise IntegrityError("the panel is not in this opening")

    monkeypatch.setattr(form, "write", refuse)
    assert not form.store()
    assert form.non_field_errors() == ["The panel is not in this opening."]


@pytest.mark.published(
    "ISO 3166-1, ISO 4217, ISO 639-1: Germany, pound sterling, French; from memory"
)
def test_the_worlds_own_lists_are_offered():
    assert ("DE", "Germany") in world.countries()
    assert "GBP – British Pound" in dict(world.currencies()).values()
    assert ("fr", "French") in world.languages()
    assert "Europe/London" in dict(world.time_zones())


def test_a_choice_a_record_already_has_is_kept_among_the_choices():
    assert world.with_present([("EUR", "Euro")], "XTS")[0] == ("XTS", "XTS")
    assert world.with_present([("EUR", "Euro")], "EUR") == [("EUR", "Euro")]
