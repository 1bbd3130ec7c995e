"""Numbers of documents: one series a studio and a year, none twice, none lost."""

import datetime as dt
import threading
from collections.abc import Callable

import pytest
from django.db import connection

from restoration.models import Quote
from sites.keys import uuid7
from sites.models import DocumentNumber, Studio, User
from sites.models.choices import DocumentKind
from sites.services.numbers import next_version, reserve_number, today_at
from tests.factories import BuildingFactory, QuoteFactory, StudioFactory, UserFactory

DAY = dt.date(2026, 5, 20)
REPORT, QUOTE = DocumentKind.REPORT, DocumentKind.QUOTE


def reserve(studio: Studio, user: User, subject=None, kind=REPORT, dated=DAY) -> DocumentNumber:
    return reserve_number(
        studio=studio, kind=kind, subject=subject or uuid7(), dated=dated, user=user
    )


def issued(number: DocumentNumber) -> DocumentNumber:
    number.issued = True
    number.save()
    return number


@pytest.fixture
def studio(db) -> Studio:
    return StudioFactory()


def test_each_kind_counts_for_itself_and_each_year_anew(studio, user):
    numbers = [
        reserve(studio, user).number,
        reserve(studio, user).number,
        reserve(studio, user, kind=QUOTE).number,
        reserve(studio, user, dated=dt.date(2027, 1, 2)).number,
    ]
    assert numbers == ["CR-2026-0001", "CR-2026-0002", "RQ-2026-0001", "CR-2027-0001"]


def test_each_studio_counts_for_itself(studio, user):
    assert reserve(studio, user).number == reserve(StudioFactory(), user).number


def test_a_number_not_issued_is_taken_up_again_as_of_the_new_day(studio, user):
    subject, other = uuid7(), UserFactory()
    first = reserve(studio, user, subject)
    again = reserve(studio, other, subject, dated=dt.date(2026, 5, 23))
    assert (again.pk, again.number) == (first.pk, first.number)
    assert (again.dated, again.asked_by) == (dt.date(2026, 5, 23), other)


def test_the_next_version_keeps_the_number_even_in_another_year(studio, user):
    subject = uuid7()
    first = issued(reserve(studio, user, subject))
    second = reserve(studio, user, subject, dated=dt.date(2027, 2, 1))
    assert (second.number, second.version) == (first.number, 2)
    assert next_version(REPORT, subject) == 2


def test_today_is_the_day_at_the_building(monkeypatch, db):
    evening = dt.datetime(2026, 5, 20, 23, 30, tzinfo=dt.UTC)
    monkeypatch.setattr("sites.services.numbers.timezone.now", lambda: evening)
    assert today_at(BuildingFactory(time_zone="Europe/Berlin")) == dt.date(2026, 5, 21)
    assert today_at(BuildingFactory(time_zone="America/Chicago")) == DAY


@pytest.mark.both_engines
@pytest.mark.django_db(transaction=True)
def test_many_who_ask_at_once_get_different_numbers_without_a_gap():
    studio, user = StudioFactory(), UserFactory()
    got = at_once(8, lambda: reserve(studio, user).number)
    assert sorted(got) == [f"CR-2026-{serial:04d}" for serial in range(1, 9)]


@pytest.mark.both_engines
@pytest.mark.django_db(transaction=True)
def test_two_workers_with_one_subject_get_the_same_number():
    studio, user, subject = StudioFactory(), UserFactory(), uuid7()
    got = at_once(4, lambda: reserve(studio, user, subject).pk)
    assert len(set(got)) == DocumentNumber.objects.count() == 1


def at_once(how_many: int, work: Callable[[], object]) -> list:
    """Do the same in several threads that start together; each has a connection of its own."""
    start, results = threading.Barrier(how_many), []

    def run() -> None:
        start.wait()
        try:
            results.append(work())
        finally:
            connection.close()

    threads = [threading.Thread(target=run) for _ in range(how_many)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return results


def test_neither_a_list_nor_a_link_loads_a_snapshot(db):
    first = QuoteFactory()
    QuoteFactory(estimate=first.estimate, version=2, supersedes=first)
    for quote in Quote.objects.order_by("version"):
        assert quote.get_deferred_fields() == {"snapshot"}
        assert quote.estimate.quotes.first().get_deferred_fields() == {"snapshot"}
    assert quote.supersedes.get_deferred_fields() == {"snapshot"}
