"""The web application, for any WSGI server."""

import os
from collections.abc import Callable, Iterable
from typing import Any

from django.core.wsgi import get_wsgi_application

Application = Callable[[dict[str, Any], Callable[..., Any]], Iterable[bytes]]

WITHOUT_BODY = ("1", "204", "304")


def without_head_bodies(application: Application) -> Application:
    """Return the application with every answer to a HEAD request emptied.

    Django leaves this to the server, and not every server does it. A body sent all the same is
    taken by a proxy that keeps its connections for the beginning of the next answer: a stranger's.
    The headers stay as a GET would have them, with the length.
    """

    def answer(environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
        if environ["REQUEST_METHOD"] != "HEAD":
            return application(environ, start_response)
        begun: list[Any] = []

        def begin(status: str, headers: list[tuple[str, str]], exc_info: Any = None) -> Any:
            begun[:] = [status, headers, exc_info]
            return lambda data: None

        body = application(environ, begin)
        try:
            status, headers, exc_info = begun
            measured = any(name.lower() == "content-length" for name, _ in headers)
            if not measured and not status.startswith(WITHOUT_BODY):
                # Without a length Waitress would send the mark that ends a chunked body.
                headers = [*headers, ("Content-Length", str(sum(map(len, body))))]
        finally:
            if hasattr(body, "close"):
                body.close()
        start_response(status, headers, exc_info)
        return []

    return answer


os.environ.setdefault("DJANGO_SETTINGS_MODULE", "restoration.settings.base")
application = without_head_bodies(get_wsgi_application())
