"""Opening a studio, and bringing its vocabulary up to date without losing its edits."""

from decimal import Decimal

import pytest
from django.core.management import CommandError, call_command
from django.db import IntegrityError, connection, transaction

from condition.models import ActionCaution, ActionKind, FindingKind
from condition.models.choices import AmountUnit
from condition.services.class_rules import shipped_rules
from restoration.models import Norm, NormMaterial, RateBook
from restoration.services.studios import open_studio, refresh_vocabulary
from sites.models import Studio

pytestmark = pytest.mark.django_db


def test_a_new_studio_has_kinds_of_finding_and_action_and_one_rate_book():
    studio = open_studio("Alder Lane Glass", phone="555 0100")
    assert studio.phone == "555 0100"
    assert studio.finding_kinds.count() > 50
    assert studio.action_kinds.count() > 40
    book = studio.rate_books.get()
    assert book.currency == "USD"
    assert sum(Decimal(share) for _, share in book.payment_shares) == 100


def test_every_action_kind_has_its_hours_and_every_trade_its_rate():
    studio = open_studio("Alder Lane Glass")
    book = studio.rate_books.get()
    assert book.norms.count() == studio.action_kinds.count()
    assert book.norms.filter(labour_rate__rate_book=book).count() == book.norms.count()


def test_every_material_a_norm_names_is_priced_in_the_book():
    open_studio("Alder Lane Glass")
    named = NormMaterial.objects.filter(material__rate_book=RateBook.objects.get())
    assert named.count() == NormMaterial.objects.count() > 20


def test_units_of_findings_are_those_an_amount_may_have():
    studio = open_studio("Alder Lane Glass")
    used = {unit for kind in studio.finding_kinds.all() for unit in kind.units}
    assert used <= set(AmountUnit.values)
    assert "percent of pieces" in used


def test_usual_actions_of_a_finding_are_kinds_of_the_studio():
    studio = open_studio("Alder Lane Glass")
    joint = studio.finding_kinds.get(code="failed-solder-joint")
    assert [kind.code for kind in joint.usual_actions] == [
        "monitor-by-measuring",
        "resolder-joint-in-place",
        "partial-releading",
    ]
    kinds = studio.finding_kinds.all()
    assert {action.studio for kind in kinds for action in kind.usual_actions} == {studio}


def test_a_kind_of_work_cannot_call_for_a_caution_there_is_no_text_for():
    studio = open_studio("Alder Lane Glass")
    studio.action_kinds.first().caution_links.create(caution_id="dragons")
    with pytest.raises(IntegrityError), transaction.atomic():
        connection.check_constraints()
    ActionCaution.objects.filter(caution_id="dragons").delete()


def test_opening_a_studio_twice_gives_the_same_one():
    first = open_studio("Alder Lane Glass", phone="555 0100")
    again = open_studio("Alder Lane Glass", phone="555 0199")
    assert again == first
    assert again.phone == "555 0100"
    assert Studio.objects.count() == RateBook.objects.count() == 1


def test_two_studios_have_kinds_of_their_own():
    one, other = open_studio("Alder Lane Glass"), open_studio("Quarry Street Glass")
    assert one.finding_kinds.count() == other.finding_kinds.count()
    assert FindingKind.objects.count() == 2 * one.finding_kinds.count()


def test_refreshing_keeps_what_the_studio_wrote_and_adds_what_it_lacks():
    studio = open_studio("Alder Lane Glass")
    edited = studio.finding_kinds.first()
    edited.plain = "Our own words."
    edited.save()
    gone = studio.finding_kinds.last()
    gone.delete()
    norm = Norm.objects.first()
    norm.hours_per_unit = Decimal("9.5")
    norm.save()

    added = refresh_vocabulary(studio)

    assert added == {
        "finding_kinds": 1,
        "action_kinds": 0,
        "rate_books": 0,
        "came_profiles": 0,
        # Those of the kind that was gone: rules go with their kind.
        "class_rules": sum(rule.kind == gone.code for rule in shipped_rules()),
    }
    edited.refresh_from_db()
    norm.refresh_from_db()
    assert (edited.plain, norm.hours_per_unit) == ("Our own words.", Decimal("9.5"))
    assert studio.finding_kinds.filter(code=gone.code).exists()


def test_an_action_kind_added_afterwards_gets_its_hours_in_the_starting_book():
    studio = open_studio("Alder Lane Glass")
    kind = studio.action_kinds.get(code="resolder-joint-in-place")
    Norm.objects.filter(action_kind=kind).delete()
    NormMaterial.objects.filter(action_kind=kind).delete()
    kind.delete()
    refresh_vocabulary(studio)
    norm = Norm.objects.get(action_kind__code="resolder-joint-in-place")
    assert norm.rate_book == studio.rate_books.get()


def test_a_studio_with_a_rate_book_of_its_own_gets_no_other():
    studio = open_studio("Alder Lane Glass")
    studio.rate_books.update(name="Rates of the year")
    assert refresh_vocabulary(studio)["rate_books"] == 0
    assert studio.rate_books.count() == 1


def test_the_command_opens_a_studio_in_its_currency(capsys):
    call_command("open_studio", "Alder Lane Glass", "--currency", "eur", "--paper", "Letter")
    studio = Studio.objects.get()
    assert studio.paper == "Letter"
    assert studio.rate_books.get().currency == "EUR"
    assert "put your own in" in capsys.readouterr().out


def test_the_command_run_again_says_that_the_studio_was_open(capsys):
    call_command("open_studio", "Alder Lane Glass")
    kinds = ActionKind.objects.count()
    call_command("open_studio", "Alder Lane Glass")
    assert "was open already" in capsys.readouterr().out
    assert ActionKind.objects.count() == kinds


def test_the_command_refuses_a_currency_that_is_none():
    with pytest.raises(CommandError, match="XQQ is no currency"):
        call_command("open_studio", "Alder Lane Glass", "--currency", "XQQ")
    assert not Studio.objects.exists()
