"""A danger as a surveyor finds it, its notice, and a sheet of facts, for tests of both."""

import datetime as dt
import hashlib
from decimal import Decimal

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from condition.documents.make_safe.build import NoticeWords, build_snapshot
from condition.models import AreaClosure, ClosureEnd, Danger, Finding, MakeSafeNotice, SafetySheet
from condition.services.notices import latest_sighting
from condition.services.recording.closures import close_areas
from sites.documents.canonical import digest
from sites.models import Building, User
from sites.models.choices import DocumentKind
from sites.rules.actor import acting_as
from sites.services.numbers import reserve_number, today_at
from tests.factories import FindingFactory, OpeningFactory, SurveyFactory

WORDS = NoticeWords(
    hazard="A brass plaque hangs by one tab, 3 m above the front pew.",
    new_area="The two front pews on the north side and the aisle beside them",
    done="Pews roped off; the plaque tied to the bar with webbing.",
    measure="held",
    fixed_to="bar",
    done_on=dt.date(2026, 5, 12),
    told="The churchwarden by telephone, the verger on the spot.",
    closed_at=dt.datetime(2026, 5, 12, 14, 30),
)


def danger(building: Building, **fields) -> Finding:
    """A finding that can hurt someone, at an opening of its own."""
    opening = fields.pop("opening", None) or OpeningFactory(building=building, number="nV")
    survey = fields.pop("survey", None) or SurveyFactory(building=building)
    return FindingFactory(survey=survey, opening=opening, hazard=True, **fields)


def known_danger(building: Building, **fields) -> Danger:
    """The danger of such a finding, with all that its state is worked out from."""
    return Danger.objects.with_facts().get(findings=danger(building, **fields))


def unprinted_notice(
    danger: Danger, user: User, words: NoticeWords = WORDS, **fields
) -> MakeSafeNotice:
    """The danger's next notice with its real data, its areas closed, and a few bytes for a file."""
    building = danger.building
    number = reserve_number(
        studio=building.studio,
        kind=DocumentKind.MAKE_SAFE,
        subject=danger.pk,
        dated=fields.pop("dated", None) or today_at(building),
        user=user,
    )
    with acting_as(str(user.pk)):
        close_areas(danger, words.areas, words.new_area, words.closed_at, number.version)
    before = danger.notices.order_by("-version").first()
    finding = latest_sighting(danger)
    closures = list(AreaClosure.objects.standing().for_list().filter(danger=danger))
    snapshot = build_snapshot(danger, finding, closures, words, number, before)
    pdf = b"%PDF-1.7 a notice"
    notice = MakeSafeNotice.objects.create(
        studio=building.studio,
        building=building,
        danger=danger,
        finding=finding,
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


def reopened(danger: Danger) -> list[ClosureEnd]:
    """Every area that stands closed for a danger, reopened by two people today."""
    return [
        ClosureEnd.objects.create(
            closure=closure,
            kind="reopened",
            day=today_at(danger.building),
            safe_by="Wilfred Tolliver",
            safe_trade="glazier",
            how_known="there",
            reopened_by="Edith Marlowe",
            authority="Churchwarden",
            because="The plaque is down and in the vestry.",
        )
        for closure in AreaClosure.objects.standing().filter(danger=danger)
    ]


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
