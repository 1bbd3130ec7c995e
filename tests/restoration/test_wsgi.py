"""A HEAD request is answered by the headers of a GET and no byte of its page."""

import pytest

from restoration.wsgi import without_head_bodies

PAGE = [b"somebody's ", b"prices"]


class Body:
    """An answer that has to be closed, as those are that send a file."""

    def __init__(self, parts):
        self.parts, self.is_closed = parts, False

    def __iter__(self):
        return iter(self.parts)

    def close(self):
        self.is_closed = True


def answered(method, status="200 OK", headers=(), written=b""):
    """What a server would send: the status, the headers, the bytes; and whether all was closed."""
    begun, sent, body = [], [], Body(PAGE)

    def application(environ, start_response):
        write = start_response(status, list(headers))
        if written:
            write(written)
        return body

    def start_response(status, headers, exc_info=None):
        begun[:] = [status, dict(headers)]
        return sent.append

    answer = without_head_bodies(application)({"REQUEST_METHOD": method}, start_response)
    sent += answer
    if hasattr(answer, "close"):
        answer.close()
    return *begun, b"".join(sent), body.is_closed


def test_a_get_is_answered_with_the_page():
    assert answered("GET") == ("200 OK", {}, b"".join(PAGE), True)


@pytest.mark.parametrize("headers", [(), (("content-length", "17"),)], ids=["unsaid", "said"])
def test_a_head_is_answered_with_the_length_of_the_page_alone(headers):
    status, told, body, is_closed = answered("HEAD", headers=headers, written=b"a page begun")
    assert (status, body, is_closed) == ("200 OK", b"", True)
    assert {name.lower(): length for name, length in told.items()} == {"content-length": "17"}


@pytest.mark.parametrize("status", ["204 No Content", "304 Not Modified"])
def test_an_answer_that_has_no_body_is_given_no_length(status):
    assert answered("HEAD", status) == (status, {}, b"", True)
