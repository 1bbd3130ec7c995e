"""What an address's settings come to behind a proxy and without: guarded cookies, and https.

The policies of every answer are looked at in tests/test_urls_by_role.py.
"""

import json
import os
import subprocess
import sys

import pytest
from django.test import Client

from tests.factories import UserFactory

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]

NAMES = (
    "SESSION_COOKIE_SECURE",
    "CSRF_COOKIE_SECURE",
    "SECURE_SSL_REDIRECT",
    "SECURE_PROXY_SSL_HEADER",
    "SECURE_HSTS_SECONDS",
)
PRINT = (
    "import json; from restoration.settings import base; "
    f"print(json.dumps({{name: getattr(base, name) for name in {NAMES!r}}}))"
)


def settings_for(**environment) -> dict[str, object]:
    """What the settings come to, read by a program of its own with this environment."""
    done = subprocess.run(
        [sys.executable, "-c", PRINT],
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        check=True,
    )
    read: dict[str, object] = json.loads(done.stdout)
    return read


@pytest.fixture
def signed_in(settings):
    """A function that signs somebody in under an address's settings and returns the answer."""

    def sign_in(read, **headers):
        for name, value in read.items():
            setattr(settings, name, tuple(value) if isinstance(value, list) else value)
        user = UserFactory()
        client = Client()
        sent = {"login": user.email, "password": "a long password for tests"}
        client.get("/accounts/login/", headers=headers)
        return client, client.post("/accounts/login/", sent, headers=headers)

    return sign_in


def test_behind_a_proxy_cookies_go_by_https_alone_and_no_script_reads_the_session(signed_in):
    read = settings_for(PUBLIC_URL="https://records.example.org", BEHIND_PROXY="1")
    client, answer = signed_in(read, **{"X-Forwarded-Proto": "https"})
    assert answer.status_code == 302
    session, csrf = client.cookies["sessionid"], client.cookies["csrftoken"]
    assert [session["secure"], csrf["secure"]] == [True, True]
    assert session["httponly"] is True
    assert [session["samesite"], csrf["samesite"]] == ["Lax", "Lax"]
    assert [session["domain"], csrf["domain"]] == ["", ""]
    assert "max-age=31536000" in answer["Strict-Transport-Security"]


def test_behind_a_proxy_what_came_without_https_is_sent_there_and_gets_no_cookie(signed_in):
    read = settings_for(PUBLIC_URL="https://records.example.org", BEHIND_PROXY="1")
    client, answer = signed_in(read)
    assert (answer.status_code, answer.url[:8]) == (301, "https://")
    assert not client.cookies


def test_without_a_proxy_nobody_says_by_a_header_that_it_was_https(signed_in):
    read = settings_for(PUBLIC_URL="http://localhost:8000", BEHIND_PROXY="0")
    assert read["SECURE_PROXY_SSL_HEADER"] is None
    client, answer = signed_in(read, **{"X-Forwarded-Proto": "https"})
    assert answer.status_code == 302
    assert not answer.wsgi_request.is_secure()
    assert client.cookies["sessionid"]["httponly"] is True
