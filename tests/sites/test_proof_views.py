"""Proofs on their pages: the item's, the proof's own, its approval and the delivered plate."""

import datetime as dt
from decimal import Decimal

import pytest
from django.core.files.storage import default_storage
from django.urls import reverse

from sites.models import AttachedItem, InscriptionProof, Job, ProofApproval
from tests.sites.plaques import plaque, sized, unprinted


@pytest.fixture
def item(building, files) -> AttachedItem:
    return plaque(building)


@pytest.fixture
def proof(item, people) -> InscriptionProof:
    return unprinted(item, people["owner"])


def words(response) -> str:
    return " ".join(response.content.decode().split())


def url(name, record):
    return reverse(f"sites:{name}", args=[record.pk])


def approval(**changed):
    return {
        "approved_by": "Wilfred Tolliver",
        "authority": "Family: her grandson",
        "approved_on": dt.date.today().isoformat(),
        **changed,
    }


def test_an_item_shows_its_plate_with_its_real_letters(reader, item):
    page = words(reader.get(item.get_absolute_url()))
    assert ">EDITH MARY TOLLIVER</text>" in page
    assert "Letters at their recorded height" in page
    assert "at most 8.8 mm fits" in page
    assert "No proof has been issued." in page


def test_an_item_whose_letters_are_not_measured_is_drawn_as_before(reader, building):
    item = plaque(building, letter_height_mm=None, letter_height_typed="")
    page = words(reader.get(item.get_absolute_url()))
    assert ">EDITH MARY TOLLIVER</text>" in page
    assert "the lettering is the drawing's own" in page


def test_an_item_says_what_does_not_fit_and_what_would(owner, building):
    item = plaque(building, memorial_of="Edith Mary Toliver", **sized(letter_height="12"))
    page = words(owner.get(item.get_absolute_url()))
    assert "Line 5 is " in page
    assert "too wide at 12 mm letters; 8.8 mm would fit." in page
    assert "At this height the words do not fit." in page
    assert "in the register has Toliver; the plate has TOLLIVER in line 3." in page


def test_an_item_without_words_has_no_section_of_proofs(owner, building):
    item = plaque(building, inscription="", kind="ventilator")
    assert "Lettering and proof" not in words(owner.get(item.get_absolute_url()))


def test_queries_of_an_item_do_not_grow_with_its_proofs(owner, item, people, count_queries):
    def open_page():
        return owner.get(item.get_absolute_url())

    first = unprinted(item, people["owner"])
    ProofApproval.objects.create(proof=first, recorded_by=people["owner"], **approval())
    few = count_queries(open_page)
    for _ in range(3):
        more = unprinted(item, people["owner"])
        ProofApproval.objects.create(proof=more, recorded_by=people["owner"], **approval())
    assert count_queries(open_page) == few


def test_lettering_is_recorded_as_it_was_typed(owner, item):
    page = words(owner.get(url("lettering-edit", item)))
    assert "letters of 8.8 mm are the highest that fit" in page
    posted = {
        "letter_height": '1/4"',
        "margin": "",
        "reading_distance": "2 m",
        "lettering": "bold",
        "alignment": "left",
    }
    answer = owner.post(url("lettering-edit", item), posted)
    assert answer["Location"] == f"{item.get_absolute_url()}#proofs"
    item.refresh_from_db()
    assert (item.letter_height_typed, item.letter_height_mm) == ('1/4"', Decimal("6.35"))
    assert (item.margin_mm, item.reading_distance_mm) == (None, 2000)
    assert (item.lettering, item.alignment) == ("bold", "left")


def test_a_letter_height_nobody_can_read_is_sent_back_with_the_words_kept(owner, item):
    posted = {"letter_height": "six", "lettering": "bold", "alignment": "left"}
    answer = owner.post(url("lettering-edit", item), posted)
    assert answer.status_code == 422
    assert 'value="six"' in answer.content.decode()
    item.refresh_from_db()
    assert item.lettering == "upright"


def test_what_fits_is_offered_before_any_letter_height_is_recorded(owner, building):
    item = plaque(building, letter_height_mm=None, letter_height_typed="")
    assert "letters of 8.8 mm are the highest" in words(owner.get(url("lettering-edit", item)))


def test_a_proof_is_asked_for_once(owner, item):
    owner.post(url("proof-issue", item))
    answer = owner.post(url("proof-issue", item), follow=True)
    assert Job.objects.get().task == "issue_proof"
    assert "The proof is being printed" in words(answer)


def test_what_is_missing_is_said_and_nothing_is_asked_for(owner, building):
    item = plaque(building, letter_height_mm=None, letter_height_typed="")
    assert "Say how it is lettered" in words(owner.get(item.get_absolute_url()))
    answer = owner.post(url("proof-issue", item), follow=True)
    assert "The height of its letters is not recorded." in words(answer)
    assert not Job.objects.exists()


def test_a_proof_shows_what_it_was_issued_with(reader, item, proof):
    AttachedItem.objects.filter(pk=item.pk).update(inscription="OTHER WORDS")
    page = words(reader.get(proof.get_absolute_url()))
    assert ">EDITH MARY TOLLIVER</text>" in page
    assert "OTHER WORDS" in page  # as what has changed
    assert "It can no longer be approved." in page
    assert ">3rd March 1872</th>" in page


def test_its_file_is_sent_to_be_read_or_saved(reader, proof):
    shown = reader.get(url("proof-pdf", proof))
    assert b"".join(shown.streaming_content) == b"%PDF-1.7 a proof"
    assert shown["Content-Type"] == "application/pdf"
    assert shown["Content-Disposition"].startswith("inline")
    saved = reader.get(url("proof-pdf", proof) + "?download=1")
    assert f"{proof.number}-v1.pdf" in saved["Content-Disposition"]
    saved.close()


def test_a_proof_whose_file_is_gone_is_not_found(reader, proof):
    default_storage.delete(proof.pdf.name)
    assert reader.get(url("proof-pdf", proof)).status_code == 404


def test_an_approval_is_recorded_and_shown(surveyor, item, proof):
    answer = surveyor.post(url("proof-approve", proof), approval())
    assert answer["Location"] == f"{proof.get_absolute_url()}#approvals"
    page = words(surveyor.get(proof.get_absolute_url()))
    assert "Wilfred Tolliver" in page
    assert "Family: her grandson" in page
    assert ">Approved<" in words(surveyor.get(item.get_absolute_url()))


def test_the_approver_s_name_is_shown_to_nobody_who_may_not_read_of_people(
    owner, reader, committee, item, proof
):
    owner.post(url("proof-approve", proof), approval())
    for client in (reader, committee):
        for address in (proof.get_absolute_url(), item.get_absolute_url()):
            page = words(client.get(address))
            assert "Wilfred" not in page
            assert "Family: her grandson" in page


def test_a_void_approval_says_what_has_changed_on_both_pages(owner, reader, item, proof):
    owner.post(url("proof-approve", proof), approval())
    AttachedItem.objects.filter(pk=item.pk).update(**sized(letter_height="7"))
    for address in (proof.get_absolute_url(), item.get_absolute_url()):
        page = words(reader.get(address))
        assert "is void: the record has changed since" in page
        assert "<del>6 mm</del> → <ins>7 mm</ins>" in page


def test_a_proof_of_what_has_changed_offers_no_approval_and_takes_none(owner, item, proof):
    AttachedItem.objects.filter(pk=item.pk).update(material="bronze")
    assert "Record an approval" not in words(owner.get(proof.get_absolute_url()))
    answer = owner.post(url("proof-approve", proof), approval())
    assert answer.status_code == 422
    assert "material: brass → bronze" in words(answer)
    assert not ProofApproval.objects.exists()


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"approved_by": " "}, "This must be filled in"),
        ({"authority": ""}, "This must be filled in"),
        ({"approved_on": "2020-01-01"}, "The proof was not there yet on that day."),
        ({"approved_on": "2999-01-01"}, "That day is still to come."),
    ],
)
def test_an_approval_that_cannot_be_is_sent_back(owner, proof, wrong, said):
    answer = owner.post(url("proof-approve", proof), approval(**wrong))
    assert answer.status_code == 422
    assert said in words(answer)
    assert not ProofApproval.objects.exists()


def test_a_superseded_proof_leads_to_the_current_one(reader, item, proof, people):
    newer = unprinted(item, people["owner"])
    page = words(reader.get(proof.get_absolute_url()))
    assert "superseded by version 2" in page
    assert newer.get_absolute_url() in page


def test_a_delivered_plate_is_held_against_the_proof(reader, item, proof):
    same = reader.post(url("proof-compare", proof), {"delivered": item.inscription + "\r\n"})
    assert "every line is as proved" in words(same)
    wrong = item.inscription.replace("TOLLIVER", "TOLIVER")
    page = words(reader.post(url("proof-compare", proof), {"delivered": wrong}))
    assert "One line is not as proved. Do not fix the plate." in page
    assert "<mark>L</mark>" in page
    assert reader.post(url("proof-compare", proof), {"delivered": ""}).status_code == 422


def test_words_of_a_plate_are_shown_as_text_whatever_they_hold(owner, building, people, files):
    item = plaque(building, inscription="<script>alert(1)</script>")
    proof = unprinted(item, people["owner"])
    posted = {"delivered": "<script>alert(2)</script>"}
    for page in (
        owner.get(item.get_absolute_url()),
        owner.get(proof.get_absolute_url()),
        owner.post(url("proof-compare", proof), posted),
    ):
        assert b"<script>alert" not in page.content
