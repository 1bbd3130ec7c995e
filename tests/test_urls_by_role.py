"""Every address, for every role, read and posted to: an address without a row here fails.

A row: the record its key is of (two, if it has two), then what GET and POST give to owner,
estimator, surveyor, bench, committee, reader (each at this building), stranger (an owner
elsewhere), and the owner of the whole studio. `o` allowed, `f` forbidden (403), `n` not known
(404), `m` wrong method (405). Whoever has not signed in is sent to sign in, whatever the row.
"""

from types import SimpleNamespace

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.test import Client
from django.urls import URLPattern, get_resolver, reverse

from condition.models import ClassRule
from sites.models import CameProfile, CameRun, Job, PlanPicture
from tests import factories
from tests.condition.measure.rows import measured_photograph
from tests.condition.safety.dangers import danger, full_sheet, unprinted_notice
from tests.factories import MembershipFactory
from tests.sites.plaques import plaque, unprinted

pytestmark = pytest.mark.one_engine

ROLES = ("owner", "estimator", "surveyor", "bench", "committee", "reader", "stranger", "studio")
#         oesbcrxS
ALL = "oooooooo"
NO = "mmmmmmmm"
READ = "oooooono"
EDIT = "ooofffno"  # owner, estimator, surveyor
PEOPLE = "ooonnnno"  # personal data: the others are not even told of it
OFFICE = "ooffffno"
COSTS = "oonnnnno"  # estimates are the studio's own
QUOTES = "oonnonno"
DECIDE = "oonnfnno"
STUDIO = "fffffffo"
RATES = "nnnnnnno"  # a record of the studio itself, not of a building

TABLE: dict[str, tuple[str, str, str]] = {
    "today": ("", ALL, NO),
    "own-address": ("", ALL, NO),
    "sites:buildings": ("", ALL, NO),
    "sites:building-add": ("", STUDIO, STUDIO),
    "sites:building": ("building", READ, NO),
    "sites:building-edit": ("building", EDIT, EDIT),
    "sites:person-add": ("building", EDIT, EDIT),
    "sites:person-edit": ("person", PEOPLE, PEOPLE),
    "sites:person-delete": ("person", NO, PEOPLE),
    "sites:plan-edit": ("building", EDIT, EDIT),
    "sites:plan-delete": ("building", NO, EDIT),
    "sites:plan-preview": ("building", NO, EDIT),
    "sites:plan-picture-add": ("building", NO, EDIT),
    "sites:plan-picture": ("plan_picture", EDIT, NO),
    "sites:plan-picture-delete": ("plan_picture", NO, EDIT),
    "sites:numbers-assign": ("building", EDIT, EDIT),
    "sites:opening-add": ("building", EDIT, EDIT),
    "sites:opening": ("opening", READ, NO),
    "sites:opening-edit": ("opening", EDIT, EDIT),
    "sites:opening-draw-new": ("building", EDIT, EDIT),
    "sites:opening-draw-new-preview": ("building", NO, EDIT),
    "sites:opening-draw": ("opening", EDIT, EDIT),
    "sites:opening-draw-preview": ("opening", NO, EDIT),
    "sites:opening-drawing": ("opening", READ, NO),
    "sites:older-number-add": ("opening", NO, EDIT),
    "sites:older-number-delete": ("older_number", NO, EDIT),
    "sites:panel-add": ("opening", EDIT, EDIT),
    "sites:panels-lay-out": ("opening", NO, EDIT),
    "sites:panel": ("panel", READ, NO),
    "sites:panel-edit": ("panel", EDIT, EDIT),
    "sites:panel-leads": ("panel", EDIT, EDIT),
    "sites:came-run-add": ("panel", EDIT, EDIT),
    "sites:came-run-edit": ("came_run", EDIT, EDIT),
    "sites:came-run-delete": ("came_run", NO, EDIT),
    "sites:item-add": ("opening", EDIT, EDIT),
    "sites:item": ("item", READ, NO),
    "sites:item-edit": ("item", EDIT, EDIT),
    "sites:fixing-add": ("item", EDIT, EDIT),
    "sites:fixing-edit": ("fixing", EDIT, EDIT),
    "sites:fixing-delete": ("fixing", NO, EDIT),
    "sites:lettering-edit": ("item", EDIT, EDIT),
    "sites:proof-issue": ("item", NO, EDIT),
    "sites:proof": ("proof", READ, NO),
    "sites:proof-pdf": ("proof", READ, NO),
    "sites:proof-approve": ("proof", NO, EDIT),
    "sites:proof-compare": ("proof", NO, READ),
    "sites:job": ("job", "onnnnnnn", NO),
    "sites:studio-edit": ("", STUDIO, STUDIO),
    "sites:figures": ("", STUDIO, NO),
    "sites:figure-edit": ("figure", STUDIO, STUDIO),
    "sites:figure-forget": ("figure", NO, STUDIO),
    "sites:came-profiles": ("", STUDIO, NO),
    "sites:came-profile-add": ("", STUDIO, STUDIO),
    "sites:came-profile-edit": ("came_profile", RATES, RATES),
    "sites:own-settings": ("", ALL, ALL),
    "sites:patterns": ("", STUDIO, NO),
    "condition:survey-add": ("building", EDIT, EDIT),
    "condition:survey": ("survey", READ, NO),
    "condition:survey-edit": ("survey", EDIT, EDIT),
    "condition:wind-site": ("building", READ, EDIT),
    "condition:opening-supports": ("opening", READ, NO),
    "condition:survey-compare": ("survey", READ, NO),
    "condition:continuing": ("survey", EDIT, EDIT),
    "condition:finding-add": ("survey", EDIT, EDIT),
    "condition:notice-issue": ("danger", EDIT, EDIT),
    "condition:notice": ("notice", READ, NO),
    "condition:safety-sheet-add": ("building", EDIT, EDIT),
    "condition:safety-sheet": ("safety_sheet", READ, NO),
    "condition:safety-sheet-edit": ("safety_sheet", EDIT, EDIT),
    "condition:safety-sheet-pdf": ("safety_sheet", READ, NO),
    "condition:notice-pdf": ("notice", READ, NO),
    "condition:notice-reopen": ("notice", EDIT, EDIT),
    "condition:finding": ("finding", READ, NO),
    "condition:finding-edit": ("finding", EDIT, EDIT),
    "condition:finding-delete": ("finding", NO, EDIT),
    "condition:finding-classes": ("finding", EDIT, EDIT),
    "condition:finding-marks": ("finding", EDIT, EDIT),
    "condition:damage-map": ("survey opening", READ, NO),
    "condition:subject-classes": ("survey opening", EDIT, EDIT),
    "condition:class-rules": ("", STUDIO, NO),
    "condition:class-rule-add": ("", STUDIO, STUDIO),
    "condition:class-rule-edit": ("class_rule", RATES, RATES),
    "condition:inspection-add": ("survey", EDIT, EDIT),
    "condition:inspection-nothing-found": ("survey", NO, EDIT),
    "condition:inspection-delete": ("inspection", NO, EDIT),
    "condition:photograph-add": ("survey", EDIT, EDIT),
    "condition:photographs-sort": ("survey", NO, EDIT),
    "condition:photographs-in-order": ("survey", EDIT, EDIT),
    "condition:photographs-alike": ("survey", EDIT, EDIT),
    "condition:survey-review": ("survey", EDIT, EDIT),
    "condition:survey-classes": ("survey", EDIT, EDIT),
    "condition:photograph": ("photograph", READ, NO),
    "condition:photograph-compare": ("photograph", READ, NO),
    "condition:photograph-edit": ("photograph", EDIT, EDIT),
    "condition:photograph-scale": ("photograph", EDIT, EDIT),
    "condition:photograph-rectified": ("measured", READ, NO),
    "condition:photograph-original": ("photograph", EDIT, NO),
    "condition:report-issue": ("survey", NO, OFFICE),
    "condition:report": ("report", READ, NO),
    "condition:report-pdf": ("report", READ, NO),
    "condition:report-archival": ("report", READ, NO),
    "condition:report-terms": ("building", OFFICE, OFFICE),
    "restoration:estimate-add": ("building", OFFICE, OFFICE),
    "restoration:estimate": ("estimate", COSTS, NO),
    "restoration:estimate-edit": ("estimate", COSTS, COSTS),
    "restoration:action-add": ("estimate", COSTS, COSTS),
    "restoration:actions-from-findings": ("estimate", COSTS, COSTS),
    "restoration:action-edit": ("action", COSTS, COSTS),
    "restoration:action-delete": ("action", NO, COSTS),
    "restoration:shared-cost-add": ("estimate", COSTS, COSTS),
    "restoration:shared-cost-edit": ("shared_cost", COSTS, COSTS),
    "restoration:shared-cost-delete": ("shared_cost", NO, COSTS),
    "restoration:quote-issue": ("estimate", NO, COSTS),
    "restoration:quote": ("quote", QUOTES, NO),
    "restoration:quote-pdf": ("quote", QUOTES, NO),
    "restoration:quote-event-add": ("quote", NO, DECIDE),
    "restoration:rate-books": ("", STUDIO, NO),
    "restoration:rate-book-add": ("", STUDIO, STUDIO),
    "restoration:rate-book": ("rate_book", RATES, NO),
    "restoration:rate-book-edit": ("rate_book", RATES, RATES),
    "restoration:labour-rate-add": ("rate_book", RATES, RATES),
    "restoration:labour-rate-edit": ("labour_rate", RATES, RATES),
    "restoration:material-add": ("rate_book", RATES, RATES),
    "restoration:material-edit": ("material", RATES, RATES),
    "restoration:norm-add": ("rate_book", RATES, RATES),
    "restoration:norm-edit": ("norm", RATES, RATES),
}

# Pages of signing in, served by allauth: open to everybody, and hold no record.
SIGNING_IN = "account_"
# Served by a signature in the address itself; tests/condition/test_photo_urls.py holds it.
SIGNED = {"condition:photograph-file"}


@pytest.fixture
def records(building, people, files):
    return records_at(building, people)


def records_at(building, people):
    """One record of each kind, all at `building`; the files of those that have one are there."""
    for name in ("none.jpg", "none.pdf"):
        default_storage.save(name, ContentFile(b"what the file holds does not matter here"))
    survey = factories.SurveyFactory(building=building)
    opening = factories.OpeningFactory(building=building)
    item = factories.AttachedItemFactory(opening=opening)
    panel = factories.PanelFactory(opening=opening)
    profile = CameProfile.objects.create(studio=building.studio, name="6 mm round")
    return {
        "building": building,
        "person": factories.BuildingPersonFactory(building=building),
        "plan_picture": PlanPicture.objects.create(
            building=building, file="none.jpg", sha256="0" * 64, width_px=1600, height_px=1200
        ),
        "opening": opening,
        "older_number": factories.OlderNumberFactory(opening=opening),
        "panel": panel,
        "came_profile": profile,
        "came_run": CameRun.objects.create(panel=panel, profile=profile),
        "figure": SimpleNamespace(pk="glass.density"),
        "item": item,
        "fixing": factories.FixingFactory(item=item),
        "proof": unprinted(plaque(building), people["owner"]),
        "job": Job.objects.create(
            studio=building.studio, task="any", key="any", asked_by=people["owner"]
        ),
        "survey": survey,
        "finding": factories.FindingFactory(survey=survey, opening=opening),
        "class_rule": ClassRule.objects.create(
            studio=building.studio, code="any", reason="So it is.", urgency_class=1
        ),
        "safety_sheet": full_sheet(building),
        "danger": danger(building, survey=survey, opening=opening, number=900),
        "notice": unprinted_notice(
            danger(building, survey=survey, opening=opening, number=90_001), people["owner"]
        ),
        "inspection": factories.InspectionFactory(survey=survey, opening=opening),
        "measured": measured_photograph(building, people["owner"]),
        "photograph": factories.PhotographFactory(
            building=building, survey=survey, opening=opening
        ),
        "report": factories.ConditionReportFactory(survey=survey, archival="none.pdf"),
        **work_at(building, opening),
    }


def work_at(building, opening):
    """One record of each kind of the work: an estimate, a quote, a rate book and what they hold."""
    estimate = factories.EstimateFactory(building=building)
    return {
        "estimate": estimate,
        "action": factories.RepairActionFactory(estimate=estimate, opening=opening),
        "shared_cost": factories.SharedCostFactory(estimate=estimate),
        "quote": factories.QuoteFactory(estimate=estimate),
        "rate_book": estimate.rate_book,
        "labour_rate": factories.LabourRateFactory(rate_book=estimate.rate_book),
        "material": factories.MaterialFactory(rate_book=estimate.rate_book),
        "norm": factories.NormFactory(rate_book=estimate.rate_book),
    }


@pytest.fixture
def everybody(people, building):
    studio = MembershipFactory(studio=building.studio, building=None, role="owner").user
    return {**people, "studio": studio}


def names(patterns=None, prefix=""):
    """Every address's name, as the resolver knows it."""
    for pattern in get_resolver().url_patterns if patterns is None else patterns:
        if isinstance(pattern, URLPattern):
            yield f"{prefix}{pattern.name}"
        else:
            inner = f"{pattern.namespace}:" if pattern.namespace else ""
            yield from names(pattern.url_patterns, prefix + inner)


def test_every_address_has_a_row_and_every_row_an_address():
    addresses = {name for name in names() if not name.startswith(SIGNING_IN)} - SIGNED
    assert addresses == set(TABLE)


def outcome(response) -> str:
    if response.streaming:
        b"".join(response)  # a file is closed once it is read
    code = response.status_code
    if code in (200, 302, 303, 422):
        return "sign-in" if "/accounts/login/" in response.get("Location", "") else "o"
    return {403: "f", 404: "n", 405: "m"}.get(code, str(code))


def address(name: str, records) -> str:
    return reverse(name, args=[records[record].pk for record in TABLE[name][0].split()])


@pytest.mark.django_db
@pytest.mark.parametrize("name", TABLE)
def test_each_role_gets_what_the_table_says(name, records, everybody):
    _, reading, posting = TABLE[name]
    place = address(name, records)
    got = {"GET": "", "POST": ""}
    for role in ROLES:
        # A forbidden post must come last: an allowed one may take the record away.
        client = Client(raise_request_exception=False)
        client.force_login(everybody[role])
        got["GET"] += outcome(client.get(place))
    for role in sorted(ROLES, key=lambda role: posting[ROLES.index(role)] == "o"):
        client = Client(raise_request_exception=False)
        client.force_login(everybody[role])
        got[role] = outcome(client.post(place, {}))
    allowed = [role for role in ROLES if posting[ROLES.index(role)] == "o"]
    # After the first allowed post of a deletion the record is gone for the others.
    gone = name.endswith("-delete")
    for role in allowed[1:] if gone else []:
        got[role] = "o" if got[role] == "n" else got[role]
    got["POST"] = "".join(got[role] for role in ROLES)
    assert (got["GET"], got["POST"]) == (reading, posting)


@pytest.mark.django_db
@pytest.mark.parametrize("name", TABLE)
def test_nobody_gets_anywhere_without_signing_in(name, records):
    place = address(name, records)
    client = Client()
    assert outcome(client.get(place)) == "sign-in"
    assert outcome(client.post(place, {})) == "sign-in"


@pytest.mark.django_db
@pytest.mark.parametrize("name", [name for name in TABLE if TABLE[name][0]])
def test_a_key_of_nothing_is_not_known(name, records, owner):
    place = address(name, records)
    nothing = "01890000-0000-7000-8000-000000000000"
    place = place.replace(str(records[TABLE[name][0].split()[0]].pk), nothing)
    for response in (owner.get(place), owner.post(place, {})):
        assert response.status_code in (404, 405)
