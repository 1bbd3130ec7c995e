"""The queue: asked for once, claimed once, ended once."""

import re
import threading
import time
from datetime import timedelta

import pytest
from django.db import connection
from django.db.models.functions import Now
from django.db.utils import InterfaceError, OperationalError
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from restoration.services.today import failed_jobs
from sites import jobs
from sites.access import job_for
from sites.errors import JobFailedError, JobLostError
from sites.jobs import Progress, ask_for, claim, heartbeat, requeue_stale, run, run_now
from sites.models import Job
from sites.services.proofs import open_job
from tests.factories import AttachedItemFactory, StudioFactory, UserFactory


@pytest.fixture
def tasks(monkeypatch):
    """Tasks of the test's own: add a function, ask for it by name."""
    made = {}
    monkeypatch.setattr(jobs, "TASKS", made)
    return made


@pytest.fixture
def studio(db):
    return StudioFactory()


def test_asked_for_twice_it_is_one_job(studio, tasks):
    tasks["sweep"] = lambda job, progress: {}
    assert ask_for(studio, "sweep", "sweep:1", None) == ask_for(studio, "sweep", "sweep:1", None)
    assert Job.objects.count() == 1


def test_an_unknown_task_is_refused_at_once(studio, tasks):
    with pytest.raises(KeyError, match="no task is called 'sweep'"):
        ask_for(studio, "sweep", "sweep:1", None)


def test_a_job_tells_how_far_it_is_and_keeps_its_result(studio, tasks):
    seen = []

    def sweep(job, progress):
        progress.step(3, 7, "the north aisle")
        seen.append(Job.objects.get(pk=job.pk))
        return {"swept": 7}

    tasks["sweep"] = sweep
    job = run_now(ask_for(studio, "sweep", "sweep:1", UserFactory()), "test")
    assert (seen[0].done, seen[0].total, seen[0].step) == (3, 7, "the north aisle")
    assert job.state == "done"
    assert job.result == {"swept": 7}
    assert job.ended_at is not None


def test_a_problem_the_user_can_mend_ends_the_job_with_its_words(studio, tasks):
    def sweep(job, progress):
        raise JobFailedError("There is no broom.")

    tasks["sweep"] = sweep
    job = run_now(ask_for(studio, "sweep", "sweep:1", None), "test")
    assert (job.state, job.problem) == ("failed", "There is no broom.")


def test_a_failed_job_asked_for_again_is_tried_again(studio, tasks):
    tasks["sweep"] = lambda job, progress: (_ for _ in ()).throw(JobFailedError("no broom"))
    run_now(ask_for(studio, "sweep", "sweep:1", None), "test")
    tasks["sweep"] = lambda job, progress: {}
    assert run_now(ask_for(studio, "sweep", "sweep:1", None), "test").state == "done"


def fail_unexpectedly(job, progress):
    raise ZeroDivisionError


def end_the_pause() -> None:
    Job.objects.filter(not_before__isnull=False).update(not_before=Now())


def test_an_unexpected_error_is_tried_three_times_and_then_told(studio, tasks, caplog):
    tasks["sweep"] = fail_unexpectedly
    ask_for(studio, "sweep", "sweep:1", None)
    tries = []
    while (job := claim("test")) is not None:
        tries.append(job.attempts)
        run(job)
        end_the_pause()
    assert tries == [1, 2, 3]
    failed = Job.objects.get()
    assert failed.state == "failed"
    assert "did not expect" in failed.problem
    assert "ZeroDivisionError" in caplog.text


def test_after_an_unexpected_error_there_is_a_pause_longer_each_time(studio, tasks):
    tasks["sweep"] = fail_unexpectedly
    ask_for(studio, "sweep", "sweep:1", None)
    pauses = []
    while (job := claim("test")) is not None:
        if run(job).state == "waiting":
            assert claim("test") is None
            pauses.append(Job.objects.get().not_before - timezone.now())
        end_the_pause()
    assert [round(pause / jobs.RETRY_PAUSE) for pause in pauses] == [1, 2]


def test_a_failed_job_asked_for_again_does_not_wait_out_a_pause(studio, tasks):
    tasks["sweep"] = fail_unexpectedly
    job = ask_for(studio, "sweep", "sweep:1", None)
    run(claim("test"))
    Job.objects.update(state="failed")
    ask_for(studio, "sweep", "sweep:1", None)
    assert claim("test") == job


def test_a_dead_workers_job_is_put_back_and_a_live_ones_is_not(studio, tasks):
    tasks["sweep"] = lambda job, progress: {}
    for number, worker in ((1, "dead"), (2, "alive")):
        ask_for(studio, "sweep", f"sweep:{number}", None)
        claim(worker)
    assert requeue_stale("dead") == 1
    assert Job.objects.get(key="sweep:1").state == "waiting"
    assert Job.objects.get(key="sweep:2").state == "running"


@pytest.fixture(params=[90, -90], ids=["90 s ahead", "90 s behind"])
def wrong_clock(request, monkeypatch):
    """A function that sets the clock of this worker's Python wrong."""

    def set_wrong() -> None:
        right_now, right_time = timezone.now, time.time
        monkeypatch.setattr(timezone, "now", lambda: right_now() + timedelta(seconds=request.param))
        monkeypatch.setattr(time, "time", lambda: right_time() + request.param)

    return set_wrong


@pytest.mark.both_engines
def test_a_worker_with_a_wrong_clock_takes_no_live_job_and_every_dead_one(
    studio, tasks, wrong_clock
):
    tasks["sweep"] = lambda job, progress: {}
    ask_for(studio, "sweep", "sweep:1", None)
    claim("alive")
    wrong_clock()
    assert requeue_stale() == 0
    Job.objects.update(heartbeat_at=Now() - jobs.STALE_AFTER - timedelta(seconds=1))
    assert requeue_stale() == 1


@pytest.mark.both_engines
def test_the_jobs_of_a_worker_with_a_wrong_clock_are_live_while_it_is(
    studio, tasks, wrong_clock, monkeypatch
):
    tasks["sweep"] = lambda job, progress: {}
    for number in range(3):
        ask_for(studio, "sweep", f"sweep:{number}", None)
    with monkeypatch.context():
        wrong_clock()
        claimed = claim("wrong")
        assert heartbeat(claim("wrong"))
        Progress(claim("wrong")).step(1, 2)
    monkeypatch.undo()
    monkeypatch.setattr(jobs, "TASKS", tasks)
    assert requeue_stale() == 0
    assert abs(Job.objects.get(pk=claimed.pk).heartbeat_at - timezone.now()).total_seconds() < 45
    Job.objects.update(heartbeat_at=Now() - jobs.STALE_AFTER - timedelta(seconds=1))
    assert requeue_stale() == 3


@pytest.mark.both_engines
def test_a_job_asked_for_by_a_wrong_clock_is_done_at_once_and_its_retry_after_a_pause(
    studio, tasks, wrong_clock
):
    tasks["sweep"] = fail_unexpectedly
    wrong_clock()
    ask_for(studio, "sweep", "sweep:1", None)
    run(claim("test"))
    assert claim("test") is None
    Job.objects.update(not_before=Now() - timedelta(milliseconds=1))
    assert claim("test").attempts == 2


def test_a_job_that_kills_its_worker_each_time_ends_as_failed(studio, tasks):
    tasks["sweep"] = lambda job, progress: {}
    ask_for(studio, "sweep", "sweep:1", None)
    for _ in range(jobs.MOST_ATTEMPTS):
        assert claim("fragile") is not None
        requeue_stale("fragile")
    job = Job.objects.get()
    assert job.state == "failed"
    assert "worker stopped" in job.problem


@pytest.mark.both_engines
@pytest.mark.parametrize("taken_on", [True, False], ids=["claimed again", "waiting again"])
def test_a_worker_that_lost_its_job_writes_nothing_more_to_it(studio, tasks, taken_on, caplog):
    went_on = []

    def sweep(job, progress):
        progress.step(1, 9, "the nave")
        requeue_stale("slow")
        if taken_on:
            claim("quick")
        assert not heartbeat(job)
        progress.step(2, 9, "the apse")
        went_on.append(job)

    tasks["sweep"] = sweep
    ask_for(studio, "sweep", "sweep:1", None)
    run(claim("slow"))
    job = Job.objects.get()
    assert (job.state, job.worker) == (("running", "quick") if taken_on else ("waiting", "slow"))
    assert (job.done, job.step, job.result, job.ended_at) == (1, "the nave", {}, None)
    assert went_on == []
    assert "given to another worker" in caplog.text


@pytest.mark.parametrize("ending", [{}, JobFailedError("no broom"), ZeroDivisionError()])
def test_a_worker_that_lost_its_job_does_not_end_it(studio, tasks, ending):
    def sweep(job, progress):
        requeue_stale("slow")
        claim("quick")
        if isinstance(ending, Exception):
            raise ending
        return ending

    tasks["sweep"] = sweep
    ask_for(studio, "sweep", "sweep:1", None)
    run(claim("slow"))
    job = Job.objects.get()
    assert (job.state, job.worker, job.problem) == ("running", "quick", "")
    assert (job.result, job.ended_at, job.not_before) == ({}, None, None)


def test_the_same_worker_that_claims_its_lost_job_again_holds_only_the_second_claim(studio, tasks):
    tasks["sweep"] = lambda job, progress: {}
    ask_for(studio, "sweep", "sweep:1", None)
    first = claim("one")
    requeue_stale("one")
    second = claim("one")
    with pytest.raises(JobLostError):
        Progress(first).step(1, 2)
    Progress(second).step(2, 2)


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("way", ["worker", "command"])
def test_a_long_job_has_heartbeats_however_it_is_run(tasks, monkeypatch, way):
    """A command's job too: without them a worker beside it would run it a second time."""
    monkeypatch.setattr(jobs, "HEARTBEAT_SECONDS", 0.01)
    started, beaten = [], []

    def sweep(job, progress):
        started.append(Job.objects.get(pk=job.pk).heartbeat_at)
        until = time.monotonic() + 20
        while not beaten and time.monotonic() < until:
            beaten.extend(Job.objects.filter(pk=job.pk, heartbeat_at__gt=started[0]))
        return {}

    tasks["sweep"] = sweep
    job = ask_for(StudioFactory(), "sweep", "sweep:1", None)
    ended = run(claim("test")) if way == "worker" else run_now(job, "test")
    assert ended.state == "done"
    assert beaten


@pytest.mark.parametrize("problem", [OperationalError("terminated"), InterfaceError("closed")])
def test_heartbeats_go_on_by_a_new_connection_where_one_was_dropped(monkeypatch, problem):
    connections, tries = [], []

    class Dropped:
        def close(self):
            connections.append(self)

    def beat_where_reconnected(job):
        tries.append(job)
        if not connections and len(tries) < 3:
            raise problem
        return len(tries) < 3

    monkeypatch.setattr(jobs, "HEARTBEAT_SECONDS", 0)
    monkeypatch.setattr(jobs, "connection", Dropped())
    monkeypatch.setattr(jobs, "heartbeat", beat_where_reconnected)
    jobs._beat_until(Job(), threading.Event())
    assert (len(tries), len(connections)) == (3, 2)


def plans_of(work) -> list[str]:
    """How the database finds the jobs in each statement that `work` sends."""
    with CaptureQueriesContext(connection) as caught:
        work()
    explain = "EXPLAIN QUERY PLAN " if connection.vendor == "sqlite" else "EXPLAIN "
    plans = []
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            # A table of a few rows is otherwise read whole.
            cursor.execute("SET LOCAL enable_seqscan = off")
        for query in caught.captured_queries:
            if "sites_job" in query["sql"] and not query["sql"].startswith("INSERT"):
                cursor.execute(explain + query["sql"])
                plans.append("\n".join(str(row[-1]) for row in cursor.fetchall()))
    return plans


@pytest.mark.both_engines
def test_jobs_are_looked_up_by_an_index(studio, tasks):
    tasks["sweep"] = lambda job, progress: {}
    item = AttachedItemFactory()
    user = UserFactory()

    def use_the_queue() -> None:
        ask_for(studio, "sweep", "sweep:1", user)
        job = claim("one")
        heartbeat(job)
        requeue_stale()
        requeue_stale("one")
        run(claim("two"))
        open_job(item)
        job_for(user, job.pk)
        list(failed_jobs(user))

    plans = plans_of(use_the_queue)
    assert len(plans) > 12
    unaided = [plan for plan in plans if not re.search(r"SEARCH|Index Cond", plan)]
    assert unaided == []
    assert [plan for plan in plans if re.search(r"SCAN sites_job|Seq Scan", plan)] == []


@pytest.mark.django_db(transaction=True)
def test_eight_workers_at_once_never_claim_the_same_job(tasks):
    tasks["sweep"] = lambda job, progress: {}
    studio = StudioFactory()
    for number in range(40):
        ask_for(studio, "sweep", f"sweep:{number}", None)
    taken, errors = [], []

    def work(name: str) -> None:
        try:
            while (job := claim(name)) is not None:
                taken.append(job.pk)
        except Exception as error:
            errors.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=work, args=(f"w{n}",)) for n in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert errors == []
    assert len(taken) == len(set(taken)) == 40
