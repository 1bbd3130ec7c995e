"""The queue: asked for once, taken once, ended once."""

import threading

import pytest
from django.db import connection
from django.utils import timezone

from sites import jobs
from sites.errors import JobFailedError
from sites.jobs import ask_for, put_back, run, run_now, take
from sites.models import Job
from tests.factories import StudioFactory, UserFactory


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


def test_an_unexpected_error_is_tried_three_times_and_then_told(studio, tasks, caplog):
    tries = []

    def sweep(job, progress):
        tries.append(job.attempts)
        raise ZeroDivisionError

    tasks["sweep"] = sweep
    ask_for(studio, "sweep", "sweep:1", None)
    while (job := take("test")) is not None:
        job = run(job)
    assert tries == [1, 2, 3]
    failed = Job.objects.get()
    assert failed.state == "failed"
    assert "did not expect" in failed.problem
    assert "ZeroDivisionError" in caplog.text


def test_a_dead_workers_job_is_put_back_and_a_live_ones_is_not(studio, tasks):
    tasks["sweep"] = lambda job, progress: {}
    for number, worker in ((1, "dead"), (2, "alive")):
        ask_for(studio, "sweep", f"sweep:{number}", None)
        take(worker)
    assert put_back("dead") == 1
    assert Job.objects.get(key="sweep:1").state == "waiting"
    assert Job.objects.get(key="sweep:2").state == "running"


def test_a_job_without_a_heartbeat_for_a_minute_is_put_back(studio, tasks):
    tasks["sweep"] = lambda job, progress: {}
    ask_for(studio, "sweep", "sweep:1", None)
    take("gone")
    assert put_back() == 0
    Job.objects.update(heartbeat_at=timezone.now() - jobs.STALE_AFTER * 2)
    assert put_back() == 1


def test_a_job_that_kills_its_worker_each_time_ends_as_failed(studio, tasks):
    tasks["sweep"] = lambda job, progress: {}
    ask_for(studio, "sweep", "sweep:1", None)
    for _ in range(jobs.MOST_ATTEMPTS):
        assert take("fragile") is not None
        put_back("fragile")
    job = Job.objects.get()
    assert job.state == "failed"
    assert "worker stopped" in job.problem


def test_a_worker_that_lost_its_job_does_not_end_it(studio, tasks):
    def sweep(job, progress):
        put_back("slow")
        take("quick")
        return {"by": "slow"}

    tasks["sweep"] = sweep
    ask_for(studio, "sweep", "sweep:1", None)
    run(take("slow"))
    job = Job.objects.get()
    assert (job.state, job.worker, job.result) == ("running", "quick", {})


@pytest.mark.django_db(transaction=True)
def test_eight_workers_at_once_never_take_the_same_job(tasks):
    tasks["sweep"] = lambda job, progress: {}
    studio = StudioFactory()
    for number in range(40):
        ask_for(studio, "sweep", f"sweep:{number}", None)
    taken, errors = [], []

    def work(name: str) -> None:
        try:
            while (job := take(name)) is not None:
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
