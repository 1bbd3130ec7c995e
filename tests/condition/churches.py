"""A building with four windows and a survey, for tests of what its report says of dangers."""

import datetime as dt

from condition.documents.consistency import contradictions
from restoration.services.studios import open_studio
from tests.condition.reports import report_of
from tests.factories import (
    BuildingFactory,
    DangerFactory,
    FindingFactory,
    OpeningFactory,
    SurveyFactory,
)

VISIT = dt.date(2026, 5, 12)
# 20 June at the building, where it is already the 20th while it is the 19th in London.
NOW = dt.datetime(2026, 6, 19, 22, 30, tzinfo=dt.UTC)


class Church:
    """A building with four windows and a survey of 12 May; dangers are added by each test."""

    def __init__(self) -> None:
        self.building = BuildingFactory(
            studio=open_studio("Withy Brook Glass"),
            country="GB",
            time_zone="Pacific/Auckland",
            consent_body="Diocesan advisory committee",
            under_inside="people",
            under_outside="people",
        )
        self.kinds = {kind.code: kind for kind in self.building.studio.finding_kinds.all()}
        self.windows = {
            number: OpeningFactory(
                building=self.building, number=number, title=title, wall="north", order=number
            )
            for number, title in (("nII", "The Sower"), ("nIII", ""), ("nIV", "Ruth"), ("nV", ""))
        }
        self.survey = SurveyFactory(building=self.building, day=VISIT)

    def danger(self, window: str = "nII", *, kind: str = "slipped-glass", **fields):
        fields = {"side": "inside", "opened_on": VISIT} | fields
        return DangerFactory(
            building=self.building, kind=self.kinds[kind], opening=self.windows[window], **fields
        )

    def finding(self, window: str, number: int, kind: str = "perished-cement", **fields):
        return FindingFactory(
            survey=self.survey,
            opening=self.windows[window],
            kind=self.kinds[kind],
            number=number,
            side="inside",
            **fields,
        )

    def report(self, moment: dt.datetime = NOW) -> dict:
        snapshot = report_of(self.survey, moment)
        assert contradictions(snapshot) == []
        return snapshot

    def page(self, moment: dt.datetime = NOW) -> dict:
        return self.report(moment)["page_one"]
