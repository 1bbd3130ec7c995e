"""Plaques as studios meet them, for tests of their proofs."""

import datetime as dt
import hashlib
from decimal import Decimal

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from sites.documents.canonical import digest
from sites.documents.inscription_proof.build import build_snapshot
from sites.jobs import run_now
from sites.models import AttachedItem, InscriptionProof, User
from sites.models.choices import DocumentKind
from sites.services.figures import figures_of
from sites.services.numbers import reserve_number, today_at
from sites.services.proofs import ask_for_proof
from tests.factories import AttachedItemFactory, BuildingFactory, FixingFactory, OpeningFactory

WORDS = "\n".join(
    [
        "To the Glory of God",
        "and in loving memory of",
        "EDITH MARY TOLLIVER",
        "",
        "3rd March 1872 – 12 May 1931",
    ]
)


def plaque(building=None, **fields) -> AttachedItem:
    """A plaque of 180 by 90 mm with letters of 6 mm: everything a proof needs is recorded."""
    if "opening" not in fields:
        building = building or BuildingFactory(
            name="St Aldhelm’s", place="Nether Wickham", country="GB", time_zone="Europe/London"
        )
        fields["opening"] = OpeningFactory(building=building, number="nIV")
    sizes = {
        "width": "180",
        "height": "90",
        "thickness": "3",
        "letter_height": "6",
        "margin": "8",
        "reading_distance": "1200",
    }
    lengths = {
        f"{name}_{part}": value
        for name, typed in sizes.items()
        for part, value in (("typed", typed), ("mm", Decimal(typed)))
    }
    item = AttachedItemFactory(
        **{
            "number": "P1",
            "material": "brass",
            "inscription": WORDS,
            "memorial_of": "Edith Mary Tolliver",
            "donors": "Her husband Arthur Tolliver",
            **lengths,
            **fields,
        }
    )
    FixingFactory(item=item, count=4)
    return item


def sized(**typed: str) -> dict:
    """Fields of lengths in mm, as typed: `sized(width="300")`."""
    return {
        f"{name}_{part}": value
        for name, words in typed.items()
        for part, value in (("typed", words), ("mm", Decimal(words)))
    }


def issued(item: AttachedItem, user: User) -> InscriptionProof:
    """The item's next proof, really printed."""
    job = run_now(ask_for_proof(item, user), "test")
    assert (job.state, job.problem) == ("done", "")
    return InscriptionProof.objects.get(pk=job.result["proof"])


def unprinted(item: AttachedItem, user: User) -> InscriptionProof:
    """The item's next proof with its real data, and a few bytes for a file."""
    building = item.opening.building
    number = reserve_number(
        studio=building.studio,
        kind=DocumentKind.PROOF,
        subject=item.pk,
        dated=today_at(building),
        user=user,
    )
    before = item.proofs.order_by("-version").first()
    snapshot = build_snapshot(item, figures_of(building.studio), number, before)
    pdf = b"%PDF-1.7 a proof"
    proof = InscriptionProof.objects.create(
        studio=building.studio,
        building=building,
        item=item,
        number=number.number,
        version=number.version,
        supersedes=before,
        dated=number.dated,
        issued_at=dt.datetime.now(dt.UTC),
        issued_by=user,
        snapshot=snapshot,
        snapshot_sha256=digest(snapshot),
        content_sha256=digest(snapshot["content"]),
        pdf=default_storage.save("studio/documents/proof.pdf", ContentFile(pdf)),
        pdf_sha256=hashlib.sha256(pdf).hexdigest(),
        pdf_bytes=len(pdf),
        pages=3,
    )
    number.issued = True
    number.save()
    return proof
