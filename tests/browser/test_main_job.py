"""The main job by hand: from a building nobody has registered to an accepted quote."""

import hashlib
import io
import re

import pytest
from playwright.sync_api import Page, expect

from restoration.demo.photographs import picture_of
from restoration.demo.scenario import Scenario

pytestmark = pytest.mark.browser
PATIENCE = 120_000  # printing on a busy machine, ms


def fill(page: Page, **boxes: str) -> None:
    """Fill boxes by their label; underscores stand for spaces."""
    for label, text in boxes.items():
        words = re.compile(rf"^{label.replace('_', ' ')}\b", re.IGNORECASE)
        box = page.locator("main").get_by_label(words).first
        if box.evaluate("element => element.tagName") == "SELECT":
            box.select_option(text)  # by its value or its label
        else:
            box.fill(text)


def press(page: Page, name: str) -> None:
    page.locator("main").get_by_role("button", name=name, exact=True).first.click()


def follow(page: Page, name: str) -> None:
    page.locator("main").get_by_role("link", name=name, exact=True).first.click()


@pytest.fixture(scope="session")
def photograph() -> bytes:
    """One of the demo's generated photographs, as bytes of a JPEG."""
    scenario = Scenario()
    plan = next(plan for plan in scenario.photographs if plan.finding)
    file = io.BytesIO()
    picture_of(plan, scenario).save(file, "JPEG", quality=90)
    return file.getvalue()


def register(page: Page, name: str) -> None:
    page.goto("/buildings/add/")
    fill(page, Name=name, Town_or_village="Osier Ford", Currency="USD")
    press(page, "Register the building")
    follow(page, "Add an opening")
    fill(page, Number="sII", Subject_of_the_window="The Heron", Width='34 3/8"', Height="6' 2\"")
    fill(page, Lights="1", Head="Two-centred (pointed) head")
    press(page, "Save the opening")
    follow(page, "Add a panel")
    fill(page, Number="1a", Pieces_of_glass="46")
    press(page, "Save the panel")
    follow(page, "Add an item")
    fill(page, Number="P1", Kind="Dedication plaque", Material="Brass", Width='6"', Height='3"')
    fill(page, Inscription="In loving memory\nof Wiłka Órsted", Installed="c. 1987")
    press(page, "Save the item")
    expect(page.locator("main")).to_contain_text("about 1987")
    expect(page.locator("main svg").first).to_be_visible()
    follow(page, "Add a fixing")
    fill(page, Kind="Soldered tab", State="Failed", How_many="3", Holds_on_to="Lead came")
    press(page, "Save the fixing")


def go_to_building(page: Page, name: str) -> None:
    page.goto("/buildings/")
    page.get_by_role("link", name=re.compile(name)).click()


def survey(page: Page, photograph: bytes) -> None:
    follow(page, "Start a survey")
    fill(page, Day_of_the_visit="2026-05-12", Surveyors="R. Amadi-Pell")
    press(page, "Start the survey")
    follow(page, "Log a finding")
    fill(page, Opening="sII The Heron", What_it_is="Loose attached item")
    fill(page, Panel_or_attached_item="P1 Dedication plaque")
    fill(page, Note="Hangs by one corner.")
    page.locator("label[for^=id_answer]", has_text="Now").click()
    page.get_by_text("What was done about it at once").click()
    page.locator("label[for^=id_measure]", has_text="Taken away").click()
    page.locator("[name=placed]").fill("Locked in the vestry")
    page.locator("[name=holder]").fill("The warden")
    page.get_by_label("Take or choose photographs").set_input_files(
        {"name": "plaque.jpg", "mimeType": "image/jpeg", "buffer": photograph}
    )
    page.get_by_text("3 Urgent and immediate").click()
    press(page, "Save the finding")
    expect(page.locator("main")).to_contain_text("Finding 1 is saved")


def until_prepared(page: Page) -> None:
    """Look again until the photograph's copies are made."""
    for _ in range(60):
        if page.locator("main img").count():
            return
        page.wait_for_timeout(1000)
        page.reload()
    raise AssertionError("the photograph was never prepared")


def issue_report(page: Page) -> None:
    page.get_by_role("link", name=re.compile("^Survey of 12 May 2026")).first.click()
    until_prepared(page)
    press(page, "Issue the report")
    link = page.get_by_role("link", name=re.compile("^(Open|Read) the report")).first
    expect(link).to_be_visible(timeout=PATIENCE)
    link.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("CR-2026-")


def pdf_of(page: Page) -> bytes:
    """The PDF the page links to; it is what its own digest on the page says."""
    address = page.locator("a[href$='/pdf/']").first.get_attribute("href")
    data = page.request.get(address).body()
    expect(page.locator("main")).to_contain_text(hashlib.sha256(data).hexdigest())
    return data


def price_and_issue(page: Page) -> None:
    follow(page, "Start an estimate")
    press(page, "Start the estimate")
    page.locator("main form input[type=checkbox]").first.check()
    press(page, "Add what is ticked")
    follow(page, "Add a shared cost")
    fill(page, Kind="Access", What_for="Tower", Cost_to_the_studio="310")
    press(page, "Save the shared cost")
    press(page, "Issue the quote")
    link = page.get_by_role("link", name=re.compile("^Open the quote")).first
    expect(link).to_be_visible(timeout=PATIENCE)
    link.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("RQ-2026-")


def accept(page: Page) -> None:
    page.get_by_text("Record what happened").first.click()
    page.get_by_label("Accepted").check()
    fill(page, By_whom="G. Petrov-Moss", With_what_authority="Minute 14 of 2 June 2026")
    press(page, "Record it")
    expect(page.locator("main")).to_contain_text("Accepted")


@pytest.mark.parametrize("width", [360, 1280])
def test_from_nothing_to_an_accepted_quote(visit, photograph, width):
    page, name = visit(width), f"Chapel of the Quiet Hour at {width}"
    register(page, name)
    go_to_building(page, name)
    survey(page, photograph)
    issue_report(page)
    assert pdf_of(page).startswith(b"%PDF-")
    go_to_building(page, name)
    price_and_issue(page)
    assert pdf_of(page).startswith(b"%PDF-")
    accept(page)
