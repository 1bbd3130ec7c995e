"""A HEAD request is answered without a body, whoever answers it: seen on the socket itself."""

import socket
import subprocess
import sys

import pytest

from sites.web_server import MOST_HEADER_BYTES
from tests.addresses import names
from tests.faults.raw_http import Connection, connect, read_to_end, request_of
from tests.faults.server import ROOT, wait_for

pytestmark = pytest.mark.faults

NOTHING = "/there/is/nothing/here/"


def test_no_address_answers_head_with_a_body(served):
    """One request after another on one connection: a body would be read as the next answer."""
    assert set(served.pages) == set(names())
    with Connection(served.server.port, served.session) as connection:
        answers = {name: connection.head(path) for name, path in served.pages.items()}
        connection.head(NOTHING, "Connection: close")
    assert [name for name, answer in answers.items() if answer.status >= 500] == []
    assert sum(answer.status == 200 for answer in answers.values()) > 30
    assert [name for name, answer in answers.items() if answer.length == "not said"] == []


@pytest.mark.parametrize(
    "name", ["restoration:quote", "condition:report-pdf", "today", "static", "nothing"]
)
def test_head_says_how_long_the_page_is(served, name):
    path = {**served.pages, "static": served.static_file, "nothing": NOTHING}[name]
    with Connection(served.server.port, served.session) as connection:
        head = connection.head(path)
        get, body = connection.get(path)
    assert body
    assert (head.status, head.length) == (get.status, get.length)


TOO_LONG = b"HEAD / HTTP/1.1\r\nCookie: ".ljust(MOST_HEADER_BYTES, b"x")


@pytest.mark.parametrize(
    ("status", "request_bytes"),
    [
        (400, request_of("HEAD", "/", "Connection: close", host="another.example")),
        (400, request_of("HEAD", "/", "A line that is no header")),
        (431, TOO_LONG),
    ],
    ids=["of another host", "with an unreadable header", "with too long a header"],
)
def test_a_refused_head_request_has_no_body_either(served, status, request_bytes):
    with connect(served.server.port) as connection:
        connection.sendall(request_bytes)
        header, _, body = read_to_end(connection).partition(b"\r\n\r\n")
    assert header.split()[1] == str(status).encode()
    assert body == b""


@pytest.fixture
def gunicorn_port(served):
    """The port of another WSGI server before the same application."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    process = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "-b", f"127.0.0.1:{port}", "restoration.wsgi"],
        cwd=ROOT,
        env=served.server.environment | {"PYTHONDONTWRITEBYTECODE": "1"},
        stderr=subprocess.DEVNULL,
    )
    try:
        wait_for(lambda: is_open(port), "gunicorn to listen")
        yield port
    finally:
        process.terminate()
        process.wait()


def is_open(port: int) -> bool:
    with socket.socket() as trial:
        return trial.connect_ex(("127.0.0.1", port)) == 0


def test_another_wsgi_server_does_the_same(served, gunicorn_port):
    quote = served.pages["restoration:quote"]
    with Connection(gunicorn_port, served.session) as connection:
        for path in (quote, served.static_file, NOTHING, quote):
            assert int(connection.head(path).length) > 0
        connection.head(quote, "Connection: close")
