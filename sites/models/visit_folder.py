"""Folders brought home from a visit, so that the same one is not taken in twice."""

from django.db import models

from sites.models.fields import UUIDModel


class VisitFolder(UUIDModel):
    """One folder taken in whole: its digest, and where its rows went."""

    studio = models.ForeignKey("sites.Studio", models.PROTECT, related_name="visit_folders")
    building = models.ForeignKey("sites.Building", models.PROTECT, related_name="visit_folders")
    digest = models.CharField(max_length=64)
    counts = models.JSONField(default=dict)
    keys = models.JSONField(
        default=dict, help_text="The folder's own keys, and the rows that they became."
    )
    taken_in_at = models.DateTimeField(auto_now_add=True)
    taken_in_by = models.ForeignKey("sites.User", models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["studio", "digest"], name="visit_folder_once")
        ]

    def __str__(self) -> str:
        return f"{self.building} {self.digest[:12]}"
