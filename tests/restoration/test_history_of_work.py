"""Links that go and what a worker does are in the history by name; rows in bulk know theirs."""

from decimal import Decimal
from io import BytesIO
from uuid import UUID

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from condition.models import Finding, Inspection, Photograph, Survey
from restoration.forms.from_findings import _name
from restoration.models import ActionFinding, RepairAction
from restoration.services.studios import open_studio
from sites import jobs
from sites.jobs import ask_for, run_now
from sites.models import AttachedItem, Change, Fixing, Opening, Panel, PlanPicture
from sites.services.plan import lay_picture
from tests.factories import (
    ActionKindFactory,
    FindingFactory,
    OpeningFactory,
    PanelFactory,
    RepairActionFactory,
    UserFactory,
)
from tests.restoration.priced import priced_estimate
from tests.restoration.visit_folders import quietly, small_folder

pytestmark = pytest.mark.django_db


@pytest.fixture
def action(building):
    """An action because of two findings."""
    estimate = priced_estimate(building)
    opening = OpeningFactory(building=building)
    made = RepairActionFactory(estimate=estimate, opening=opening)
    for _ in range(2):
        made.findings.add(FindingFactory(survey=estimate.survey, opening=opening))
    return made


def history(table, deed):
    return list(Change.objects.filter(table=table, deed=deed).order_by("id"))


def same_key(text, key):
    """SQLite keeps keys without hyphens."""
    return UUID(text) == key


def test_a_link_unticked_on_the_page_is_in_the_history_with_who_did_it(owner, people, action):
    kept, gone = action.findings.order_by("pk")
    sent = {
        "where": action.opening_id, "kind": action.kind_id, "difficulty": "1", "option": "must",
        "phase": "1", "findings": [kept.pk],
    }  # fmt: skip
    link = ActionFinding.objects.get(finding=gone)
    assert owner.post(f"/actions/{action.pk}/edit/", sent).status_code == 302
    assert list(action.findings.all()) == [kept]
    (change,) = history("restoration_actionfinding", "DELETE")
    assert change.actor == str(people["owner"].pk)
    assert same_key(change.row, link.pk)
    assert same_key(change.before["finding_id"], gone.pk)
    assert same_key(change.before["action_id"], action.pk)


def test_a_link_ticked_on_the_page_knows_who_linked_it_and_when(owner, people, action):
    more = FindingFactory(survey=action.estimate.survey, opening=action.opening)
    before = timezone.now()
    sent = {
        "where": action.opening_id, "kind": action.kind_id, "difficulty": "1", "option": "must",
        "phase": "1", "findings": [each.pk for each in (*action.findings.all(), more)],
    }  # fmt: skip
    owner.post(f"/actions/{action.pk}/edit/", sent)
    link = ActionFinding.objects.get(action=action, finding=more)
    assert link.recorded_by == people["owner"]
    assert before <= link.received_at <= timezone.now()


def test_the_links_of_an_action_taken_out_are_in_the_history(owner, people, action):
    assert owner.post(f"/actions/{action.pk}/delete/").status_code == 302
    changes = history("restoration_actionfinding", "DELETE")
    assert [change.actor for change in changes] == [str(people["owner"].pk)] * 2


def test_a_plan_picture_laid_or_replaced_is_in_the_history_with_who_did_it(
    owner, people, building, files
):
    def send(colour):
        kept = BytesIO()
        Image.new("RGB", (60, 40), colour).save(kept, "PNG")
        picture = SimpleUploadedFile("plan.png", kept.getvalue(), "image/png")
        return owner.post(
            f"/buildings/{building.pk}/plan/picture/", {"picture": picture, "top": "N"}
        )

    assert send("white").status_code == 302
    first = PlanPicture.objects.get()
    assert first.recorded_by == people["owner"]
    lay_picture(first, Decimal(2), Decimal(0), Decimal(0))
    (change,) = history("sites_planpicture", "UPDATE")
    assert (change.before["mm_per_px"], change.actor) == (None, "")
    send("grey")
    changes = history("sites_planpicture", "DELETE")
    assert [change.actor for change in changes] == [str(people["owner"].pk)]
    assert same_key(changes[0].row, first.pk)


@pytest.fixture
def panel(building):
    return PanelFactory(opening=OpeningFactory(building=building))


@pytest.fixture
def touching(monkeypatch, panel):
    """The name of a task that changes a panel and records another."""

    def touch(job, progress):
        panel.subject = "A lamb"
        panel.save()
        PanelFactory(opening=panel.opening, number="Z9")
        return {}

    monkeypatch.setattr(jobs, "TASKS", {"touch": touch})
    return "touch"


def test_what_a_worker_changes_names_the_person_who_asked(building, panel, touching):
    person = UserFactory()
    job = run_now(ask_for(building.studio, touching, "touch:1", person), "worker")
    assert job.state == "done"
    (change,) = history("sites_panel", "UPDATE")
    assert change.actor == str(person.pk)
    assert Panel.objects.get(number="Z9").recorded_by == person


def test_what_nobody_asked_a_worker_for_names_the_task(building, panel, touching):
    run_now(ask_for(building.studio, touching, "touch:1", None), "worker")
    assert history("sites_panel", "UPDATE")[0].actor == "touch"
    assert Panel.objects.get(number="Z9").recorded_by is None


def all_know(models, person, since):
    for model in models:
        rows = list(model.objects.all())
        assert rows, model
        assert {row.recorded_by for row in rows} == {person}, model
        assert all(since <= row.received_at <= timezone.now() for row in rows), model


def test_rows_of_a_folder_know_who_took_them_in(files, user, tmp_path):
    since = timezone.now()
    quietly(open_studio("Alder Lane Glass"), user)(small_folder(tmp_path / "visit"))
    models = (Opening, Panel, AttachedItem, Fixing, Survey, Finding, Inspection, Photograph)
    all_know((*models, RepairAction, ActionFinding), user, since)


def test_actions_made_from_findings_know_who_made_them(owner, people, building):
    estimate = priced_estimate(building)
    estimate.actions.all().delete()
    kind = ActionKindFactory(studio=building.studio, code="resolder", unit="joint")
    finding = FindingFactory(
        survey=estimate.survey,
        opening=OpeningFactory(building=building),
        kind__studio=building.studio,
        kind__actions=[kind],
    )
    since = timezone.now()
    sent = {
        _name("do", finding, kind): "on",
        _name("quantity", finding, kind): "7",
        _name("option", finding): "must",
        _name("phase", finding): "1",
    }
    answer = owner.post(reverse("restoration:actions-from-findings", args=[estimate.pk]), sent)
    assert answer.status_code == 302
    all_know((RepairAction, ActionFinding), people["owner"], since)


def test_panels_drawn_or_laid_out_know_who_made_them(owner, people, building):
    since = timezone.now()
    drawn = {
        "act": "save", "number": "nII", "width": "1000", "height": "2000", "lights": "2",
        "head": "rectangle", "wall": "north", "level": "ground", "rows": "2",
    }  # fmt: skip
    assert owner.post(f"/buildings/{building.pk}/openings/draw/", drawn).status_code == 302
    owner.post(f"/buildings/{building.pk}/openings/add/", {
        "number": "sII", "wall": "south", "level": "ground", "head": "other", "lights": "1",
        "protective_glazing": "none",
    })  # fmt: skip
    opening = Opening.objects.get(number="sII")
    assert owner.post(f"/openings/{opening.pk}/panels/lay-out/", {"rows": "2"}).status_code == 302
    assert Panel.objects.filter(opening=opening).count() == 2
    all_know((Opening, Panel), people["owner"], since)
