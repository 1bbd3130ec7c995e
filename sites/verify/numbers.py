"""Checking each series of document numbers: nothing left out, nothing twice, nothing taken away."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from uuid import UUID

from django.utils.translation import gettext as _

from sites.models import Building, DocumentNumber, Job
from sites.models.job import JobState
from sites.verify.checks import Found
from sites.verify.documents import document_tables

Key = tuple[int, int]  # of a document in its series: its serial and its version


@dataclass(frozen=True)
class Series:
    """One studio's numbers of one kind of document in one year, `CR-2026`."""

    studio_id: UUID
    kind: str
    year: int

    @property
    def prefix(self) -> str:
        return f"{self.kind}-{self.year}-"

    def words(self, key: Key) -> str:
        """`CR-2026-0007 version 1`, as a document of that key is called."""
        return f"{self.prefix}{key[0]:04d} version {key[1]}"

    def __str__(self) -> str:
        return f"{self.kind}-{self.year}"


@dataclass(frozen=True)
class Issued:
    """What counts of an issued row: what it was issued from, and by whom."""

    subject: UUID
    issued_by: UUID


def all_series(building: Building | None = None) -> Iterator[Series]:
    """Yield every series there is. None of one building: a number does not name its building."""
    if building is not None:
        return
    found = {
        Series(*key)
        for key in DocumentNumber.objects.order_by()
        .values_list("studio", "kind", "year")
        .distinct()
    }
    for table in document_tables():
        for studio_id, number in (
            table.objects.order_by().values_list("studio_id", "number").iterator()
        ):
            kind, year, serial = [*number.split("-"), "", ""][:3]
            if year.isdigit() and serial.isdigit():
                found.add(Series(studio_id, kind, int(year)))
    yield from sorted(found, key=lambda series: (str(series), str(series.studio_id)))


def read_series(series: Series) -> Found:
    """Return what is wrong with one series."""
    rows = DocumentNumber.objects.filter(
        studio=series.studio_id, kind=series.kind, year=series.year
    )
    numbers = {(row.serial, row.version): row for row in rows.order_by("serial", "version")}
    issued = _issued(series)
    return Found(
        [
            *_holes(series, {*numbers, *issued}),
            *_doubles(series, numbers),
            *_never_issued(series, numbers, issued),
            *_apart(series, numbers, issued),
            *_behind(series, numbers, issued),
        ]
    )


def _issued(series: Series) -> dict[Key, Issued]:
    """The documents that bear a number of the series, by its key."""
    found = {}
    for table in document_tables():
        if table.kind != series.kind:
            continue
        rows = table.objects.filter(studio=series.studio_id, number__startswith=series.prefix)
        columns = ("number", "version", f"{table.subject}_id", "issued_by_id")
        for number, version, subject, issued_by in rows.order_by().values_list(*columns):
            serial = number.removeprefix(series.prefix)
            if serial.isdigit():
                found[int(serial), version] = Issued(subject, issued_by)
    return found


def _holes(series: Series, keys: set[Key]) -> Iterator[str]:
    """Serials that were passed over, and versions of one that were."""
    versions: dict[int, set[int]] = defaultdict(set)
    for serial, version in keys:
        versions[serial].add(version)
    for before, after in pairwise([0, *sorted(versions)]):
        for serial in range(before + 1, after):
            yield _("%s: there is no such number, though later ones were given") % series.words(
                (serial, 1)
            )
    for serial, given in sorted(versions.items()):
        for version in sorted({*range(1, max(given))} - given):
            yield _("%s: there is no such version, though a later one was issued") % series.words(
                (serial, version)
            )


def _doubles(series: Series, numbers: dict[Key, DocumentNumber]) -> Iterator[str]:
    """One serial for two subjects, and one subject with two serials."""
    subjects: dict[int, UUID] = {}
    serials: dict[UUID, int] = {}
    for (serial, version), row in numbers.items():
        if subjects.setdefault(serial, row.subject) != row.subject:
            yield _("%s: the number was given before, to something else") % series.words(
                (serial, version)
            )
        elif serials.setdefault(row.subject, serial) != serial:
            yield _("%(this)s: the same has the number %(other)s already") % {
                "this": series.words((serial, version)),
                "other": f"{series.prefix}{serials[row.subject]:04d}",
            }


def _never_issued(
    series: Series, numbers: dict[Key, DocumentNumber], issued: dict[Key, Issued]
) -> Iterator[str]:
    """Numbers that were kept for a document nobody is printing, and nobody has."""
    for key, row in numbers.items():
        if row.issued and key not in issued:
            yield _("%s: it was issued, and its row is gone") % series.words(key)
        elif not row.issued and key not in issued and not _is_printing(row):
            yield _(
                "%(number)s: it was reserved on %(day)s and never issued; issue it again and it "
                "gets this number"
            ) % {"number": series.words(key), "day": row.dated.isoformat()}


def _is_printing(row: DocumentNumber) -> bool:
    """Whether a worker is at it, or will be."""
    waiting = Job.objects.filter(state__in=[JobState.WAITING, JobState.RUNNING])
    return waiting.filter(key__contains=str(row.subject)).exists()


def _apart(
    series: Series, numbers: dict[Key, DocumentNumber], issued: dict[Key, Issued]
) -> Iterator[str]:
    """Documents whose number says something else of them."""
    for key, document in sorted(issued.items()):
        row = numbers.get(key)
        if row is None:
            yield _("%s: it is issued, and its number is kept nowhere") % series.words(key)
            continue
        if not row.issued:
            yield _("%s: it is issued, and its number is still kept as not") % series.words(key)
        if row.subject != document.subject:
            yield _("%s: its number was given to something else") % series.words(key)
        if row.asked_by_id != document.issued_by:
            yield _("%s: its number was asked for by somebody else") % series.words(key)


def _behind(
    series: Series, numbers: dict[Key, DocumentNumber], issued: dict[Key, Issued]
) -> Iterator[str]:
    """The next number is one more than the highest kept: it must not be one that is issued."""
    highest = max((serial for serial, _version in numbers), default=0)
    last = max((serial for serial, _version in issued), default=0)
    if last > highest:
        yield _("%(last)s is issued, and the next number given would be %(next)s") % {
            "last": f"{series.prefix}{last:04d}",
            "next": f"{series.prefix}{highest + 1:04d}",
        }
