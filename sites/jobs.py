"""Asking for long work, and doing it: the queue over the `Job` table."""

import logging
from collections.abc import Callable
from datetime import timedelta
from typing import Any

from django.db import connection, transaction
from django.db.models import F
from django.utils import timezone

from sites.errors import JobFailedError
from sites.models import Job, Studio, User
from sites.models.job import JobState
from sites.rules.actor import acting_as

logger = logging.getLogger(__name__)

MOST_ATTEMPTS = 3
STALE_AFTER = timedelta(seconds=60)


class Progress:
    """How a task tells how far it is. Also its heartbeat."""

    def __init__(self, job: Job) -> None:
        self.job = job

    def step(self, done: int, total: int, what: str = "") -> None:
        Job.objects.filter(pk=self.job.pk).update(
            done=done, total=total, step=what[:160], heartbeat_at=timezone.now()
        )


Task = Callable[[Job, Progress], dict[str, Any]]
TASKS: dict[str, Task] = {}


def task(name: str) -> Callable[[Task], Task]:
    """Register a task under `name`. It is idempotent: a worker may die in the middle of it."""

    def register(function: Task) -> Task:
        TASKS[name] = function
        return function

    return register


def ask_for(studio: Studio, name: str, key: str, user: User | None, **arguments: Any) -> Job:
    """Return the job for `key`, made now unless it is there; one that failed is tried again.

    Arguments are plain JSON. Raises KeyError for a task nobody registered.
    """
    if name not in TASKS:
        raise KeyError(f"no task is called {name!r}")
    job, made = Job.objects.get_or_create(
        key=key,
        defaults={"studio": studio, "task": name, "arguments": arguments, "asked_by": user},
    )
    if not made:
        Job.objects.filter(pk=job.pk, state=JobState.FAILED).update(
            state=JobState.WAITING, attempts=0, problem="", asked_by=user
        )
        job.refresh_from_db()
    return job


def take(worker: str) -> Job | None:
    """Take the oldest waiting job for `worker`, or None. No two workers get the same one."""
    with transaction.atomic():
        waiting = Job.objects.filter(state=JobState.WAITING).order_by("id")
        if connection.features.has_select_for_update_skip_locked:
            waiting = waiting.select_for_update(skip_locked=True)
        job = waiting.first()
        if job is None:
            return None
        job.state, job.worker, job.heartbeat_at = JobState.RUNNING, worker, timezone.now()
        job.attempts += 1
        job.save(update_fields=["state", "worker", "heartbeat_at", "attempts"])
    return job


def run(job: Job) -> Job:
    """Do a taken job and record how it ended."""
    logger.info("job %s %s attempt %s", job.pk, job.task, job.attempts)
    try:
        with acting_as(str(job.asked_by_id or job.task)):
            result = TASKS[job.task](job, Progress(job))
    except JobFailedError as problem:
        _end(job, JobState.FAILED, problem=str(problem))
    except Exception:
        # The outermost loop of the worker: one broken job must not stop the others.
        logger.exception("job %s %s failed", job.pk, job.task)
        again = job.attempts < MOST_ATTEMPTS
        _end(
            job,
            JobState.WAITING if again else JobState.FAILED,
            problem="The program met an error it did not expect. The log has the details.",
        )
    else:
        _end(job, JobState.DONE, result=result)
    job.refresh_from_db()
    return job


def run_now(job: Job, worker: str) -> Job:
    """Do this very job here and now (a command's way), unless it is done already."""
    taken = Job.objects.filter(pk=job.pk, state=JobState.WAITING).update(
        state=JobState.RUNNING,
        worker=worker,
        heartbeat_at=timezone.now(),
        attempts=F("attempts") + 1,
    )
    job.refresh_from_db()
    return run(job) if taken else job


def beat(job: Job) -> None:
    """Say that the job's worker is alive."""
    Job.objects.filter(pk=job.pk, state=JobState.RUNNING).update(heartbeat_at=timezone.now())


def put_back(dead_worker: str = "") -> int:
    """Give back jobs whose worker is gone: the named one, or any without a recent heartbeat.

    A job that has been tried often enough fails instead. Returns how many were put back.
    """
    gone = Job.objects.filter(state=JobState.RUNNING)
    if dead_worker:
        gone = gone.filter(worker=dead_worker)
    else:
        gone = gone.filter(heartbeat_at__lt=timezone.now() - STALE_AFTER)
    gone.filter(attempts__gte=MOST_ATTEMPTS).update(
        state=JobState.FAILED,
        ended_at=timezone.now(),
        problem="The worker stopped in the middle of this each time it was tried.",
    )
    return gone.filter(attempts__lt=MOST_ATTEMPTS).update(state=JobState.WAITING)


def _end(job: Job, state: JobState, **fields: Any) -> None:
    # Only while it is still ours: put back and taken by another worker, it is theirs to end.
    Job.objects.filter(pk=job.pk, worker=job.worker, attempts=job.attempts).update(
        state=state, ended_at=timezone.now(), step="", **{"problem": "", **fields}
    )
