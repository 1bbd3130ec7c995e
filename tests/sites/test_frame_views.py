"""What frames every page: the menu, the content policy, signing in, and the pages of errors."""

import json
import re

import pytest
from django.core import mail
from django.test import Client, RequestFactory

from sites.templatetags.frame import menu_here
from sites.web import csrf_failure


def test_the_page_sets_htmx_to_the_content_policy(reader):
    page = reader.get("/buildings/").content.decode()
    config = json.loads(re.search(r"name=\"htmx-config\" content='([^']+)'", page)[1])
    assert config["allowEval"] is False
    assert config["allowScriptTags"] is False
    assert config["includeIndicatorStyles"] is False
    assert config["historyCacheSize"] == 0
    assert {"code": "422", "swap": True} in config["responseHandling"]


def test_the_content_policy_allows_nothing_inline(reader):
    policy = reader.get("/buildings/")["Content-Security-Policy"]
    sources = dict(part.strip().split(" ", 1) for part in policy.split(";"))
    assert sources["default-src"] == sources["frame-ancestors"] == sources["object-src"] == "'none'"
    assert {"'none'", "'self'"} >= {sources[of] for of in sources if of != "img-src"}
    assert sources["img-src"] == "'self' data:"


def test_the_page_can_be_skipped_to_its_content_and_carries_the_token(reader):
    page = reader.get("/buildings/").content.decode()
    assert page.index('href="#content"') < page.index("<header")
    assert re.search(r"hx-headers='\{\"X-CSRFToken\": \"\w{32,}\"\}'", page)


def test_the_menu_offers_what_the_user_may_do(studio_owner, reader):
    owned = studio_owner.get("/buildings/").content.decode()
    read = reader.get("/buildings/").content.decode()
    assert 'href="/studio/"' in owned
    assert 'href="/rate-books/"' in owned
    assert 'href="/studio/"' not in read
    assert 'href="/rate-books/"' not in read


@pytest.mark.parametrize(
    ("path", "entry"),
    [
        ("/", "today"),
        ("/openings/x/", "buildings"),
        ("/studio/", "studio"),
        ("/class-rules/", "studio"),
        ("/danger-rows/x/edit/", "studio"),
        ("/me/", "me"),
    ],
)
def test_the_menu_marks_where_one_is(path, entry):
    assert menu_here({"request": RequestFactory().get(path)}) == entry


def test_one_signs_in_with_address_and_password(client, people):
    page = client.get("/accounts/login/?next=/buildings/").content.decode()
    assert 'name="next" value="/buildings/"' in page
    answer = client.post(
        "/accounts/login/",
        {
            "login": people["reader"].email,
            "password": "a long password for tests",
            "next": "/buildings/",
        },
    )
    assert answer["Location"] == "/buildings/"


def test_a_wrong_password_says_so_at_the_top_and_keeps_the_address(client, people):
    answer = client.post(
        "/accounts/login/", {"login": people["reader"].email, "password": "not this one"}
    )
    page = answer.content.decode()
    assert "Please mend this first" in page
    assert 'value="reader@studio.example"' in page


def test_nobody_makes_an_account_by_themselves(client, db):
    page = client.post("/accounts/signup/", {"email": "me@else.example", "password1": "x" * 20})
    assert "Accounts are made by the studio" in page.content.decode()


@pytest.mark.parametrize(
    "path",
    [
        "login/",
        "password/reset/",
        "password/reset/done/",
        "password/reset/key/1-abc/",
        "password/reset/key/done/",
        "signup/",
        "inactive/",
    ],
)
def test_the_open_pages_of_accounts_wear_the_frame(client, db, path):
    page = client.get(f"/accounts/{path}").content.decode()
    assert "css/app" in page
    assert page.count("<h1") == 1


@pytest.mark.parametrize("path", ["logout/", "password/change/", "email/", "reauthenticate/"])
def test_the_closed_pages_of_accounts_wear_the_frame(reader, path):
    page = reader.get(f"/accounts/{path}", follow=True).content.decode()
    assert "css/app" in page
    assert page.count("<h1") == 1


def test_a_forgotten_password_is_set_anew_through_a_letter(client, people):
    client.post("/accounts/password/reset/", {"email": people["reader"].email})
    letter = mail.outbox[0]
    assert "set a new password" in letter.body
    link = re.search(r"https?://[^/]+(/accounts/password/reset/key/\S+)", letter.body)[1]
    form = client.get(link, follow=True)
    new = "quarries and cames 1931"
    answer = client.post(
        form.request["PATH_INFO"], {"password1": new, "password2": new}, follow=True
    )
    assert "Your password is changed" in answer.content.decode()
    assert client.login(email="reader@studio.example", password=new)


def test_a_letter_to_an_unknown_address_offers_no_account(client, db):
    client.post("/accounts/password/reset/", {"email": "nobody@else.example"})
    assert "no account" in mail.outbox[0].body
    assert "signup" not in mail.outbox[0].body


def test_without_a_mail_server_the_page_still_answers(client, people, settings, caplog):
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 9
    answer = client.post("/accounts/password/reset/", {"email": "reader@studio.example"})
    assert answer.status_code == 302
    assert "could not be sent" in caplog.text


@pytest.mark.parametrize("signed_in", [True, False])
def test_an_address_of_nothing_says_so_in_words(request, db, signed_in):
    client = request.getfixturevalue("reader") if signed_in else Client()
    answer = client.get("/nowhere/at/all/")
    assert answer.status_code == 404
    assert "This is not here" in answer.content.decode()


def test_a_refused_change_says_whom_to_ask(reader, building):
    page = reader.get(f"{building.get_absolute_url()}edit/").content.decode()
    assert "The owner of the studio can give you another role" in page


def test_a_broken_program_says_what_is_safe(reader, monkeypatch):
    def broken(*_):
        raise RuntimeError("for the test")

    monkeypatch.setattr("sites.views.buildings.marks_of", broken)
    reader.raise_request_exception = False
    answer = reader.get("/buildings/")
    assert answer.status_code == 500
    assert "What you had saved before is safe" in answer.content.decode()


def test_a_form_from_another_address_is_told_which_was_expected(rf, db):
    request = rf.post("/", headers={"origin": "https://elsewhere.example"})
    page = csrf_failure(request, "Origin checking failed").content.decode()
    assert "https://elsewhere.example" in page
    assert "PUBLIC_URL" in page


def test_a_form_without_its_token_is_not_accepted(people):
    client = Client(enforce_csrf_checks=True)
    client.force_login(people["owner"])
    answer = client.post("/me/", {"name": "Rhys", "units": "inch"})
    assert answer.status_code == 403
    assert "This form was not accepted" in answer.content.decode()


def test_htmx_after_the_session_ended_is_sent_to_sign_in_whole(client, db):
    answer = client.get("/buildings/", headers={"HX-Request": "true"})
    assert answer.status_code == 204
    assert answer["HX-Redirect"].startswith("/accounts/login/")
