"""What was there before each change: written by the database itself, never by the program."""

from django.db import models


class Change(models.Model):
    """The row as it stood before an UPDATE or DELETE. Append-only; see `sites.rules`."""

    id = models.BigAutoField(primary_key=True)
    table = models.CharField(max_length=64)
    row = models.CharField(max_length=40)
    deed = models.CharField(max_length=6)
    before = models.JSONField()
    actor = models.CharField(max_length=80, blank=True)
    at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["table", "row"], name="change_of_a_row")]

    def __str__(self) -> str:
        return f"{self.deed} {self.table} {self.row}"
