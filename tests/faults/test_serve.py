"""`manage.py serve` with its worker killed, and killed itself."""

import signal

import psutil
import pytest

from tests.faults.server import Server, wait_for

pytestmark = pytest.mark.faults


@pytest.fixture
def server(tmp_path, database_url):
    server = Server(tmp_path, database_url)
    yield server
    server.kill()


def ask_for_slow_job(server: Server, file) -> None:
    server.run(
        "from sites.models import Studio\n"
        "from sites.jobs import ask_for\n"
        "studio, _ = Studio.objects.get_or_create(name='Test')\n"
        f"answer = str(ask_for(studio, 'slow', 'slow:1', None, file={str(file)!r}, seconds=3).pk)"
    )


def words(file) -> list[str]:
    return [line.split()[0] for line in file.read_text().splitlines()] if file.exists() else []


def job_state(server: Server) -> dict:
    return server.run(
        "from sites.models import Job\n"
        "answer = Job.objects.values('state', 'attempts').get(key='slow:1')"
    )


def test_a_killed_worker_is_started_again_and_its_task_is_finished_once(server, tmp_path):
    file = tmp_path / "told.txt"
    server.start()
    ask_for_slow_job(server, file)
    first = wait_for(lambda: words(file) == ["start"] and server.worker(), "the task to start")
    first.send_signal(signal.SIGKILL)
    second = wait_for(lambda: (w := server.worker()) and w.pid != first.pid and w, "another worker")
    wait_for(lambda: "end" in words(file), "the task to end")
    assert words(file) == ["start", "start", "end"]
    wait_for(lambda: job_state(server)["state"] == "done", "the job's row to say so")
    assert job_state(server) == {"state": "done", "attempts": 2}
    assert second.is_running()


def test_a_killed_server_takes_its_worker_with_it(server):
    server.start()
    worker = wait_for(server.worker, "the worker")
    server.kill()
    wait_for(lambda: not psutil.pid_exists(worker.pid), "the worker to be gone", seconds=10)


def test_a_server_asked_to_stop_stops_its_worker_too(server):
    server.start()
    worker = wait_for(server.worker, "the worker")
    server.process.send_signal(signal.SIGTERM)
    assert server.process.wait(timeout=20) == 0
    assert not psutil.pid_exists(worker.pid)
