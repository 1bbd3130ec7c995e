"""Somebody at work: signs in to a real server and posts forms, as a browser would."""

import http.cookiejar
import urllib.error
import urllib.parse
import urllib.request

from tests.faults.server import Server


class Stay(urllib.request.HTTPRedirectHandler):
    """Answers with the redirect itself."""

    def redirect_request(self, *_args: object, **_kwargs: object) -> None:
        return None


class Person:
    """One signed-in session over real HTTP."""

    def __init__(self, server: Server, email: str, password: str) -> None:
        self.server = server
        self.cookies = http.cookiejar.CookieJar()
        cookies = urllib.request.HTTPCookieProcessor(self.cookies)
        self.web = urllib.request.build_opener(cookies)
        self.web_that_stays = urllib.request.build_opener(cookies, Stay)
        self.get("/accounts/login/")
        status, address = self.post("/accounts/login/", login=email, password=password)
        assert status == 200, f"{email} could not sign in: {status}"
        assert "login" not in address, f"{email} could not sign in"

    def get(self, path: str) -> int:
        with self.web.open(self.server.url + path, timeout=60) as page:
            page.read()
            return int(page.status)

    def post(self, path: str, *, follow: bool = True, **fields: str) -> tuple[int, str]:
        """Return the status after all redirects, and the address it ended at.

        follow: False for the status of the answer itself, whose next page nobody asks for.
        """
        token = next(cookie.value for cookie in self.cookies if cookie.name == "csrftoken")
        data = urllib.parse.urlencode(fields | {"csrfmiddlewaretoken": token}).encode()
        request = urllib.request.Request(
            self.server.url + path, data, {"Referer": self.server.url + path}
        )
        try:
            web = self.web if follow else self.web_that_stays
            with web.open(request, timeout=120) as page:
                page.read()
                return int(page.status), str(page.url)
        except urllib.error.HTTPError as error:
            error.read()
            error.close()
            return error.code, path
