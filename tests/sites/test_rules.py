"""What the database holds to, from Django and from raw SQL, on whichever engine the suite runs."""

import sqlite3

import psycopg
import pytest
from django.apps import apps
from django.core.checks import run_checks
from django.db import DatabaseError, IntegrityError, connection, transaction

from condition.models import (
    ConditionReport,
    Finding,
    FindingSource,
    Photograph,
    PhotographFinding,
    Survey,
)
from restoration.models import Quote, QuoteEvent
from restoration.rules import RULES
from sites.models import Building, Change
from sites.rules.actor import acting_as
from sites.rules.definitions import trigger_name
from sites.rules.install import (
    install_rules,
    missing_rules,
    remove_rules,
)
from tests.factories import (
    AttachedItemFactory,
    BuildingFactory,
    BuildingPersonFactory,
    ConditionReportFactory,
    EstimateFactory,
    FindingFactory,
    InspectionFactory,
    OpeningFactory,
    PanelFactory,
    PhotographFactory,
    QuoteFactory,
    RepairActionFactory,
    SurveyFactory,
)

FROZEN = [(ConditionReport, ConditionReportFactory), (Quote, QuoteFactory)]


def raw_connection():
    """A connection that knows nothing of Django, as a database tool would open it."""
    settings = connection.settings_dict
    if connection.vendor == "sqlite":
        return sqlite3.connect(settings["NAME"], timeout=5)
    return psycopg.connect(**connection.get_connection_params())


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(("model", "make"), FROZEN)
@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE {table} SET pages = 2",
        "UPDATE {table} SET number = number",
        "DELETE FROM {table}",
    ],
)
def test_raw_sql_cannot_change_or_delete_an_issued_row(model, make, statement):
    made = make()
    raw = raw_connection()
    with pytest.raises((sqlite3.IntegrityError, psycopg.IntegrityError), match="once issued"):
        raw.execute(statement.format(table=model._meta.db_table))
    raw.rollback()
    raw.close()
    assert model.objects.get().pages == made.pages


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(("model", "make"), FROZEN)
def test_an_issued_table_cannot_be_emptied_or_replaced_by_the_back_door(model, make):
    made = make()
    table = model._meta.db_table
    raw = raw_connection()
    if connection.vendor == "sqlite":
        columns = ", ".join(f'"{field.column}"' for field in model._meta.concrete_fields)
        same = f"INSERT OR REPLACE INTO {table} ({columns}) SELECT {columns} FROM {table}"
        other_key = columns.replace('"id"', "'another-key'")
        statements = [
            same,
            f"INSERT OR REPLACE INTO {table} ({columns}) SELECT {other_key} FROM {table}",
        ]
    else:
        statements = [f"TRUNCATE {table} CASCADE"]
    for statement in statements:
        with pytest.raises((sqlite3.IntegrityError, psycopg.IntegrityError), match="once issued"):
            raw.execute(statement)
        raw.rollback()
    raw.close()
    assert model.objects.get().pk == made.pk


@pytest.mark.django_db
@pytest.mark.parametrize(("model", "make"), FROZEN)
def test_django_meets_an_integrity_error_on_an_issued_row(model, make):
    made = make()
    made.pages = 99
    for deed in (made.save, made.delete, lambda: model.objects.update(pages=3)):
        with pytest.raises(IntegrityError), transaction.atomic():
            deed()
    assert model.objects.get().pages == 1


@pytest.mark.django_db
def test_what_was_decided_on_a_quote_cannot_be_rewritten(user):
    quote = QuoteFactory()
    decided = quote.events.create(decision="declined", day=quote.dated, recorded_by=user)
    refused(lambda: QuoteEvent.objects.update(decision="accepted"), "once issued")
    refused(decided.delete, "once issued")


@pytest.mark.django_db
def test_what_an_issued_row_points_to_cannot_be_deleted():
    report = ConditionReportFactory()
    with pytest.raises(DatabaseError), transaction.atomic():
        report.survey.delete()


@pytest.mark.django_db
def test_every_change_leaves_what_was_there_before_and_who_changed_it():
    building = BuildingFactory(name="Before")
    with acting_as("someone"):
        Building.objects.update(name="After")
    change = Change.objects.get(table="sites_building", deed="UPDATE")
    assert change.before["name"] == "Before"
    assert change.actor == "someone"
    assert change.row.replace("-", "") == building.pk.hex


@pytest.mark.django_db
def test_a_bulk_delete_is_in_the_history_row_by_row():
    survey = SurveyFactory()
    for number in (1, 2, 3):
        FindingFactory(survey=survey, number=number, note=f"note {number}")
    Finding.objects.all().delete()
    notes = {
        change.before["note"]
        for change in Change.objects.filter(table="condition_finding", deed="DELETE")
    }
    assert notes == {"note 1", "note 2", "note 3"}


@pytest.mark.django_db
def test_personal_data_never_enters_the_history():
    person = BuildingPersonFactory(name="Private Name", email="private@parish.example")
    person.phone = "0123"
    person.save()
    before = Change.objects.get(table="sites_buildingperson").before
    assert not {"name", "email", "phone"} & set(before)
    assert before["role"] == "churchwarden"


@pytest.mark.django_db
def test_history_itself_cannot_be_rewritten():
    BuildingFactory()
    Building.objects.update(name="Other")
    with pytest.raises(IntegrityError), transaction.atomic():
        Change.objects.update(actor="somebody else")
    with pytest.raises(IntegrityError), transaction.atomic():
        Change.objects.all().delete()


# Accounts and their rights, what is known by its code, and what may be made again.
WITHOUT_HISTORY = {
    "sites_user",
    "sites_user_groups",
    "sites_user_user_permissions",
    "sites_caution",
    "sites_documentnumber",
    "sites_job",
    "sites_visitfolder",
    "condition_rendition",
}


def test_every_table_of_the_record_is_frozen_or_keeps_its_history():
    tables = {
        model._meta.db_table
        for room in ("sites", "condition", "restoration")
        for model in apps.get_app_config(room).get_models(include_auto_created=True)
    }
    assert tables - {rule.table for rule in (*RULES.frozen, *RULES.tracked)} == WITHOUT_HISTORY


def refused(make, message: str) -> None:
    with pytest.raises(IntegrityError, match=message), transaction.atomic():
        make()


@pytest.mark.django_db
def test_a_panel_or_item_of_another_opening_is_refused():
    survey = SurveyFactory()
    opening = OpeningFactory(building=survey.building)
    elsewhere = OpeningFactory(building=survey.building)
    panel, item = PanelFactory(opening=elsewhere), AttachedItemFactory(opening=elsewhere)
    refused(lambda: FindingFactory(survey=survey, opening=opening, panel=panel), "panel is not")
    refused(
        lambda: InspectionFactory(survey=survey, opening=opening, attached_item=item), "item is not"
    )
    refused(lambda: AttachedItemFactory(opening=opening, panel=panel), "panel is not")
    action = {"estimate": EstimateFactory(building=survey.building), "opening": opening}
    refused(lambda: RepairActionFactory(**action, panel=panel), "panel is not")


@pytest.mark.django_db
def test_a_record_across_two_buildings_is_refused():
    here, there = BuildingFactory(), BuildingFactory()
    survey, opening = SurveyFactory(building=here), OpeningFactory(building=there)
    refused(lambda: FindingFactory(survey=survey, opening=opening), "another building")
    refused(lambda: PhotographFactory(building=there, survey=survey), "another building")
    refused(lambda: PhotographFactory(building=here, opening=opening), "another building")
    refused(lambda: EstimateFactory(building=there, survey=survey), "another building")
    refused(lambda: ConditionReportFactory(survey=survey, building=there), "another building")


@pytest.mark.django_db
def test_a_finding_continues_one_of_an_earlier_survey_at_the_same_opening():
    first = FindingFactory(survey__day="2015-06-09")
    later = SurveyFactory(building=first.survey.building)
    same_day = SurveyFactory(building=first.survey.building, day="2015-06-09")
    refused(lambda: FindingFactory(survey=later, continues=first), "continues one")
    refused(
        lambda: FindingFactory(survey=same_day, opening=first.opening, continues=first),
        "continues one",
    )
    refused(
        lambda: FindingFactory(survey=first.survey, opening=first.opening, continues=first),
        "continues one",
    )
    parts = [FindingFactory(survey=later, opening=first.opening, continues=first) for _ in range(2)]
    assert list(first.continuations.order_by("number")) == parts
    # What is continued neither moves nor has its day put after what continues it.
    other = OpeningFactory(building=first.survey.building)
    refused(lambda: Finding.objects.filter(pk=first.pk).update(opening=other), "continues this")
    refused(lambda: Survey.objects.filter(pk=later.pk).update(day="2014-01-01"), "come before")
    refused(
        lambda: Survey.objects.filter(pk=first.survey_id).update(day="2030-01-01"), "come before"
    )


@pytest.fixture
def merged(db):
    """A later finding that continues one of two earlier ones, and the other of them."""
    main = FindingFactory(survey__day="2015-06-09")
    place = {"opening": main.opening, "kind": main.kind}
    other = FindingFactory(survey=main.survey, **place)
    later = SurveyFactory(building=main.survey.building)
    return FindingFactory(survey=later, continues=main, **place), other


def test_what_came_together_is_of_an_earlier_survey_at_the_same_opening(merged):
    finding, other = merged
    elsewhere = FindingFactory(survey=other.survey)
    beside = FindingFactory(survey=finding.survey, opening=finding.opening)
    alone = FindingFactory(survey=finding.survey, opening=finding.opening)

    def link(later, earlier):
        return FindingSource.objects.create(finding=later, earlier=earlier)

    for wrong in (elsewhere, beside, finding):
        refused(lambda wrong=wrong: link(finding, wrong), "comes from one of an earlier")
    refused(lambda: link(finding, finding.continues), "beside the one it continues")
    refused(lambda: link(alone, other), "beside the one it continues")
    link(finding, other)
    refused(lambda: link(finding, other), "finding_source_once|UNIQUE")
    refused(
        lambda: Finding.objects.filter(pk=finding.pk).update(continues=None),
        "beside the one it continues",
    )
    refused(
        lambda: Finding.objects.filter(pk=finding.pk).update(continues=other),
        "beside the one it continues",
    )
    refused(
        lambda: Survey.objects.filter(pk=finding.survey_id).update(day="2015-06-09"), "come before"
    )


def test_a_photograph_shows_findings_of_its_own_survey_and_opening(merged):
    finding, other = merged
    photograph = PhotographFactory(
        building=finding.survey.building, survey=finding.survey, opening=finding.opening
    )
    beside = FindingFactory(survey=finding.survey, opening=finding.opening)
    elsewhere = FindingFactory(survey=finding.survey)
    loose = PhotographFactory(building=finding.survey.building)

    def show(picture, each):
        return PhotographFinding.objects.create(photograph=picture, finding=each)

    for wrong in (other, elsewhere):
        refused(lambda wrong=wrong: show(photograph, wrong), "another survey or opening")
    refused(lambda: show(loose, finding), "another survey or opening")
    show(photograph, finding)
    show(photograph, beside)
    rows = Photograph.objects.filter(pk=photograph.pk)
    for change in ({"opening": elsewhere.opening}, {"opening": None}, {"survey": other.survey}):
        refused(lambda change=change: rows.update(**change), "another survey or opening")


def test_links_that_are_taken_away_stay_in_the_history(merged):
    finding, other = merged
    photograph = PhotographFactory(
        building=finding.survey.building,
        survey=finding.survey,
        opening=finding.opening,
        findings=[finding],
    )
    source = FindingSource.objects.create(finding=finding, earlier=other)
    with acting_as("somebody"):
        source.delete()
        photograph.finding_links.all().delete()
    changes = Change.objects.filter(deed="DELETE", actor="somebody")
    assert set(changes.values_list("table", flat=True)) == {
        "condition_findingsource",
        "condition_photographfinding",
    }


@pytest.mark.django_db
def test_a_finding_names_one_subject_and_its_key_is_that_subjects():
    opening = OpeningFactory()
    survey = SurveyFactory(building=opening.building)
    panel, item = PanelFactory(opening=opening), AttachedItemFactory(opening=opening)
    both = {"panel": panel, "attached_item": item}
    refused(lambda: FindingFactory(survey=survey, opening=opening, **both), "one_subject")
    for subject in ({}, {"panel": panel}, {"attached_item": item}):
        finding = FindingFactory(survey=survey, opening=opening, **subject)
        finding.refresh_from_db()
        assert finding.subject_key == finding.subject.pk


@pytest.mark.django_db
def test_the_check_names_a_rule_that_is_missing_and_migrate_puts_it_back():
    assert missing_rules() == []
    remove_rules()
    missing = missing_rules()
    assert any("restoration_quote" in name for name in missing)
    [warning] = [each for each in run_checks(databases=["default"]) if each.id == "sites.W001"]
    assert all(name in warning.msg for name in missing)
    install_rules()
    install_rules()
    assert missing_rules() == []


@pytest.mark.django_db
def test_every_table_of_the_rules_exists():
    assert RULES.tables <= set(connection.introspection.table_names())


def test_a_trigger_name_that_postgresql_would_cut_is_refused():
    with pytest.raises(ValueError, match="longer than 63"):
        trigger_name("a_table_with_a_very_long_name_indeed_for_a_table", "and_a_long_purpose")
