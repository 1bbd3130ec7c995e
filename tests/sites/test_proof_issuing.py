"""Issuing and approving inscription proofs: numbered, frozen, and void after any later change."""

import datetime as dt
import hashlib
import json
from decimal import Decimal
from io import StringIO

import pytest
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction

from sites.documents.canonical import digest
from sites.jobs import run_now
from sites.models import AttachedItem, Change, DocumentNumber, InscriptionProof, Job, ProofApproval
from sites.printing import Printed
from sites.services import proofs
from sites.services.figures import set_figure
from sites.services.numbers import today_at
from sites.services.proofs import (
    ApprovalError,
    ProofNotReadyError,
    approve,
    ask_for_proof,
    changes_since,
    in_words,
    is_approval_standing,
    issue_proof,
    latest_approval,
    missing_for_proof,
)
from tests.factories import FixingFactory, UserFactory
from tests.progress import UnwatchedProgress
from tests.sites.plaques import issued, plaque, sized

pytestmark = pytest.mark.django_db


class KilledError(BaseException):
    """What a worker meets when it is killed: nothing catches it."""


@pytest.fixture
def item(files) -> AttachedItem:
    return plaque()


@pytest.fixture
def quick_print(monkeypatch) -> None:
    """Printing itself is tested elsewhere: here a few bytes do."""

    def print_few_bytes(draft) -> Printed:
        return Printed(b"%PDF-1.7 " + digest(draft.snapshot).encode(), pages=3)

    monkeypatch.setattr(proofs, "print_draft", print_few_bytes)


def approval(proof, user, **changed) -> ProofApproval:
    fields = {
        "approved_by": "Wilfred Tolliver",
        "authority": "Family: her grandson",
        "approved_on": today_at(proof.building),
    }
    return approve(proof, ProofApproval(**fields | changed), user)


def change(item, **fields) -> AttachedItem:
    for name, value in fields.items():
        setattr(item, name, value)
    item.save()
    return item


def test_a_proof_is_asked_for_printed_and_issued(item, user):
    proof = issued(item, user)
    assert proof.number == f"IP-{proof.dated.year}-0001"
    assert (proof.version, proof.supersedes, proof.issued_by) == (1, None, user)
    with proof.pdf.open("rb") as file:
        data = file.read()
    assert data.startswith(b"%PDF-1.7")
    assert proof.pdf_sha256 == hashlib.sha256(data).hexdigest()
    assert proof.snapshot_sha256 == digest(proof.snapshot)
    assert proof.content_sha256 == digest(proof.snapshot["content"])
    assert DocumentNumber.objects.get().issued


def test_asking_twice_is_one_job_and_asking_again_is_the_next_version(item, user, quick_print):
    first = ask_for_proof(item, user)
    assert ask_for_proof(item, user) == first
    run_now(first, "test")
    second = issued(item, user)
    assert (second.version, second.supersedes) == (2, item.proofs.get(version=1))
    assert second.number == item.proofs.get(version=1).number
    assert Job.objects.count() == 2


@pytest.mark.faults
@pytest.mark.parametrize("step", ["build_snapshot", "proof_html", "print_draft", "freeze"])
def test_a_killed_worker_leaves_one_proof_under_one_number(
    item, user, quick_print, monkeypatch, step
):
    kept = getattr(proofs, step)

    def die(*args, **options):
        raise KilledError

    monkeypatch.setattr(proofs, step, die)
    with pytest.raises(KilledError):
        issue_proof(item, 1, user, UnwatchedProgress())
    monkeypatch.setattr(proofs, step, kept)
    first = issue_proof(item, 1, user, UnwatchedProgress())
    assert issue_proof(item, 1, user, UnwatchedProgress()) == first
    assert first.number.endswith("-0001")
    assert InscriptionProof.objects.count() == DocumentNumber.objects.count() == 1


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"inscription": "  "}, "The inscription is not recorded"),
        ({"width_mm": None, "width_typed": ""}, "The width and the height"),
        ({"letter_height_mm": None, "letter_height_typed": ""}, "The height of its letters"),
        (sized(width="9000"), "A plate of 9000 by 90 mm is too large to be shown on A4"),
    ],
)
def test_what_is_missing_is_named_and_nothing_is_asked_for(item, user, fields, said):
    change(item, **fields)
    with pytest.raises(ProofNotReadyError) as refused:
        ask_for_proof(item, user)
    assert [missing for missing in refused.value.missing if said in missing]
    assert not Job.objects.exists()


def test_what_was_taken_away_after_asking_fails_the_job_in_words(item, user):
    job = ask_for_proof(item, user)
    change(item, letter_height_mm=None, letter_height_typed="")
    job = run_now(job, "test")
    assert (job.state, job.problem) == ("failed", "The height of its letters is not recorded.")
    assert missing_for_proof(item) == [job.problem]


def test_an_issued_proof_and_an_approval_refuse_every_change(item, user, quick_print):
    given = approval(issued(item, user), user)
    for table, row in (("inscriptionproof", given.proof), ("proofapproval", given)):
        for statement in (
            f"UPDATE sites_{table} SET id = id",
            f"DELETE FROM sites_{table}",
        ):
            with pytest.raises(DatabaseError), transaction.atomic():
                connection.cursor().execute(statement)
        with pytest.raises(DatabaseError), transaction.atomic():
            type(row).objects.filter(pk=row.pk).delete()


def test_an_approval_names_who_with_what_authority_when_and_by_whom_recorded(
    item, user, quick_print
):
    given = approval(issued(item, user), user)
    kept = ProofApproval.objects.get()
    assert kept == given
    assert (kept.approved_by, kept.authority) == ("Wilfred Tolliver", "Family: her grandson")
    assert kept.recorded_by == user
    assert is_approval_standing(kept)


CHANGES = [
    (
        {"inscription": "To the Glory of God\nEDITH MARY TOLIVER"},
        "line 2: “and in loving memory of” → “EDITH MARY TOLIVER”",
    ),
    (sized(width="181"), "width: 180 mm → 181 mm"),
    (sized(thickness="2"), "thickness: 3 mm → 2 mm"),
    (sized(letter_height="5.5"), "letter height: 6 mm → 5.5 mm"),
    (sized(margin="9"), "margin: 8 mm → 9 mm"),
    ({"material": "bronze"}, "material: brass → bronze"),
    ({"lettering": "bold"}, "lettering: upright → bold"),
    ({"alignment": "left"}, "lines: centred → left"),
    ({"memorial_of": "Edith M. Tolliver"}, "in memory of: Edith Mary Tolliver → Edith M. Tolliver"),
    ({"donors": ""}, "given by: Her husband Arthur Tolliver → nothing"),
]


@pytest.mark.parametrize(("fields", "said"), CHANGES)
def test_any_later_change_makes_an_approval_void_and_is_told(item, user, quick_print, fields, said):
    given = approval(issued(item, user), user)
    change(AttachedItem.objects.get(pk=item.pk), **fields)
    given = ProofApproval.objects.get(pk=given.pk)
    assert not is_approval_standing(given)
    judged = latest_approval(given.proof.item)
    assert judged is not None
    assert not judged.stands
    assert said in in_words(judged.changes)


def test_a_change_taken_back_lets_the_approval_stand_again(item, user, quick_print):
    given = approval(issued(item, user), user)
    change(item, material="bronze")
    change(item, material="brass")
    assert is_approval_standing(ProofApproval.objects.get(pk=given.pk))


def test_what_is_not_engraved_changes_nothing(item, user, quick_print):
    given = approval(issued(item, user), user)
    FixingFactory(item=item, kind="screw")
    change(item, installed="1931", **sized(reading_distance="4000"))
    assert is_approval_standing(ProofApproval.objects.get(pk=given.pk))


def test_the_studio_s_own_distance_of_lines_is_part_of_what_is_approved(item, user, quick_print):
    given = approval(issued(item, user), user)
    set_figure(item.opening.building.studio, "inscription.line_pitch", Decimal("2"), "our engraver")
    given = ProofApproval.objects.get(pk=given.pk)
    assert in_words(changes_since(given.proof, given.proof.item)) == (
        "distance of lines, in letter heights: 1.75 → 2"
    )


def test_an_approval_of_an_earlier_version_with_the_same_content_stands(item, user, quick_print):
    given = approval(issued(item, user), user)
    issued(item, user)
    judged = latest_approval(item)
    assert judged is not None
    assert (judged.approval, judged.stands) == (given, True)


def test_a_proof_of_what_has_changed_cannot_be_approved(item, user, quick_print):
    proof = issued(item, user)
    change(item, donors="Nobody")
    with pytest.raises(ApprovalError, match="given by: Her husband Arthur Tolliver → Nobody"):
        approval(proof, user)
    assert not ProofApproval.objects.exists()


@pytest.mark.parametrize(("days", "said"), [(-1, "not there yet"), (1, "still to come")])
def test_an_approval_is_of_a_day_on_which_it_can_have_been_given(
    item, user, quick_print, days, said
):
    proof = issued(item, user)
    with pytest.raises(ApprovalError, match=said) as refused:
        approval(proof, user, approved_on=proof.dated + dt.timedelta(days=days))
    assert refused.value.box == "approved_on"


def test_the_approver_s_name_is_in_no_history_and_no_document(item, user, quick_print):
    given = approval(issued(item, user), user)
    change(item, donors="Her sons")
    told = json.dumps(list(Change.objects.values()), default=str)
    assert "sites_attacheditem" in told
    assert "Wilfred" not in told
    assert "Wilfred" not in json.dumps(given.proof.snapshot)
    again = issued(item, UserFactory())
    assert "Wilfred" not in json.dumps(again.snapshot)


def test_verifying_documents_checks_proofs_too(item, user):
    proof = issued(item, user)
    out = StringIO()
    call_command("verify_documents", stdout=out)
    assert "issued documents: 1 read, 0 wrong" in out.getvalue()
    with open(proof.pdf.path, "ab") as file:
        file.write(b" ")
    with pytest.raises(SystemExit):
        call_command("verify_documents", stdout=out)
    assert f"{proof.number} version 1" in out.getvalue()
