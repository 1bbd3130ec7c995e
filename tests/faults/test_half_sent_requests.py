"""One client that leaves its requests half sent keeps nobody else from being answered."""

import contextlib

import pytest

from tests.faults.raw_http import connect, read_to_end, request_of

pytestmark = pytest.mark.faults

ATTACKER, SOMEBODY = "127.0.0.2", "127.0.0.3"
HALVES = {
    "half a header": b"GET / HTTP/1.1\r\nHost: localhost\r\n",
    "half a body": b"POST / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 9\r\n\r\nx",
}


@pytest.mark.parametrize("half", HALVES)
@pytest.mark.parametrize("count", [120, 300])
def test_somebody_else_is_answered(served, count, half):
    """Without a bound they would wait for two minutes: longer than `connect` does."""
    with contextlib.ExitStack() as opened:
        for _ in range(count):
            attack = opened.enter_context(connect(served.server.port, ATTACKER))
            attack.sendall(HALVES[half])
        other = opened.enter_context(connect(served.server.port, SOMEBODY))
        other.sendall(request_of("GET", "/accounts/login/", "Connection: close"))
        assert read_to_end(other).startswith(b"HTTP/1.1 200")
