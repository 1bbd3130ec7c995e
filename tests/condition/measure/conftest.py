"""An opening of two panels, a finding in one of them, and a measured photograph of it."""

import pytest

from tests.condition.measure.rows import measured_photograph
from tests.factories import (
    FindingFactory,
    FindingKindFactory,
    OpeningFactory,
    PanelFactory,
    SurveyFactory,
)


@pytest.fixture
def opening(building):
    """Two lights of 400 mm side by side, each one panel."""
    made = OpeningFactory(
        building=building,
        number="nIV",
        lights=2,
        width_typed="840",
        width_mm=840,
        height_typed="600",
        height_mm=600,
        mullion_typed="40",
        mullion_mm=40,
        head="rectangle",
    )
    for number in ("1a", "1b"):
        PanelFactory(
            opening=made,
            number=number,
            width_mm=400,
            width_typed="400",
            height_mm=600,
            height_typed="600",
        )
    return made


@pytest.fixture
def finding(building, opening):
    return FindingFactory(
        survey=SurveyFactory(building=building),
        opening=opening,
        panel=opening.panels.get(number="1a"),
        kind=FindingKindFactory(studio=building.studio, group="glass", units=["mm"]),
        number=4,
    )


@pytest.fixture
def measured(finding, people, files):
    panel = finding.panel
    points = [[0.1, 0.9, 0, 0], [0.9, 0.9, 400, 0], [0.9, 0.1, 400, 600], [0.1, 0.1, 0, 600]]
    return measured_photograph(
        finding.survey.building,
        people["owner"],
        panel,
        points,
        survey=finding.survey,
        opening=finding.opening,
        findings=[finding],
        caption="The panel",
        taken_local="2026-05-12T10:00:00",
    )
