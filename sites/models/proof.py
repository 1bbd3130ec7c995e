"""Inscription proofs as they were issued, and who approved which."""

from collections.abc import Iterator

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from sites.models.attached import AttachedItem
from sites.models.choices import DocumentKind
from sites.models.documents import FrozenDocument
from sites.models.fields import UUIDModel, not_blank


class InscriptionProof(FrozenDocument):
    """The inscription of one item at true size, to be read letter by letter. Frozen."""

    kind = DocumentKind.PROOF
    subject = "item"

    item = models.ForeignKey(AttachedItem, models.PROTECT, related_name="proofs")
    content_sha256 = models.CharField(max_length=64)

    class Meta(FrozenDocument.Meta):
        verbose_name = _("inscription proof")

    def get_absolute_url(self) -> str:
        return reverse("sites:proof", args=[self.pk])

    def held_twice(self) -> Iterator[tuple[str, object, object]]:
        yield from super().held_twice()
        yield "item", str(self.item_id), self.printed("item", "id")


class ProofApproval(UUIDModel):
    """Somebody said that exactly this proof may be engraved. Frozen."""

    proof = models.ForeignKey(InscriptionProof, models.PROTECT, related_name="approvals")
    approved_by = models.CharField(_("approved by"), max_length=160)
    authority = models.CharField(
        _("with what authority"),
        max_length=160,
        help_text=_("Family, donor, owner of the memorial, by minute of the committee."),
    )
    approved_on = models.DateField(_("approved on"))
    recorded_by = models.ForeignKey("sites.User", models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-approved_on", "-recorded_at"]
        constraints = [
            not_blank("proofapproval", "approved_by"),
            not_blank("proofapproval", "authority"),
        ]

    def __str__(self) -> str:
        return f"{self.proof} {self.approved_on}"
