"""Numbers of issued documents, and what every issued document is made of."""

from collections.abc import Iterator
from typing import Any, ClassVar, TypeVar

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from sites.models.choices import DocumentKind
from sites.models.fields import UUIDModel, of_length, one_of


class DocumentNumber(UUIDModel):
    """A number and date kept for a document while it is being printed.

    Printing may fail and be tried again: the retry finds its number here, so none is lost
    and none is given twice. The issued row itself is frozen and comes last.
    """

    studio = models.ForeignKey("sites.Studio", models.PROTECT, related_name="document_numbers")
    kind = models.CharField(max_length=2, choices=DocumentKind.choices)
    year = models.PositiveSmallIntegerField()
    serial = models.PositiveIntegerField()
    version = models.PositiveSmallIntegerField(default=1)
    subject = models.UUIDField(help_text="The survey or estimate it is issued from.")
    dated = models.DateField()
    asked_by = models.ForeignKey("sites.User", models.PROTECT, related_name="+")
    issued = models.BooleanField(default=False)

    class Meta:
        constraints = [
            one_of("documentnumber", "kind", DocumentKind),
            models.UniqueConstraint(
                fields=["studio", "kind", "year", "serial", "version"],
                name="document_number_once",
            ),
            models.UniqueConstraint(
                fields=["kind", "subject"],
                condition=Q(issued=False),
                name="document_one_in_print",
            ),
            models.CheckConstraint(
                condition=Q(serial__gte=1, version__gte=1), name="document_number_positive"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} version {self.version}"

    @property
    def number(self) -> str:
        """`CR-2026-0007`."""
        return f"{self.kind}-{self.year}-{self.serial:04d}"


Document = TypeVar("Document", bound="FrozenDocument")


class FrozenDocumentManager(models.Manager[Document]):
    """Leaves the snapshot in the database: it may be megabytes, and one page alone reads it."""

    def get_queryset(self) -> models.QuerySet[Document]:
        return super().get_queryset().defer("snapshot")


class FrozenDocument(UUIDModel):
    """An issued document: the database refuses to change or delete its row.

    Its snapshot is loaded when it is read, never with a list.

    kind: of every document of a table. subject: the column of what it is issued from, whose key
    its `DocumentNumber` names.
    """

    kind: ClassVar[DocumentKind]
    subject: ClassVar[str]

    studio = models.ForeignKey("sites.Studio", models.PROTECT, related_name="%(class)ss")
    building = models.ForeignKey("sites.Building", models.PROTECT, related_name="%(class)ss")
    number = models.CharField(_("number"), max_length=24)
    version = models.PositiveSmallIntegerField(_("version"), default=1)
    supersedes = models.OneToOneField(
        "self", models.PROTECT, related_name="superseded_by", null=True, blank=True
    )
    dated = models.DateField(_("dated"))
    issued_at = models.DateTimeField(_("issued"))
    issued_by = models.ForeignKey("sites.User", models.PROTECT, related_name="+")
    snapshot = models.JSONField()
    snapshot_sha256 = models.CharField(max_length=64)
    pdf = models.FileField(max_length=200)
    pdf_sha256 = models.CharField("SHA-256", max_length=64)
    pdf_bytes = models.PositiveIntegerField()
    pages = models.PositiveIntegerField()

    objects = FrozenDocumentManager()

    class Meta:
        abstract = True
        # Also what is reached through a foreign key comes without its snapshot.
        base_manager_name = "objects"
        ordering = ["-dated", "-number", "-version"]
        constraints = [
            models.UniqueConstraint(
                fields=["studio", "number", "version"], name="%(class)s_number_once"
            ),
            of_length("%(class)s", "pdf_sha256", 64),
            of_length("%(class)s", "snapshot_sha256", 64),
            models.CheckConstraint(
                condition=Q(version=1, supersedes__isnull=True)
                | Q(version__gt=1, supersedes__isnull=False),
                name="%(class)s_names_what_it_supersedes",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} version {self.version}"

    @property
    def is_superseded(self) -> bool:
        return hasattr(self, "superseded_by")

    def held_twice(self) -> Iterator[tuple[str, object, object]]:
        """Yield each column that the snapshot holds too: its name, its value, the snapshot's.

        Who issued it is told in the snapshot by a name, which may change: by key, that is held
        against the document's number.
        """
        before = self.supersedes
        yield "number", self.number, self.printed("document", "number")
        yield "version", self.version, self.printed("document", "version")
        yield "date", self.dated.isoformat(), self.printed("document", "dated")
        yield "building", str(self.building_id), self.printed("building", "id")
        yield "studio", self.studio_id, self.building.studio_id
        yield (
            "older version",
            (before.number, before.version) if before else (None, None),
            (
                self.printed("document", "supersedes", "number"),
                self.printed("document", "supersedes", "version"),
            ),
        )

    def printed(self, *path: str) -> Any:
        """Return what the snapshot holds at `path`; None where it holds nothing there."""
        value = self.snapshot
        for name in path:
            value = value.get(name) if isinstance(value, dict) else None
        return value
