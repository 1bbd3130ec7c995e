"""A building with two surveys eleven years apart, and a few things to be found at both."""

import datetime as dt
from decimal import Decimal

from tests.condition.recorded import surveyor_at
from tests.factories import (
    FindingFactory,
    FindingKindFactory,
    OpeningFactory,
    PanelFactory,
    SurveyFactory,
)

THEN, NOW = dt.date(2015, 6, 9), dt.date(2026, 5, 12)
OUT_OF_PLANE = "mm out of plane"


class Visits:
    """The two surveys of a building, one panel, and findings logged at either."""

    def __init__(self, building):
        self.building, self.user = building, surveyor_at(building)
        self.then = SurveyFactory(building=building, day=THEN)
        self.now = SurveyFactory(building=building, day=NOW)
        self.opening = OpeningFactory(building=building, number="nII")
        self.panel = PanelFactory(opening=self.opening, number="2a")
        self.tie = self.kind("broken-tie", "Broken tie")
        self.crack = self.kind("cracked-glass", "Cracked glass")
        self.bow = self.kind("bowed-panel", "Bowed panel")

    def kind(self, code, name):
        return FindingKindFactory(studio=self.building.studio, code=code, name=name)

    def found(self, survey=None, **facts):
        facts.setdefault("kind", self.tie)
        facts.setdefault("panel", self.panel)
        return FindingFactory(survey=survey or self.then, opening=self.opening, **facts)

    def bowed(self, day, depth, continues=None, **facts):
        """The bow of the panel as it was read at a survey of that day."""
        survey = {THEN: self.then, NOW: self.now}.get(day)
        return self.found(
            survey or SurveyFactory(building=self.building, day=day),
            kind=self.bow,
            amount=Decimal(depth),
            unit=OUT_OF_PLANE,
            continues=continues,
            **facts,
        )
