"""What the web server bears from its clients: half-sent requests, slow ones, unclear lengths."""

import contextlib
import re
import socket
import threading
import time

import pytest
from waitress import wasyncore

from sites.web_server import Channel, create_server
from tests.faults.raw_http import connect, read_to_end

HALF = b"GET / HTTP/1.1\r\nHost: localhost\r\n"
WHOLE = HALF + b"\r\n"
LONG = b"GET /long HTTP/1.1\r\nHost: localhost\r\n\r\n"
LONG_BYTES = 6_000_000
ATTACKER, SOMEBODY = "127.0.0.2", "127.0.0.3"


def application(environ, start_response):
    """Answer with the length of the body that came, or at length."""
    if environ["PATH_INFO"] == "/long":
        start_response("200 OK", [("Content-Length", str(LONG_BYTES))])
        return [b"x" * 60_000] * (LONG_BYTES // 60_000)
    text = str(len(environ["wsgi.input"].read())).encode()
    start_response("200 OK", [("Content-Length", str(len(text)))])
    return [text]


@contextlib.contextmanager
def serving(most_waiting_bytes=200_000, **bounds):
    """A server with bounds of the test's own: the port it listens at."""
    channel = type("TestChannel", (Channel,), bounds)
    options = {"threads": 2, "outbuf_high_watermark": most_waiting_bytes}
    server = create_server(application, channel, host="127.0.0.1", port=0, **options)
    thread = threading.Thread(target=server.run)
    thread.start()
    try:
        yield server.effective_port
    finally:
        # In the server's own thread, which ends when nothing is open any more.
        server.trigger.pull_trigger(lambda: wasyncore.close_all(server._map))
        thread.join()
        server.task_dispatcher.shutdown()


def answer_of(connection: socket.socket) -> bytes:
    """One answer, header and body."""
    received = b""
    while not re.search(rb"Content-Length: (\d+)\r\n.*\r\n\r\n\d+$", received, re.DOTALL):
        data = connection.recv(4096)
        assert data, received
        received += data
    return received


@pytest.fixture(scope="module")
def port():
    with serving() as port:
        yield port


@pytest.fixture(scope="module")
def impatient_port():
    """A server that waits for nobody: it has long lost patience when it first looks."""
    with serving(header_seconds=0.2, body_seconds=0.2) as port:
        yield port


def post(*lines: str, version: str = "1.1", body: str = "") -> bytes:
    return "\r\n".join([f"POST / HTTP/{version}", "Host: localhost", *lines, "", body]).encode()


SMUGGLED = "GET /smuggled HTTP/1.1\r\nHost: localhost\r\n\r\n"
CHUNKS = f"0\r\n\r\n{SMUGGLED}"


@pytest.mark.parametrize(
    "request_bytes",
    [
        post("Content-Length: 5", "Transfer-Encoding: chunked", body=CHUNKS),
        post("Transfer-Encoding: chunked", "Content-Length: 5", body=CHUNKS),
        post("transfer-encoding:chunked", "content-length:5", body=CHUNKS),
        post("Content-Length: 5", "Transfer-Encoding:", body=f"12345{SMUGGLED}"),
        post("Content-Length: 5", "Transfer-Encoding:\r\n chunked", body=CHUNKS),
        post("Content-Length: 5", "Content-Length: 6", body=f"12345{SMUGGLED}"),
        post("Content-Length:\r\n 5", body=f"12345{SMUGGLED}"),
        post("content-length: \r\n\t5", body=f"12345{SMUGGLED}"),
        post("Content-Length: 5, 6", body=f"12345{SMUGGLED}"),
        post("Content-Length: +5", body=f"12345{SMUGGLED}"),
        post("Transfer-Encoding: chunked", "Transfer-Encoding: chunked", body=CHUNKS),
        post("Transfer-Encoding: chunked, chunked", body=CHUNKS),
        post("Transfer-Encoding: identity", body=CHUNKS),
        post("Transfer-Encoding: chunked", version="1.0", body=CHUNKS),
        post("Transfer-Encoding: chunked", version="1.2", body=CHUNKS),
        post("Transfer-Encoding : chunked", body=CHUNKS),
    ],
)
def test_a_body_of_unclear_length_is_refused_and_nothing_after_it_is_read(port, request_bytes):
    with connect(port) as connection:
        connection.sendall(request_bytes)
        received = read_to_end(connection)
    assert received.startswith((b"HTTP/1.0 400", b"HTTP/1.1 400")), received
    assert len(re.findall(rb"HTTP/1\.\d \d\d\d ", received)) == 1


@pytest.mark.parametrize("method", ["HEAD", "GET"])
def test_what_cannot_be_read_is_refused_and_a_head_request_without_a_body(port, method):
    with connect(port) as connection:
        connection.sendall(f"{method} / HTTP/1.1\r\nHost: localhost\r\nno header\r\n\r\n".encode())
        header, _, body = read_to_end(connection).partition(b"\r\n\r\n")
    assert header.split()[1] == b"400"
    assert bool(body) == (method == "GET")


def test_a_body_of_clear_length_is_read(port):
    for request_bytes in (
        post("Content-Length: 5", body="12345"),
        post("Transfer-Encoding: chunked", body="5\r\n12345\r\n0\r\n\r\n"),
    ):
        with connect(port) as connection:
            connection.sendall(request_bytes)
            assert answer_of(connection).endswith(b"\r\n\r\n5")


@pytest.mark.parametrize("lines", [[], ["Content-Length: 0"]])
def test_who_waits_to_be_asked_for_no_body_is_answered_at_once(port, lines):
    """Some clients say so with every request; the one after it is another."""
    with connect(port) as connection:
        connection.settimeout(5)
        connection.sendall(post("Expect: 100-continue", *lines))
        assert answer_of(connection).startswith(b"HTTP/1.1 200")
        connection.sendall(WHOLE)
        assert answer_of(connection).startswith(b"HTTP/1.1 200")


def test_who_waits_to_be_asked_for_a_body_is_asked(port):
    with connect(port) as connection:
        connection.sendall(post("Expect: 100-continue", "Content-Length: 5"))
        assert connection.recv(4096) == b"HTTP/1.1 100 Continue\r\n\r\n"
        connection.sendall(b"12345")
        assert answer_of(connection).endswith(b"\r\n\r\n5")


def test_a_line_between_chunks_that_does_not_end_is_refused(port):
    with connect(port) as connection:
        connection.sendall(post("Transfer-Encoding: chunked", body="5;" + "x" * 40_000))
        assert connection.recv(4096).startswith(b"HTTP/1.1 400")


@pytest.mark.parametrize(
    "half",
    [b"", HALF, post("Content-Length: 500000", body="x"), post("Transfer-Encoding: chunked")],
    ids=["nothing", "half a header", "half a body", "no chunk"],
)
def test_what_does_not_arrive_in_time_is_given_up(impatient_port, half):
    with connect(impatient_port) as connection:
        connection.sendall(half)
        assert read_to_end(connection) == b""


def test_a_connection_between_two_requests_is_kept(impatient_port):
    with connect(impatient_port) as idle, connect(impatient_port) as half_sent:
        idle.sendall(WHOLE)
        assert answer_of(idle).startswith(b"HTTP/1.1 200")
        half_sent.sendall(HALF)
        assert read_to_end(half_sent) == b""
        idle.sendall(WHOLE)
        assert answer_of(idle).startswith(b"HTTP/1.1 200")


def test_a_body_that_keeps_coming_is_read_however_long_it_takes(impatient_port):
    """At the slowest pace that is allowed, for longer than the header and the start may take."""
    size = 40 * 1024
    with connect(impatient_port) as slow, connect(impatient_port) as stalled:
        slow.sendall(post(f"Content-Length: {size}", body="x" * (size - 1)))
        stalled.sendall(post(f"Content-Length: {size}", body="x"))
        assert read_to_end(stalled) == b""
        slow.sendall(b"x")
        assert answer_of(slow).endswith(str(size).encode())


def test_where_bodies_are_too_large_together_the_client_that_sends_most_loses_its_largest():
    with serving(most_body_bytes=200_000) as port, contextlib.ExitStack() as opened:
        honest = opened.enter_context(connect(port, SOMEBODY))
        honest.sendall(post("Content-Length: 80001", body="x" * 80_000))
        attack = [opened.enter_context(connect(port, ATTACKER)) for _ in range(2)]
        for connection, size in zip(attack, (75_000, 60_000), strict=True):
            connection.sendall(post("Content-Length: 1000000", body="x" * size))
        attack[0].settimeout(5)
        with contextlib.suppress(ConnectionResetError):
            assert read_to_end(attack[0]) == b""
        honest.sendall(b"x")
        assert answer_of(honest).endswith(b"\r\n\r\n80001")


def test_clients_that_take_nothing_of_their_answers_keep_nobody_else_from_one():
    with serving(sending_seconds=0.5) as port, contextlib.ExitStack() as opened:
        attack = [opened.enter_context(connect(port, ATTACKER)) for _ in range(3)]
        for connection in attack:
            connection.sendall(LONG * 3)
        other = opened.enter_context(connect(port, SOMEBODY))
        other.settimeout(15)
        other.sendall(WHOLE)
        assert answer_of(other).startswith(b"HTTP/1.1 200")


def test_a_whole_answer_that_nobody_takes_is_given_up():
    """Nothing produces it any more: it only waits."""
    with serving(2 * LONG_BYTES, sending_seconds=0.5) as port, connect(port) as connection:
        connection.sendall(LONG)
        time.sleep(2.5)
        with contextlib.suppress(ConnectionResetError):
            assert len(read_to_end(connection)) < LONG_BYTES


def test_a_client_that_reads_slowly_gets_all_of_its_answer():
    """It takes four times as long as an answer may wait untouched."""
    with serving(sending_seconds=1) as port, connect(port) as slow:
        slow.sendall(LONG)
        received = 0
        while received < LONG_BYTES:
            data = slow.recv(100_000)
            assert data, received
            received += len(data)
            time.sleep(4 * len(data) / LONG_BYTES)


@pytest.mark.parametrize("half", [b"", HALF, post("Content-Length: 500", body="x")])
def test_where_connections_run_out_the_client_that_leaves_most_unfinished_loses(half):
    with serving(most_connections=10) as port, contextlib.ExitStack() as opened:
        idle = opened.enter_context(connect(port, SOMEBODY))
        idle.sendall(WHOLE)
        assert answer_of(idle).startswith(b"HTTP/1.1 200")
        attack = [opened.enter_context(connect(port, ATTACKER)) for _ in range(30)]
        for connection in attack:
            connection.sendall(half)
        other = opened.enter_context(connect(port, SOMEBODY))
        other.sendall(WHOLE)
        assert answer_of(other).startswith(b"HTTP/1.1 200")
        idle.sendall(WHOLE)
        assert answer_of(idle).startswith(b"HTTP/1.1 200")
        attack[0].settimeout(30)
        assert read_to_end(attack[0]) == b""
