"""A danger as a surveyor finds it, its notice, and a sheet of facts, for tests of both."""

import datetime as dt
import hashlib
from decimal import Decimal

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from condition.documents.make_safe.build import NoticeWords, build_snapshot
from condition.models import Finding, MakeSafeNotice, NoticeReopening, SafetySheet
from sites.documents.canonical import digest
from sites.models import Building, User
from sites.models.choices import DocumentKind
from sites.services.numbers import reserve_number, today_at
from tests.factories import FindingFactory, OpeningFactory, SurveyFactory

WORDS = NoticeWords(
    hazard="A brass plaque hangs by one tab, 3 m above the front pew.",
    area="The two front pews on the north side and the aisle beside them",
    done="Pews roped off; the plaque tied to the bar with webbing.",
    told="The churchwarden by telephone, the verger on the spot.",
    closed_at=dt.datetime(2026, 5, 12, 14, 30),
)


def danger(building: Building, **fields) -> Finding:
    """A finding that can hurt someone, at an opening of its own."""
    opening = fields.pop("opening", None) or OpeningFactory(building=building, number="nV")
    survey = fields.pop("survey", None) or SurveyFactory(building=building)
    return FindingFactory(survey=survey, opening=opening, hazard=True, **fields)


def unprinted_notice(
    finding: Finding, user: User, words: NoticeWords = WORDS, **fields
) -> MakeSafeNotice:
    """The finding's next notice with its real data, and a few bytes for a file."""
    building = finding.survey.building
    number = reserve_number(
        studio=building.studio,
        kind=DocumentKind.MAKE_SAFE,
        subject=finding.pk,
        dated=fields.pop("dated", None) or today_at(building),
        user=user,
    )
    before = finding.notices.order_by("-version").first()
    snapshot = build_snapshot(finding, words, number, before)
    pdf = b"%PDF-1.7 a notice"
    notice = MakeSafeNotice.objects.create(
        studio=building.studio,
        building=building,
        finding=finding,
        area=words.area,
        number=number.number,
        version=number.version,
        supersedes=before,
        dated=number.dated,
        issued_at=dt.datetime.now(dt.UTC),
        issued_by=user,
        snapshot=snapshot,
        snapshot_sha256=digest(snapshot),
        pdf=default_storage.save("studio/documents/notice.pdf", ContentFile(pdf)),
        pdf_sha256=hashlib.sha256(pdf).hexdigest(),
        pdf_bytes=len(pdf),
        pages=1,
        **fields,
    )
    number.issued = True
    number.save()
    return notice


def signed_reopened(notice: MakeSafeNotice, user: User) -> NoticeReopening:
    """The row of a notice whose area somebody signed reopened."""
    return NoticeReopening.objects.create(
        notice=notice,
        signed_by="Wilfred Tolliver",
        authority="Churchwarden",
        because="The plaque is down and in the vestry.",
        reopened_on=notice.dated,
        recorded_by=user,
    )


def full_sheet(building: Building, **fields) -> SafetySheet:
    """A sheet with everything on it that can hurt."""
    facts = {
        "title": "Resoldering the tabs of the plaque below St Cuthbert",
        "day": dt.date(2026, 6, 9),
        "people": "Margery Holloway, Tom Ashby",
        "height_typed": "4.2 m",
        "height_mm": Decimal(4200),
        "access": "ladder",
        "hot_work": "flame",
        "lead": True,
        "old_paint": True,
        "hours": Decimal(10),
        "window_replaced": True,
        "built_year": 1925,
        "putty": "not tested",
        "heating": "found",
        "nesting": True,
        "people_below": True,
    }
    return SafetySheet.objects.create(building=building, **facts | fields)
