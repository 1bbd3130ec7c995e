"""Issued documents as they are sent: the same way for every kind, to nobody's cache."""

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.urls import reverse

from tests import factories
from tests.addresses import TABLE, address
from tests.world import everybody, records

__all__ = ["everybody", "records"]
pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]

# The address, the record whose file it sends, the file's column, and the end of its name.
SENT = {
    "sites:proof-pdf": ("proof", "pdf", "v1.pdf"),
    "condition:report-pdf": ("report", "pdf", "v1.pdf"),
    "condition:report-archival": ("report", "archival", "v1-archival.pdf"),
    "condition:notice-pdf": ("notice", "pdf", "v1.pdf"),
    "restoration:quote-pdf": ("quote", "pdf", "v1.pdf"),
}
# Printed when it is asked for: there is no file of it.
PRINTED = {"condition:safety-sheet-pdf"}


@pytest.fixture
def sent(records):
    """A function from an address's name to the record, its file with known bytes, and the URL."""

    def make(name):
        record = records[SENT[name][0]]
        file = getattr(record, SENT[name][1])
        default_storage.delete(file.name)
        assert default_storage.save(file.name, ContentFile(b"%PDF-1.7 issued")) == file.name
        return record, file, reverse(name, args=[record.pk])

    return make


def test_every_address_of_a_document_is_looked_at_here():
    assert {name for name in TABLE if name.endswith(("-pdf", "-archival"))} == set(SENT) | PRINTED


@pytest.mark.parametrize("name", SENT)
def test_it_is_sent_under_its_number_and_version_and_kept_by_no_cache(name, sent, owner):
    record, _, url = sent(name)
    only_saved = name.endswith("-archival")
    for query, way in (("", "attachment" if only_saved else "inline"), ("?download", "attachment")):
        response = owner.get(url + query)
        assert response.getvalue() == b"%PDF-1.7 issued"
        named = f'{way}; filename="{record.number}-{SENT[name][2]}"'
        assert response["Content-Disposition"] == named
        assert response["Content-Type"] == "application/pdf"
        assert response["Content-Length"] == "15"
        assert response["Cache-Control"] == "private, no-store"
        assert response["X-Content-Type-Options"] == "nosniff"
        assert response["X-Frame-Options"] == "DENY"
        policy = response["Content-Security-Policy"]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "script-src" not in policy


@pytest.mark.parametrize("name", SENT)
def test_a_file_that_is_gone_is_not_found_and_is_told_to_who_runs_the_program(
    name, sent, owner, caplog
):
    record, file, url = sent(name)
    default_storage.delete(file.name)
    assert owner.get(url).status_code == 404
    assert f"the file {file.name} of" in caplog.text
    assert record.number in caplog.text


def test_a_report_that_has_no_copy_for_keeping_is_not_found_and_nothing_is_wrong(
    records, owner, caplog
):
    report = factories.ConditionReportFactory(survey=records["survey"])
    url = reverse("condition:report-archival", args=[report.pk])
    assert owner.get(url).status_code == 404
    assert "is not in the store" not in caplog.text


@pytest.mark.parametrize("name", PRINTED)
def test_what_is_printed_when_asked_for_is_kept_by_no_cache_either(name, records, owner):
    response = owner.get(address(name, records))
    assert response.content.startswith(b"%PDF-")
    assert response["Cache-Control"] == "private, no-store"
    assert response["X-Content-Type-Options"] == "nosniff"
    assert "default-src 'none'" in response["Content-Security-Policy"]
