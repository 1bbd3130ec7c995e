"""The web server of `manage.py serve`: Waitress, with bounds on what may be left unfinished.

Waitress alone keeps a half-sent request for two minutes and, with a hundred of them, answers
nobody. Here a header has seconds to arrive, a body must keep coming and an answer must be taken;
and where connections run out, room is made by closing one that waits for its client, of the client
that has most of those.
"""

import logging
import re
import socket
import time
from collections import Counter
from typing import Any, Final

import waitress
from waitress.adjustments import Adjustments
from waitress.channel import HTTPChannel
from waitress.parser import HTTPRequestParser, ParsingError
from waitress.server import BaseWSGIServer
from waitress.task import ErrorTask
from waitress.utilities import BadRequest

logger = logging.getLogger(__name__)

HEADER_SECONDS: Final = 10.0
# A body may come as slowly as this on the average, after a start that is given to it.
BODY_SECONDS: Final = 30.0
BODY_BYTES_A_SECOND: Final = 1024
# All that still come may have so much together: it is kept on the disk meanwhile.
MOST_BODY_BYTES: Final = 2 * 1024**3
# For so long an answer may wait without the client taking any of it.
SENDING_SECONDS: Final = 30.0
# So little of an answer the system takes beyond what is on its way: megabytes otherwise, of which a
# slow client takes none for minutes as far as can be seen from here.
UNSENT_BYTES: Final = 128 * 1024
MOST_HEADER_BYTES: Final = 32 * 1024
MOST_CONNECTIONS: Final = 200
# Waitress's own limit, at which it accepts nobody: for when all connections are being answered.
MOST_CONNECTIONS_AT_ALL: Final = 300
# Longer than a proxy keeps an idle connection: else it would send on one that is just closing.
IDLE_SECONDS: Final = 120

LENGTH = re.compile(rb"^content-length:", re.IGNORECASE | re.MULTILINE)
FOLDED_LENGTH = re.compile(rb"^content-length:[^\n]*\n[ \t]", re.IGNORECASE | re.MULTILINE)
CODING = re.compile(rb"^transfer-encoding:[ \t]*(.*?)[ \t\r]*$", re.IGNORECASE | re.MULTILINE)
VERSION_1_1 = re.compile(rb"[^\r\n]* HTTP/1\.1[ \t]*\r\n")


class RequestParser(HTTPRequestParser):
    """Waitress's, which also knows when the request began, and refuses two lengths of one body."""

    completed: bool

    def __init__(self, adj: Adjustments) -> None:
        super().__init__(adj)
        self.began = time.monotonic()
        self.opening = b""

    @property
    def is_head(self) -> bool:
        """Whether it asks for the header alone: known even where the rest cannot be read."""
        return self.opening == b"HEAD "

    def received(self, data: bytes) -> int:
        if len(self.opening) < 5:
            self.opening = (self.opening + data).lstrip()[:5]
        consumed: int = super().received(data)
        # What stands between chunks is kept in memory until its line ends.
        if self.chunked and not self.completed:
            between = self.body_rcv.control_line + self.body_rcv.trailer
            if len(between) > MOST_HEADER_BYTES:
                self.error = BadRequest("The line between two chunks does not end.")
                self.completed = True
        return consumed

    def parse_header(self, header_plus: bytes) -> None:
        if problem := unclear_length(header_plus):
            raise ParsingError(problem)
        super().parse_header(header_plus)
        # Nothing is to follow: Waitress would wait for it, and take the next request for it.
        if not self.content_length and not self.chunked:
            self.expect_continue = False


def unclear_length(header: bytes) -> str:
    """Return why a proxy could take the body for longer or shorter than we do; '' where not.

    What one of the two takes for the rest of a body is to the other the next request.
    """
    if FOLDED_LENGTH.search(header):
        return "Content-Length cannot go on in a second line."
    codings = CODING.findall(header)
    if not codings:
        return ""
    if LENGTH.search(header):
        return "Content-Length and Transfer-Encoding cannot both be sent."
    if not VERSION_1_1.match(header):
        return "Transfer-Encoding is of HTTP/1.1 alone."
    if [coding.lower() for coding in codings] != [b"chunked"]:
        return "Transfer-Encoding can only be chunked, once."
    return ""


class HeadErrorTask(ErrorTask):
    """Waitress's answer to what it cannot read; to a HEAD request without its body."""

    def write(self, data: bytes) -> None:
        super().write(b"" if self.channel.requests[0].is_head else data)


class Channel(HTTPChannel):
    """A connection that does not wait for its client for ever."""

    parser_class = RequestParser
    error_task_class = HeadErrorTask
    header_seconds = HEADER_SECONDS
    body_seconds = BODY_SECONDS
    most_body_bytes = MOST_BODY_BYTES
    sending_seconds = SENDING_SECONDS
    most_connections = MOST_CONNECTIONS

    def __init__(self, server: Any, sock: Any, addr: Any, adj: Any, map: Any = None) -> None:
        sock.setsockopt(socket.IPPROTO_TCP, socket.TCP_NOTSENT_LOWAT, UNSENT_BYTES)
        super().__init__(server, sock, addr, adj, map=map)
        self.opened = time.monotonic()
        self.sending_stands_since: float | None = None
        self._make_room()

    def readable(self) -> bool:
        """Asked by Waitress before each wait, at least once a second."""
        if self._takes_nothing():
            logger.info("closed a connection whose client took nothing of its answer")
            # Not `will_close`: Waitress acts on that once the full socket takes something again.
            self.close_when_flushed = False
            self.handle_close()
            return False
        if self.waits_for_client() and time.monotonic() > self._must_have_come_by():
            logger.info("closed a connection whose request did not arrive in time")
            self.will_close = True
        return bool(super().readable())

    def _takes_nothing(self) -> bool:
        """Whether an answer waits and nothing of it could be sent for too long."""
        now = time.monotonic()
        if not self.total_outbufs_len:
            self.sending_stands_since = None
        elif self.sending_stands_since is None:
            self.sending_stands_since = now
        since = self.sending_stands_since
        return since is not None and now - since > self.sending_seconds

    def _flush_some(self, do_close: bool = True) -> bool:
        """Waitress's one way to send: returns whether anything was sent."""
        sent = bool(super()._flush_some(do_close=do_close))
        if sent:
            self.sending_stands_since = None
        return sent

    def received(self, data: bytes) -> bool:
        """Called by Waitress with what has come: returns whether it was taken."""
        is_taken = bool(super().received(data))
        self._bound_bodies()
        return is_taken

    def _bound_bodies(self) -> None:
        """Close the largest body of the client that sends most, where all together are too much."""
        sizes = {
            each: each.request.body_bytes_received
            for each in self.server.active_channels.values()
            if each.request is not None and not each.will_close
        }
        if sum(sizes.values()) > self.most_body_bytes:
            of_clients: Counter[str] = Counter()
            for each, size in sizes.items():
                of_clients[each.addr[0]] += size
            ((most_sending, _),) = of_clients.most_common(1)
            theirs = [each for each in sizes if each.addr[0] == most_sending]
            logger.warning("closed a connection: the bodies that come are too large together")
            max(theirs, key=sizes.__getitem__).will_close = True

    def waits_for_client(self) -> bool:
        """Whether nothing is being answered or sent on it, and it is not closing."""
        busy = self.requests or self.total_outbufs_len
        return not (busy or self.will_close or self.close_when_flushed)

    def _must_have_come_by(self) -> float:
        """Return when, on the monotonic clock, we lose patience with what is being received."""
        request = self.request
        if request is None:
            has_sent = self.last_activity != self.creation_time
            # Between two requests Waitress closes it, after IDLE_SECONDS.
            return float("inf") if has_sent else self.opened + self.header_seconds
        until = request.began + self.header_seconds
        if request.headers_finished:
            until += self.body_seconds + request.body_bytes_received / BODY_BYTES_A_SECOND
        return float(until)

    def _make_room(self) -> None:
        others = [each for each in self.server.active_channels.values() if each is not self]
        if len(others) < self.most_connections:
            return
        waiting = [each for each in others if each.waits_for_client()]
        if waiting:
            ((most_waiting, _),) = Counter(each.addr[0] for each in waiting).most_common(1)
            theirs = [each for each in waiting if each.addr[0] == most_waiting]
            min(theirs, key=lambda each: each.last_activity).will_close = True


def create_server(application: Any, channel: type[Channel] = Channel, **options: Any) -> Any:
    """Return a server, to be `run()`, of the WSGI application; options as Waitress has them."""
    sockets: dict[int, Any] = {}
    server = waitress.create_server(
        application,
        map=sockets,
        ident=None,
        connection_limit=MOST_CONNECTIONS_AT_ALL,
        max_request_header_size=MOST_HEADER_BYTES,
        channel_timeout=IDLE_SECONDS,
        # The other way of waiting cannot be used with more than a thousand files and connections.
        asyncore_use_poll=True,
        **options,
    )
    for listening in sockets.values():
        if isinstance(listening, BaseWSGIServer):
            listening.channel_class = channel
    return server
