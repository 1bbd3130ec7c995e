"""Long work, as a row: what is asked for, how far it is, how it ended."""

from django.db import models
from django.db.models import Q
from django.db.models.functions import Now
from django.utils.translation import gettext_lazy as _

from sites.models.fields import UUIDModel, not_blank


class JobState(models.TextChoices):
    WAITING = "waiting", _("Waiting")
    RUNNING = "running", _("Under way")
    DONE = "done", _("Done")
    FAILED = "failed", _("Did not succeed")


class Job(UUIDModel):
    """One task for the worker. Tasks are idempotent: a job may be run again after a crash."""

    studio = models.ForeignKey("sites.Studio", models.CASCADE, related_name="jobs")
    task = models.CharField(max_length=80)
    key = models.CharField(max_length=120, unique=True, help_text="Asked for twice, it is one job.")
    arguments = models.JSONField(default=dict)
    state = models.CharField(max_length=8, choices=JobState.choices, default=JobState.WAITING)
    step = models.CharField(max_length=160, blank=True)
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    attempts = models.PositiveSmallIntegerField(default=0)
    worker = models.CharField(max_length=120, blank=True)
    heartbeat_at = models.DateTimeField(null=True, blank=True)
    asked_by = models.ForeignKey(
        "sites.User", models.SET_NULL, related_name="jobs", null=True, blank=True
    )
    asked_at = models.DateTimeField(db_default=Now(), editable=False)
    not_before = models.DateTimeField(
        null=True, blank=True, help_text="A pause before it is tried again."
    )
    ended_at = models.DateTimeField(null=True, blank=True)
    problem = models.TextField(blank=True)
    result = models.JSONField(default=dict)

    class Meta:
        indexes = [
            # Not only of the open ones: SQLite uses a partial index for its very condition alone.
            models.Index(fields=["state", "id"], name="job_by_state")
        ]
        constraints = [
            not_blank("job", "task"),
            models.CheckConstraint(
                condition=Q(state__in=JobState.values), name="job_state_is_a_choice"
            ),
            models.CheckConstraint(
                condition=Q(state="running", heartbeat_at__isnull=False) | ~Q(state="running"),
                name="job_running_has_a_heartbeat",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.task} ({self.get_state_display()})"

    @property
    def is_open(self) -> bool:
        return self.state in (JobState.WAITING, JobState.RUNNING)
