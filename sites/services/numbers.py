"""Numbers of documents: kept before printing, so that a retry finds its own again."""

from datetime import date
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils import timezone

from sites.models import Building, DocumentNumber, Studio, User
from sites.models.choices import DocumentKind


def today_at(building: Building) -> date:
    """Return the calendar date it is now at the building."""
    return timezone.now().astimezone(ZoneInfo(building.time_zone)).date()


def next_version(kind: DocumentKind, subject: UUID) -> int:
    """Return the version that the next document of `subject` will have: 1, or one more."""
    issued = DocumentNumber.objects.filter(kind=kind, subject=subject, issued=True)
    return 1 + max(issued.values_list("version", flat=True), default=0)


@transaction.atomic
def reserve_number(
    *, studio: Studio, kind: DocumentKind, subject: UUID, dated: date, user: User
) -> DocumentNumber:
    """Return the number that `subject` is being printed under, kept now unless it is there.

    A number kept earlier and not issued is taken up again, with the date and the person of
    this attempt: what is printed is always as of the day it is dated. A subject that has been
    issued keeps its number and gets its next version; a new one gets the next serial of the
    studio's year.
    """
    # Two may ask at once. On PostgreSQL the studio's row makes the second wait; on SQLite
    # the transaction itself does; the unique constraints stand behind both.
    Studio.objects.select_for_update().get(pk=studio.pk)
    of_subject = DocumentNumber.objects.filter(kind=kind, subject=subject).order_by("-version")
    latest = of_subject.first()
    if latest is not None and not latest.issued:
        latest.dated, latest.asked_by = dated, user
        latest.save(update_fields=["dated", "asked_by"])
        return latest
    year = latest.year if latest else dated.year
    return DocumentNumber.objects.create(
        studio=studio,
        kind=kind,
        subject=subject,
        dated=dated,
        asked_by=user,
        year=year,
        serial=latest.serial if latest else _next_serial(studio, kind, year),
        version=latest.version + 1 if latest else 1,
    )


def _next_serial(studio: Studio, kind: DocumentKind, year: int) -> int:
    used = DocumentNumber.objects.filter(studio=studio, kind=kind, year=year)
    return 1 + (used.order_by("-serial").values_list("serial", flat=True).first() or 0)
