"""A small record with something of every sort in it that a backup could get wrong."""

import datetime as dt
import hashlib
from decimal import Decimal
from io import BytesIO
from uuid import UUID

from django.contrib.auth.models import Group, Permission
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from condition.models import Finding
from condition.services.photographs import prepare_photograph
from sites.documents.canonical import digest
from sites.jobs import ask_for
from sites.models import Building
from sites.rules.actor import acting_as
from sites.services.plan import keep_picture
from tests import factories as make
from tests.condition.pictures import jpeg, quarters
from tests.condition.recorded import receive_photograph

ODD = "Ștefan’s “Łódź” \\ 'x'\r\nnext\u2028line\ttab 🕍 אבג { } %s ;--"
FIRST, LAST = UUID(int=1), UUID(int=2**128 - 1)


def make_world() -> None:
    """Fill the installation that is in use."""
    user = make.UserFactory(email="owner@studio.example", name=ODD[:100])
    group = Group.objects.create(name="Evening class")
    group.permissions.set(Permission.objects.order_by("-pk")[:3])
    # The last number given as a key is one that no row has any more.
    group.permissions.through.objects.order_by("-pk")[0].delete()
    user.groups.add(group)
    user.user_permissions.set(Permission.objects.order_by("pk")[:2])
    make.BuildingFactory(name="Chapel without a plan")
    building = make.BuildingFactory(name="St Wenfric", address=ODD, ritual_east=Decimal("84.5"))
    make.MembershipFactory(building=building, user=user)
    opening = make.OpeningFactory(
        building=building,
        width_typed='34 25/64"',
        width_mm=Decimal("873.521875"),
        light_widths_mm=["436.76", "436.76"],
    )
    item = make.AttachedItemFactory(opening=opening, inscription=ODD, weighed_kg=Decimal("7.25"))
    make.FixingFactory(item=item, cures_on=dt.date(1931, 12, 31))
    survey = seen(building, opening, item)
    papers(survey, user)
    photographs(building, opening, survey, user)
    changed(building)
    ask_for(building.studio, "prepare_photograph", "waiting", user, photograph="none")


def seen(building, opening, item):
    """A finding that continues an earlier one, whose key sorts after it."""
    before = make.SurveyFactory(building=building, day=dt.date(2019, 2, 28))
    survey = make.SurveyFactory(building=building)
    about = {"opening": opening, "attached_item": item}
    earlier = make.FindingFactory(survey=before, id=LAST, **about)
    make.FindingFactory(
        survey=survey,
        id=FIRST,
        continues=earlier,
        amount=Decimal("0.100"),
        unit="mm",
        classes_set_at=dt.datetime(2026, 5, 12, 9, 30, 1, 123456, tzinfo=dt.UTC),
        **about,
    )
    return survey


def papers(survey, user) -> None:
    """Documents that were issued, with the files they name; an action with its findings."""
    snapshot = {"schema": "test/1", "words": ODD, "lines": [1, None, True, {"b": "2", "a": "1"}]}
    pdf = b"%PDF-1.7 a report of four pages"
    fields = {
        "snapshot": snapshot,
        "snapshot_sha256": digest(snapshot),
        "pdf_sha256": hashlib.sha256(pdf).hexdigest(),
        "pdf_bytes": len(pdf),
        "issued_by": user,
    }
    estimate = make.EstimateFactory(building=survey.building, survey=survey)
    for factory, about in (
        (make.ConditionReportFactory, {"survey": survey}),
        (make.QuoteFactory, {"estimate": estimate}),
    ):
        path = default_storage.save("studio/documents/a.pdf", ContentFile(pdf))
        factory(pdf=path, **about, **fields)
    opening = survey.findings.get().opening
    action = make.RepairActionFactory(
        estimate=estimate, opening=opening, difficulty=Decimal("1.15")
    )
    action.findings.set([FIRST, LAST])


def photographs(building, opening, survey, user) -> None:
    photograph = receive_photograph(
        building=building,
        survey=survey,
        opening=opening,
        file=BytesIO(jpeg()),
        name=ODD[:20],
        caption=ODD,
        user=user,
    )
    prepare_photograph(photograph)
    keep_picture(building, BytesIO(jpeg(quarters(size=(64, 48)))))


def changed(building) -> None:
    """Rows in the history, written by the database itself."""
    with acting_as("someone"):
        Building.objects.filter(pk=building.pk).update(name=ODD[:40])
        gone = make.FindingFactory(survey__building=building, amount=Decimal("1.500"), unit="mm")
        Finding.objects.filter(pk=gone.pk).delete()
