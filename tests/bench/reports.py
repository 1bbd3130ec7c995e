"""Times a large condition report against the layout library alone on the finished page."""

import datetime as dt
import io
import tempfile
import threading
import time
from contextlib import suppress
from pathlib import Path
from typing import Self, TypedDict

import psutil
from django.core.management import call_command
from PIL import Image

from condition.documents.images import fetch_images
from condition.documents.layout import report_html
from condition.models import ConditionReport, Finding, Survey
from condition.services.issuing import issue_report
from condition.services.photographs import prepare_photograph
from restoration.demo.photographs import picture_of
from restoration.demo.scenario import Scenario
from restoration.services.studios import open_studio
from sites.models import Opening, User
from sites.printing import print_pdf
from tests.condition.recorded import receive_photograph
from tests.factories import BuildingFactory, OpeningFactory, PanelFactory, SurveyFactory
from tests.progress import UnwatchedProgress

OPENINGS = 40
EACH = 5
KINDS_OF_PICTURE = 6
TARGET_RATIO = 1.25


class BenchRow(TypedDict):
    """One line of the table; the note tells what the ratio does not."""

    name: str
    seconds: float
    yardstick_seconds: float
    ratio: float
    target: float
    note: str


class ChildrensMemory:
    """The most memory our child processes held, looked at twenty times a second.

    The system's own figure will not do: it counts what the child inherited from us at its start.
    """

    def __init__(self) -> None:
        self.peak_mib = 0.0
        self.done = threading.Event()
        self.thread = threading.Thread(target=self._watch, daemon=True)

    def __enter__(self) -> Self:
        self.thread.start()
        return self

    def __exit__(self, *error: object) -> None:
        self.done.set()
        self.thread.join()

    def _watch(self) -> None:
        while not self.done.wait(0.05):
            for child in psutil.Process().children():
                with suppress(psutil.Error):
                    self.peak_mib = max(self.peak_mib, child.memory_info().rss / 2**20)


def rows() -> list[BenchRow]:
    """Return one row: gathering, laying out, printing and issuing, against printing alone."""
    call_command("migrate", verbosity=0)
    user = User.objects.create_user("bench@studio.example", name="Bench")
    survey = large_survey(user)
    started = time.perf_counter()
    with ChildrensMemory() as memory:
        report = issue_report(survey, 1, user, UnwatchedProgress())
    seconds = time.perf_counter() - started
    both, reading = printing_alone(report, archival=True), printing_alone(report, archival=False)
    name = f"condition report, {OPENINGS} openings, {OPENINGS * EACH} photographs"
    return [
        BenchRow(
            name=f"{name}: both copies issued",
            seconds=seconds,
            yardstick_seconds=both,
            ratio=seconds / both,
            target=TARGET_RATIO,
            note=(
                f"{report.pages} pages, {report.pdf_bytes / 1e6:.1f} MB (target 20), for keeping "
                f"{report.archival_bytes / 1e6:.1f} MB; peak memory of printing "
                f"{memory.peak_mib:.0f} MiB (target 400); the yardstick prints both copies"
            ),
        ),
        BenchRow(
            name=f"{name}: against one copy alone",
            seconds=seconds,
            yardstick_seconds=reading,
            ratio=seconds / reading,
            target=0,
            note="what the copy for keeping costs besides: it is drawn once and written twice",
        ),
    ]


def printing_alone(report: ConditionReport, *, archival: bool) -> float:
    """Return the seconds the printing process takes for the page that is already laid out.

    keeping: with the copy for keeping, or the one for reading alone.
    """
    html = report_html(report.snapshot)
    with tempfile.TemporaryDirectory() as folder:
        images = fetch_images(report.snapshot, Path(folder))
        started = time.perf_counter()
        print_pdf(html, images=images, archival=archival)
        return time.perf_counter() - started


def large_survey(user: User) -> Survey:
    """Make a church of 40 windows with five findings and five photographs each."""
    studio = open_studio("Bench studio")
    building = BuildingFactory(studio=studio, name="Church of the long list")
    survey = SurveyFactory(building=building, day=dt.date(2026, 5, 12))
    before = SurveyFactory(building=building, day=dt.date(2015, 6, 9))
    kinds = list(studio.finding_kinds.all())
    scenario = Scenario()
    pictures = [picture_of(plan, scenario) for plan in scenario.photographs[:KINDS_OF_PICTURE]]
    for place in range(OPENINGS):
        opening = OpeningFactory(building=building, number=f"n{place + 2}", title="A window")
        panels = [PanelFactory(opening=opening, number=f"{row}a") for row in range(1, 5)]
        # The report compares: each window had one finding then, which the first of now continues.
        earlier = Finding.objects.create(
            survey=before,
            opening=opening,
            panel=panels[0],
            number=place + 1,
            kind=kinds[(place * EACH + 1) % len(kinds)],
            condition_class=1,
            urgency_class=1,
            recommendation_class=1,
        )
        for each in range(EACH):
            number = place * EACH + each + 1
            finding = Finding.objects.create(
                survey=survey,
                opening=opening,
                panel=panels[each] if each < len(panels) else None,
                number=number,
                kind=kinds[number % len(kinds)],
                note="Seen from the tower; three joints in a row have let go.",
                condition_class=number % 4,
                urgency_class=number % 4,
                recommendation_class=number % 4,
                continues=earlier if each == 0 else None,
            )
            picture = pictures[number % len(pictures)]
            photograph(survey, opening, finding, picture, number)
    return survey


def photograph(
    survey: Survey,
    opening: Opening,
    finding: Finding,
    picture: Image.Image,
    number: int,
) -> None:
    """File one photograph; each is shifted a little, so that no two are the same."""
    shifted = picture.transform(
        picture.size, Image.Transform.AFFINE, (1, 0, number % 97, 0, 1, number % 89)
    )
    file = io.BytesIO()
    shifted.save(file, "JPEG", quality=88)
    file.seek(0)
    prepare_photograph(
        receive_photograph(
            building=survey.building,
            survey=survey,
            opening=opening,
            findings=[finding] if finding else [],
            file=file,
            name=f"{number}.jpg",
        )
    )
