"""HTTP by hand, over a socket: what a client library would put right is seen as it was sent."""

import socket
from dataclasses import dataclass


@dataclass(frozen=True)
class Answer:
    """The header of an answer."""

    status: int
    headers: dict[str, str]

    @property
    def length(self) -> str:
        return self.headers.get("content-length", "not said")


def request_of(method: str, path: str, *lines: str, host: str = "localhost", session: str = ""):
    """The bytes of a request without a body."""
    cookie = [f"Cookie: sessionid={session}"] if session else []
    return "\r\n".join(
        [f"{method} {path} HTTP/1.1", f"Host: {host}", *cookie, *lines, "", ""]
    ).encode()


def connect(port: int, address: str = "127.0.0.1") -> socket.socket:
    """A connection to the server on this machine, made from `address`: one client of several."""
    return socket.create_connection(("127.0.0.1", port), timeout=60, source_address=(address, 0))


def read_to_end(connection: socket.socket) -> bytes:
    """All that still comes until the server closes the connection."""
    received = b""
    while data := connection.recv(65536):
        received += data
    return received


class Connection:
    """One connection that is kept, made again where the server has closed it."""

    def __init__(self, port: int, session: str = "") -> None:
        self.port = port
        self.session = session
        self.socket = connect(port)
        self.received = b""

    def __enter__(self) -> "Connection":
        return self

    def __exit__(self, *error: object) -> None:
        self.socket.close()

    def head(self, path: str, *lines: str, host: str = "localhost") -> Answer:
        """Return the header of the answer to HEAD; fails where anything came that is none."""
        self.socket.sendall(request_of("HEAD", path, *lines, host=host, session=self.session))
        answer = self._header()
        if answer.headers.get("connection") == "close":
            rest = self.received + read_to_end(self.socket)
            assert rest == b"", f"a body after HEAD {path}: {rest[:60]!r}"
            self.socket.close()
            self.socket, self.received = connect(self.port), b""
        return answer

    def get(self, path: str, *lines: str) -> tuple[Answer, bytes]:
        """Return the header and the body, as long as the header says that it is."""
        self.socket.sendall(request_of("GET", path, *lines, session=self.session))
        answer = self._header()
        length = int(answer.length)
        while len(self.received) < length:
            self.received += self.socket.recv(65536)
        body, self.received = self.received[:length], self.received[length:]
        return answer, body

    def _header(self) -> Answer:
        while b"\r\n\r\n" not in self.received:
            data = self.socket.recv(65536)
            assert data, f"closed after {self.received[:60]!r}"
            self.received += data
        header, self.received = self.received.split(b"\r\n\r\n", 1)
        first, *lines = header.decode("latin-1").split("\r\n")
        assert first.startswith("HTTP/1.1 "), f"the body of the answer before: {first[:60]!r}"
        pairs = (line.partition(": ") for line in lines)
        return Answer(int(first.split()[1]), {name.lower(): value for name, _, value in pairs})
