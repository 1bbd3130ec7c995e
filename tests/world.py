"""Three churches with one record of each kind, and everybody who may and may not open them.

Two churches are of one studio, the third of another. All that is written down of the first holds
a word that stands nowhere else, so that a page on which it stands shows something of that church.
"""

import datetime as dt
import hashlib
import logging
import re
from collections.abc import Iterator, Set
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from types import SimpleNamespace
from typing import Any, Final
from unittest import mock
from uuid import UUID

import pytest
from django.apps import apps
from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import DatabaseError, connection, models, transaction
from django.db.models import F, Value
from django.db.models.functions import Concat
from django.test import Client, override_settings
from django.utils import timezone

from condition.models import Area, ClassRule, FindingMark, Incident
from sites.compute.roles import ROLES
from sites.models import Building, CameProfile, CameRun, Job, PlanPicture, Studio, User
from tests import factories
from tests.condition.measure.rows import measured_photograph
from tests.condition.safety.dangers import WORDS, danger, full_sheet, known_danger, unprinted_notice
from tests.factories import BuildingFactory, MembershipFactory
from tests.sites.plaques import plaque, unprinted

Records = dict[str, Any]

WORD: Final = "Quillstone"
# Sums of the first church alone, the quote's and a shared cost's, and the day of its survey.
SUMS_THERE: Final = (Decimal("7413.57"), Decimal("6172.39"))
SUMS_ELSEWHERE: Final = (Decimal("1234.50"), Decimal(800))
DAY_THERE, DAY_ELSEWHERE = dt.date(2019, 2, 23), dt.date(2026, 5, 12)
# How they are printed in whichever country's way.
FIGURES: Final = re.compile(
    r"7\W?413[.,]57|6\W?172[.,]39|23\.? February 2019|February 23, 2019|2019-02-23"
)
KEY: Final = re.compile(r"(?<![0-9a-f])[0-9a-f]{8}-?(?:[0-9a-f]{4}-?){3}[0-9a-f]{12}(?![0-9a-f])")
ROOMS: Final = ("sites", "condition", "restoration")
DOCUMENTS: Final = ("proof", "notice", "report", "quote")
# Columns that hold a form of their own, which a word more would break.
NO_WORDS: Final = {"time_zone", "light_widths", "trade"}


@dataclass(frozen=True)
class Marks:
    """What shows that an answer tells something of the first church."""

    keys: frozenset[str]
    numbers: frozenset[str]

    def in_answer(self, response: Any, sent: Set[str] = frozenset()) -> list[str]:
        """Which of them stand in an answer's body, headers or cookies; not those it was sent.

        An answer that is an error shows nothing, and proves nothing: that it is one is returned.
        """
        if response.status_code >= 500:
            return [f"an error {response.status_code}"]
        text = everything_in(response)
        found = {each.replace("-", "") for each in KEY.findall(text)} & self.keys - sent
        found |= {number for number in self.numbers if number in text} | set(FIGURES.findall(text))
        return sorted(found | ({WORD} if WORD.lower() in text.lower() else set()))


@dataclass(frozen=True)
class World:
    """The three churches' records by kind, and a signed-in client of each person."""

    here: Records
    next_door: Records
    abroad: Records
    clients: dict[str, Client]
    # For a person of the same studio, to whom its kinds, rates and leads are no secret; for others.
    marks: Marks
    marks_of_the_studio: Marks


def everything_in(response: Any) -> str:
    """The text of an answer's headers, cookies and body; the file of a streamed one is closed."""
    body = response.getvalue() if response.streaming else response.content
    head = "\n".join(f"{name}: {value}" for name, value in response.items())
    return f"{head}\n{response.cookies.output()}\n{body.decode(errors='replace')}"


def records_at(building: Building, user: User, word: str = "") -> Records:
    """One record of each kind, all at `building`; the files of those that have one hold `word`.

    user: asks for and issues what has to be.
    """
    picture, document = f"{building.pk}.jpg", f"{building.pk}.pdf"
    for name in (picture, document):
        default_storage.save(name, ContentFile(f"a file {word}".encode()))
    day = DAY_THERE if word else DAY_ELSEWHERE
    survey = factories.SurveyFactory(building=building, day=day)
    opening = factories.OpeningFactory(building=building)
    item = factories.AttachedItemFactory(opening=opening)
    panel = factories.PanelFactory(opening=opening)
    profile, rule = rules_of(building.studio)
    finding = factories.FindingFactory(survey=survey, opening=opening)
    seen = danger(building, survey=survey, opening=opening, number=900)
    return {
        "building": building,
        "person": factories.BuildingPersonFactory(building=building),
        "plan_picture": PlanPicture.objects.create(
            building=building, file=picture, sha256="0" * 64, width_px=1600, height_px=1200
        ),
        "opening": opening,
        "older_number": factories.OlderNumberFactory(opening=opening),
        "panel": panel,
        "came_profile": profile,
        "came_run": CameRun.objects.create(panel=panel, profile=profile),
        "figure": SimpleNamespace(pk="glass.density"),
        "item": item,
        "fixing": factories.FixingFactory(item=item),
        "job": failed_job(building, user),
        "survey": survey,
        "finding": finding,
        "finding_kind": finding.kind,
        "mark": FindingMark.objects.create(finding=finding, stroke="point", points=[[10, 10]]),
        "class_rule": rule,
        "safety_sheet": full_sheet(building),
        "danger": seen,
        "open_danger": seen.danger,
        "danger_act": factories.hold(seen.danger, "Tied to the bar", look_by=day),
        **closing_at(building, day),
        "inspection": factories.InspectionFactory(survey=survey, opening=opening),
        "measured": measured_photograph(building, user),
        "photograph": factories.PhotographFactory(
            building=building, survey=survey, opening=opening, original=picture
        ),
        **issued_at(building, survey, opening, user, word, document),
        **work_at(building, opening, SUMS_THERE if word else SUMS_ELSEWHERE),
    }


def closing_at(building: Building, day: dt.date) -> Records:
    """An area that can be closed, something that fell, and a row of the table of dangers."""
    code = f"row-{building.studio.danger_rows.count()}"
    return {
        "area": Area.objects.create(building=building, name="The path to the vestry"),
        "incident": Incident.objects.create(building=building, day=day, what_fell="A quarry"),
        "danger_row": building.studio.danger_rows.create(code=code, name="Any", judges=["anyone"]),
    }


def rules_of(studio: Studio) -> tuple[CameProfile, ClassRule]:
    """A profile of lead and a rule of the studio's, of which each building of a world gets one."""
    number = studio.came_profiles.count() + 1
    return (
        CameProfile.objects.create(studio=studio, name=f"6 mm, {number}"),
        ClassRule.objects.create(
            studio=studio, code=f"any-{number}", reason="So it is.", urgency_class=1
        ),
    )


def failed_job(building: Building, user: User) -> Job:
    """A job that the user asked for and did not get, today."""
    return Job.objects.create(
        studio=building.studio,
        task="any",
        key=f"any:{building.pk}",
        asked_by=user,
        state="failed",
        ended_at=timezone.now(),
        problem=f"The page of {building.name} could not be printed.",
    )


def issued_at(building, survey, opening, user, word, document) -> Records:
    """One issued document of each kind but the quote, with files that hold `word`."""
    closed = known_danger(building, survey=survey, opening=opening, number=90_001)
    words = replace(WORDS, new_area=f"{WORDS.new_area} {word}".strip())
    made = {
        "proof": unprinted(plaque(building), user),
        "notice": unprinted_notice(closed, user, words),
        "closed": closed,
        "closure": closed.closures.get(),
        "report": factories.ConditionReportFactory(survey=survey, pdf=document, archival=document),
    }
    for kind in ("proof", "notice"):
        name = made[kind].pdf.name
        default_storage.delete(name)
        default_storage.save(name, ContentFile(f"%PDF-1.7 {word}".encode()))
    return made


def work_at(building, opening, sums) -> Records:
    """One record of each kind of the work: an estimate, a quote, a rate book and what they hold."""
    total, shared = sums
    estimate = factories.EstimateFactory(building=building)
    action = factories.RepairActionFactory(estimate=estimate, opening=opening)
    return {
        "estimate": estimate,
        "action": action,
        "action_kind": action.kind,
        "shared_cost": factories.SharedCostFactory(estimate=estimate, amount=shared),
        "quote": factories.QuoteFactory(estimate=estimate, total=total, pdf=f"{building.pk}.pdf"),
        "rate_book": estimate.rate_book,
        "labour_rate": factories.LabourRateFactory(rate_book=estimate.rate_book),
        "material": factories.MaterialFactory(rate_book=estimate.rate_book),
        "norm": factories.NormFactory(rate_book=estimate.rate_book),
    }


def unfinished_at(building: Building, day: dt.date) -> None:
    """An earlier survey without a report, with a finding; and an estimate without a quote."""
    survey = factories.SurveyFactory(building=building, day=day - dt.timedelta(days=365))
    factories.FindingFactory(survey=survey, opening=building.openings.first())
    factories.EstimateFactory(building=building)


@cache
def is_of_a_building(model: type[Any]) -> bool:
    """Whether a row of the model belongs to one building, by its keys or those of what it names."""
    if not issubclass(model, models.Model):
        return False
    named = {
        field.related_model
        for field in model._meta.concrete_fields
        if field.is_relation and field.related_model is not model
    }
    return model is Building or any(is_of_a_building(each) for each in named)


def rows_by_model() -> dict[type[models.Model], set[Any]]:
    """The key of every row there is."""
    kept = (model for room in ROOMS for model in apps.get_app_config(room).get_models())
    return {model: set(model._default_manager.values_list("pk", flat=True)) for model in kept}


def plant_word(rows: dict[type[models.Model], set[Any]]) -> set[str]:
    """Add the word to every free text of these rows, and return the columns that have it now.

    What the database refuses to change (an issued row, a digest) stays as it is.
    """
    planted = set()
    for model, keys in rows.items():
        for field in model._meta.concrete_fields:
            if type(field) not in (models.CharField, models.TextField) or not keys:
                continue
            short = (field.max_length or 40) < 40 or field.name.endswith("_typed")
            if short or field.choices or not field.editable or field.name in NO_WORDS:
                continue
            text = Concat(F(field.name), Value(f" {WORD}"), output_field=models.TextField())
            try:
                with transaction.atomic():
                    model._default_manager.filter(pk__in=keys).update(**{field.name: text})
            except DatabaseError:
                continue
            planted.add(f"{model._meta.model_name}.{field.name}")
    return planted


def furnished(building: Building, word: str = "") -> tuple[Records, User]:
    """The records of a building, and its owner, who asked for those that somebody has to."""
    owner = MembershipFactory(building=building).user
    records = records_at(building, owner, word)
    unfinished_at(building, records["survey"].day)
    return records, owner


def make_world() -> World:
    """Make all of it; the first church last, so that it is known which rows are its own."""
    studio = factories.StudioFactory()
    next_door, neighbour = furnished(BuildingFactory(studio=studio))
    abroad, stranger = furnished(BuildingFactory())
    before = rows_by_model()
    building = BuildingFactory(studio=studio, name=f"St {WORD}", place=f"{WORD}ham")
    here, owner = furnished(building, WORD)
    made = {model: keys - before[model] for model, keys in rows_by_model().items()}
    of_the_building = {
        model: keys for model, keys in made.items() if is_of_a_building(model) or model is Job
    }
    planted = plant_word(of_the_building)
    assert planted >= {"opening.title", "finding.note", "attacheditem.inscription"}, planted
    people = people_of(here["building"], owner) | {"stranger": stranger, "neighbour": neighbour}
    people |= others(studio, next_door["building"], abroad["building"].studio)
    reread = {kind: again(record) for kind, record in here.items()}
    numbers = numbers_of(here) - numbers_of(next_door) - numbers_of(abroad)
    return World(
        reread,
        next_door,
        abroad,
        {name: signed_in(user) for name, user in people.items()},
        marks_of(of_the_building, numbers),
        marks_of(made, numbers),
    )


def people_of(building: Building, owner: User) -> dict[str, User]:
    """Somebody of each role at the building."""
    there = {
        role: MembershipFactory(building=building, role=role).user
        for role in ROLES
        if role != "owner"
    }
    return {"owner": owner, **there}


def others(studio: Studio, next_door: Building, elsewhere: Studio) -> dict[str, User]:
    """Those of a whole studio, and two who may read another building of the same one."""
    return {
        "studio": MembershipFactory(studio=studio, building=None).user,
        "foreign": MembershipFactory(studio=elsewhere, building=None).user,
        "committee next door": MembershipFactory(building=next_door, role="committee").user,
        "reader next door": MembershipFactory(building=next_door, role="reader").user,
    }


def again(record: Any) -> Any:
    """The record as it stands in the database now."""
    if isinstance(record, models.Model):
        record.refresh_from_db()
    return record


def numbers_of(records: Records) -> frozenset[str]:
    return frozenset(records[kind].number for kind in DOCUMENTS)


def marks_of(rows: dict[type[models.Model], set[Any]], numbers: frozenset[str]) -> Marks:
    keys = {key.hex for made in rows.values() for key in made if isinstance(key, UUID)}
    return Marks(frozenset(keys), numbers)


def signed_in(user: User) -> Client:
    client = Client(raise_request_exception=False)
    client.force_login(user)
    return client


def digest_of_tables() -> dict[str, str]:
    """A digest of the rows of every table, the sessions' left out, by the table's name."""
    digests = {}
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            if table != "django_session":
                cursor.execute(f"SELECT * FROM {connection.ops.quote_name(table)}")
                rows = "\n".join(sorted(map(repr, cursor.fetchall())))
                digests[table] = hashlib.sha256(rows.encode()).hexdigest()
    return digests


@pytest.fixture(scope="module")
def world(django_db_setup, django_db_blocker, tmp_path_factory) -> Iterator[World]:
    """The three churches, made once for a module, whose tests leave them as they were."""
    folder = tmp_path_factory.mktemp("world")
    storage = {
        "BACKEND": "django.core.files.storage.FileSystemStorage",
        "OPTIONS": {"location": folder},
    }
    kept = override_settings(MEDIA_ROOT=folder, STORAGES={**settings.STORAGES, "default": storage})
    # Every refusal is a warning there, with its traceback: thousands of them, read by nobody.
    refusals = logging.getLogger("django.request")
    with django_db_blocker.unblock(), kept, sheets_at_once(), transaction.atomic():
        usual = refusals.level
        refusals.setLevel(logging.ERROR)
        yield make_world()
        refusals.setLevel(usual)
        transaction.set_rollback(True)


def sheets_at_once() -> Any:
    """A patch: a safety sheet is sent as its title, for printing it takes a second and more."""

    def print_sheet(sheet: Any) -> SimpleNamespace:
        return SimpleNamespace(pdf=f"%PDF-1.7 {sheet.title}".encode())

    return mock.patch("condition.views.safety_sheets.print_sheet", print_sheet)


@pytest.fixture
def records(building, people, files) -> Records:
    """One record of each kind, all at `building`; the files of those that have one are there."""
    return records_at(building, people["owner"])


@pytest.fixture
def everybody(people, building) -> dict[str, User]:
    """`people`, and the owner of the whole studio."""
    return {**people, "studio": MembershipFactory(studio=building.studio, building=None).user}
