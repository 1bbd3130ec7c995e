"""A survey as a studio makes one, for tests of its report: a dozen openings, every kind of line."""

import datetime as dt
import hashlib
from decimal import Decimal

from django.core.files.base import ContentFile

from condition.documents.build import build_snapshot
from condition.models import Danger, DangerAct, Finding, Photograph, Survey
from condition.services.photographs import prepare_photograph
from condition.services.report_snapshot import judge
from restoration.services.studios import open_studio
from sites.models import AttachedItem, DocumentNumber, Fixing, Opening, User
from tests.condition.pictures import jpeg, quarters
from tests.factories import (
    AttachedItemFactory,
    BuildingFactory,
    BuildingPersonFactory,
    FindingFactory,
    InspectionFactory,
    OlderNumberFactory,
    OpeningFactory,
    PanelFactory,
    PhotographFactory,
    SurveyFactory,
    UserFactory,
)

CLASSES = ("condition_class", "urgency_class", "recommendation_class")


def classed(condition: int, urgency: int, recommendation: int) -> dict[str, int]:
    return dict(zip(CLASSES, (condition, urgency, recommendation), strict=True))


class Visit:
    """One survey of St Aldhelm's, with its openings, findings and photographs by name."""

    def __init__(self, *, paper: str = "A4", country: str = "GB", units: str = "metric") -> None:
        self.studio = open_studio("Withy Brook Glass", email="studio@withybrook.example")
        self.user: User = UserFactory(name="Margery Holloway")
        self.building = BuildingFactory(
            studio=self.studio,
            name="St Aldhelm’s",
            place="Nether Wickham",
            country=country,
            paper=paper,
            units=units,
            time_zone="Europe/London",
            protection="Listed, grade II*",
            consent_body="Diocesan advisory committee",
        )
        BuildingPersonFactory(building=self.building, email="warden@parish.example", phone="01 234")
        self.kinds = {kind.code: kind for kind in self.studio.finding_kinds.all()}
        self.openings = {opening.number: opening for opening in self._openings()}
        self.survey: Survey = SurveyFactory(
            building=self.building,
            surveyors="Margery Holloway and Tom Ashby",
            client="The churchwardens",
            method="By eye from the floor and from a tower.",
            limits="What stood above 5 m was not touched.",
        )
        self.plaque = self._plaque()
        self.colours = iter(range(20, 255, 3))
        self._findings()
        self._inspections()
        self.photograph(None, None, "North side from the churchyard")

    def _openings(self) -> list[Opening]:
        titles = {
            "I": "The Ascension",
            "nII": "The Good Shepherd",
            "nIII": "St Cuthbert",
            "nV": "Memorial window",
            "sII": "Jairus’s Daughter",
            "sIV": "",
            "NII": "",
        }
        made = []
        for place, (number, title) in enumerate(titles.items()):
            size = {
                "width_typed": '34 3/8"',
                "width_mm": Decimal("873.125"),
                "height_typed": "3000",
                "height_mm": Decimal(3000),
            }
            opening = OpeningFactory(
                building=self.building, number=number, title=title, order=f"{place:03}", **size
            )
            PanelFactory(opening=opening, number="3b", order="3b")
            made.append(opening)
        OlderNumberFactory(opening=made[1], number="Window 4", system="list of 1962")
        return made

    def _plaque(self) -> AttachedItem:
        plaque = AttachedItemFactory(
            opening=self.openings["nV"],
            number="P1",
            material="brass",
            inscription="IN LOVING MEMORY OF\nWILFRED ŁĄCKI\nAND JOHN ȘTEFAN",
            memorial_of="Wilfred Łącki and John Ștefan",
        )
        Fixing.objects.create(
            item=plaque, kind="soldered tab", count=3, state="failed", holds_on_to="lead"
        )
        return plaque

    def _findings(self) -> None:
        before = SurveyFactory(building=self.building, day=dt.date(2021, 6, 3))
        earlier = self.finding(
            "nII", "failed-solder-joint", 3, survey=before, amount=4, unit="count", of_total=22
        )
        loose = self.finding(
            "nV",
            "item-fixing-failed",
            1,
            attached_item=self.plaque,
            hazard=True,
            made_safe="Wired to the bar",
            note="Hangs by one tab.",
            **classed(3, 3, 2),
        )
        slipped = self.finding("sII", "slipped-glass", 2, hazard=True, **classed(3, 3, 2))
        joints = self.finding(
            "nII",
            "failed-solder-joint",
            4,
            panel=self.openings["nII"].panels.get(),
            continues=earlier,
            amount=9,
            unit="count",
            of_total=22,
            **classed(2, 2, 2),
        )
        self.finding("nII", "perished-cement", 5, **classed(1, 1, 1))
        self.finding("I", "unstable-paint", 6, **classed(3, 3, 3))
        self.finding(
            "nIII", "bowed-panel", 7, amount=38, unit="mm out of plane", **classed(2, 2, 2)
        )
        self.finding("nIII", "missing-cement", 17)
        for finding, count in ((loose, 2), (slipped, 1), (joints, 3)):
            for _ in range(count):
                self.photograph(finding.opening, finding, "Detail in raking light")
        self.photograph(self.openings["I"], None, "Whole window from inside")

    def _inspections(self) -> None:
        InspectionFactory(survey=self.survey, opening=self.openings["sIV"], seen_from="tower")
        InspectionFactory(
            survey=self.survey,
            opening=self.openings["NII"],
            outcome="not inspected",
            reason="No safe access on the day",
        )

    def finding(self, opening: str, kind: str, number: int, **fields: object) -> Finding:
        fields = {"survey": self.survey} | fields
        return FindingFactory(
            opening=self.openings[opening], kind=self.kinds[kind], number=number, **fields
        )

    def photograph(
        self, opening: Opening | None, finding: Finding | None, caption: str
    ) -> Photograph:
        """A photograph with a file and its copies, as the worker would have made them."""
        shade = next(self.colours)
        data = jpeg(quarters(((shade, 40, 40), (40, shade, 40), (40, 40, shade), (shade,) * 3)))
        photograph = PhotographFactory(
            building=self.building,
            survey=self.survey,
            opening=opening,
            findings=[finding] if finding else [],
            caption=caption,
            taken_local="2026-05-12T10:11:00",
            original=ContentFile(data, "x.jpg"),
            bytes=len(data),
            sha256=hashlib.sha256(data).hexdigest(),
        )
        prepare_photograph(photograph)
        return photograph


def report_of(survey: Survey, moment: dt.datetime, user: User | None = None) -> dict:
    """The report of a survey as it is read at a moment, before anything is printed."""
    number = DocumentNumber(
        studio=survey.building.studio,
        kind="CR",
        year=moment.year,
        serial=1,
        version=1,
        subject=survey.pk,
        dated=moment.date(),
        asked_by=user or UserFactory(),
    )
    return build_snapshot(survey, number, None, judge, moment)


def act(danger: Danger, deed: str, day: dt.date, **fields: object) -> DangerAct:
    """One act about a danger, received on its day."""
    at = dt.datetime.combine(day, dt.time(12), dt.UTC)
    return DangerAct.objects.create(danger=danger, act=deed, day=day, received_at=at, **fields)
