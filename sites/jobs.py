"""Asking for long work, and doing it: the queue over the `Job` table.

Every time in it is read from the database's clock: workers on several machines, each with a clock
of its own, would otherwise take each other for dead.
"""

import logging
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from typing import Any

from django.db import connection, transaction
from django.db.models import F, Q, QuerySet
from django.db.models.functions import Now
from django.db.utils import InterfaceError, OperationalError

from sites.errors import JobFailedError, JobLostError
from sites.models import Job, Studio, User
from sites.models.job import JobState
from sites.rules.actor import acting_as

logger = logging.getLogger(__name__)

MOST_ATTEMPTS = 3
HEARTBEAT_SECONDS = 3.0
STALE_AFTER = timedelta(seconds=15)
# Before the second try, and twice as long before the third: what was in the way may pass.
RETRY_PAUSE = timedelta(seconds=5)


class Progress:
    """How a task tells how far it is. Also its heartbeat."""

    def __init__(self, job: Job) -> None:
        self.job = job

    def step(self, done: int, total: int, what: str = "") -> None:
        """Record how far the job is. Raises JobLostError where another worker has it by now."""
        still_ours = _still_ours(self.job).update(
            done=done, total=total, step=what[:160], heartbeat_at=Now()
        )
        if not still_ours:
            raise JobLostError


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

    With the arguments it is asked for with now, and by whom.
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
            state=JobState.WAITING,
            attempts=0,
            not_before=None,
            problem="",
            asked_by=user,
            arguments=arguments,
        )
        job.refresh_from_db()
    return job


def claim(worker: str) -> Job | None:
    """Return the oldest job that is due, now running for `worker`, or None.

    No two workers get the same one.
    """
    with transaction.atomic():
        due = Job.objects.filter(
            Q(not_before__isnull=True) | Q(not_before__lte=Now()), state=JobState.WAITING
        ).order_by("id")
        if connection.features.has_select_for_update_skip_locked:
            due = due.select_for_update(skip_locked=True)
        job = due.first()
        if job is None:
            return None
        _start(Job.objects.filter(pk=job.pk), worker)
        job.refresh_from_db()
    return job


def run_now(job: Job, worker: str) -> Job:
    """Do this very job here and now (a command's way), unless it is done or somebody has it."""
    claimed = _start(Job.objects.filter(pk=job.pk, state=JobState.WAITING), worker)
    job.refresh_from_db()
    return run(job) if claimed else job


def run(job: Job) -> Job:
    """Do a claimed job, with heartbeats, and record how it ended. Returns it as it is then."""
    logger.info("job %s %s attempt %s", job.pk, job.task, job.attempts)
    try:
        with acting_as(str(job.asked_by_id or job.task)), _heartbeats(job):
            result = TASKS[job.task](job, Progress(job))
    except JobLostError:
        logger.warning("job %s %s was given to another worker", job.pk, job.task)
    except JobFailedError as problem:
        _end(job, JobState.FAILED, problem=str(problem))
    except Exception:
        # The outermost loop of the worker: one broken job must not stop the others.
        logger.exception("job %s %s failed", job.pk, job.task)
        _try_again_or_fail(job)
    else:
        _end(job, JobState.DONE, result=result)
    job.refresh_from_db()
    return job


def heartbeat(job: Job) -> bool:
    """Say that the job's worker is alive. Returns whether the job is still that worker's."""
    return bool(_still_ours(job).update(heartbeat_at=Now()))


def requeue_stale(dead_worker: str = "") -> int:
    """Give back jobs whose worker is gone: the named one, or any without a recent heartbeat.

    A job that has been tried often enough fails instead. Returns how many wait again.
    """
    gone = Job.objects.filter(state=JobState.RUNNING)
    if dead_worker:
        gone = gone.filter(worker=dead_worker)
    else:
        gone = gone.filter(heartbeat_at__lt=Now() - STALE_AFTER)
    gone.filter(attempts__gte=MOST_ATTEMPTS).update(
        state=JobState.FAILED,
        ended_at=Now(),
        problem="The worker stopped in the middle of this each time it was tried.",
    )
    return gone.filter(attempts__lt=MOST_ATTEMPTS).update(state=JobState.WAITING)


def _start(jobs: QuerySet[Job], worker: str) -> int:
    return jobs.update(
        state=JobState.RUNNING,
        worker=worker,
        heartbeat_at=Now(),
        not_before=None,
        attempts=F("attempts") + 1,
    )


def _still_ours(job: Job) -> QuerySet[Job]:
    """The job's row, while this claim of it holds: nothing once it was given to another worker."""
    return Job.objects.filter(
        pk=job.pk, state=JobState.RUNNING, worker=job.worker, attempts=job.attempts
    )


def _try_again_or_fail(job: Job) -> None:
    problem = "The program met an error it did not expect. The log has the details."
    if job.attempts >= MOST_ATTEMPTS:
        _end(job, JobState.FAILED, problem=problem)
        return
    pause = RETRY_PAUSE * job.attempts
    _still_ours(job).update(
        state=JobState.WAITING, not_before=Now() + pause, step="", problem=problem
    )


def _end(job: Job, state: JobState, **fields: Any) -> None:
    ended = _still_ours(job).update(
        state=state, ended_at=Now(), step="", **{"problem": "", **fields}
    )
    if not ended:
        logger.warning("job %s %s was given to another worker", job.pk, job.task)


@contextmanager
def _heartbeats(job: Job) -> Iterator[None]:
    """Send heartbeats while the block runs, from a thread with a connection of its own."""
    if connection.in_atomic_block:
        # Nobody else can see the claim before it is committed, nor take the job for stale.
        yield
        return
    finished = threading.Event()
    thread = threading.Thread(target=_beat_until, args=(job, finished), daemon=True)
    thread.start()
    try:
        yield
    finally:
        finished.set()
        thread.join()


def _beat_until(job: Job, finished: threading.Event) -> None:
    while not finished.wait(HEARTBEAT_SECONDS):
        try:
            if not heartbeat(job):
                break
        except (InterfaceError, OperationalError):
            # The database is locked or restarting: the next heartbeat may get through, on a new
            # connection. One that was dropped stays so, and another worker would take the job.
            connection.close()
    connection.close()
