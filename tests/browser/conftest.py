"""A real server with the demo scenario in it, and Debian's Chromium to look at it with."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.faults.server import Server
from tests.prepared import DEMO_PASSWORD, demo_set_up

LAUNCH = [
    "--headless",
    "--no-sandbox",
    "--disable-quic",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
SIGN_IN = {"owner": "ines@larkmoor.example", "password": DEMO_PASSWORD}


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    chromium = shutil.which("chromium")
    assert chromium, "the Chromium browser is missing: run `.ci/system browser`"
    return {**browser_type_launch_args, "executable_path": chromium, "args": LAUNCH}


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The demo as `make demo` sets it up, served by the production server."""
    folder = tmp_path_factory.mktemp("demo")
    shutil.copytree(demo_set_up(), folder, dirs_exist_ok=True)
    server = Server(folder, settings="restoration.settings.base")
    server.start()
    yield server
    server.kill()


class Complaints(list[str]):
    """What a page's console complained of: errors, and whatever the content policy refused."""

    def listen_to(self, page: Page) -> None:
        page.on("pageerror", lambda error: self.append(f"error: {error}"))
        page.on(
            "console",
            lambda message: self.append(message.text) if message.type == "error" else None,
        )


@pytest.fixture(scope="session")
def signed_in_state(demo: Server, browser: Browser, tmp_path_factory) -> Path:
    """The owner's cookies, got once through the sign-in page itself."""
    state = tmp_path_factory.mktemp("state") / "owner.json"
    context = browser.new_context(service_workers="block")
    page = context.new_page()
    page.goto(demo.url)
    page.get_by_label("Email").fill(SIGN_IN["owner"])
    page.get_by_label("Password").fill(SIGN_IN["password"])
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(demo.url + "/")
    context.storage_state(path=state)
    context.close()
    return state


@pytest.fixture
def visit(demo, browser, signed_in_state):
    """A function that opens a signed-in page, wide and coloured as asked; a complaint fails.

    `listen=False` where a tool of the test works in the page: what it adds is refused too.
    """
    contexts, complaints = [], Complaints()

    def open_page(width: int = 1280, scheme: str = "light", listen: bool = True) -> Page:
        context = browser.new_context(
            storage_state=signed_in_state,
            viewport={"width": width, "height": 800},
            color_scheme=scheme,
            reduced_motion="reduce",
            service_workers="block",
            base_url=demo.url,
        )
        contexts.append(context)
        page = context.new_page()
        if listen:
            complaints.listen_to(page)
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert complaints == []
