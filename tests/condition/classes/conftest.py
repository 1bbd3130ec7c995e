"""A studio with the shipped rules, and findings at one of its buildings."""

import pytest

from condition.models import FindingKind
from condition.services.class_rules import add_shipped_rules
from tests.condition.classes.told import KINDS
from tests.factories import FindingFactory, OpeningFactory, PanelFactory, SurveyFactory

FEW = {
    "bowed-panel",
    "broken-tie",
    "cracked-glass",
    "failed-solder-joint",
    "item-fixing-failed",
    "loose-glass",
    "other",
}


def with_vocabulary(studio, codes):
    """Give a studio the shipped kinds of these codes, and the rules that go with them."""
    FindingKind.objects.bulk_create(
        FindingKind(
            studio=studio,
            code=entry["code"],
            group=entry["group"],
            name=entry["name"],
            plain=entry["plain"],
            units=entry["units"],
            counted=entry.get("counted", []),
            order=place,
        )
        for place, entry in enumerate(KINDS.values())
        if entry["code"] in codes
    )
    add_shipped_rules(studio)
    return studio


@pytest.fixture
def studio(building):
    """The building's studio with a few kinds of finding, for speed."""
    return with_vocabulary(building.studio, FEW)


@pytest.fixture
def whole_studio(building):
    return with_vocabulary(building.studio, {entry["code"] for entry in KINDS.values()})


@pytest.fixture
def survey(building):
    return SurveyFactory(building=building)


@pytest.fixture
def panel(building):
    opening = OpeningFactory(building=building, number="nIV", under_inside="people")
    return PanelFactory(opening=opening, number="2b", pieces=60)


@pytest.fixture
def found(studio, survey, panel):
    """A function that logs a finding of a kind, given by its code, on the panel."""

    def make(code, **said):
        said.setdefault("survey", survey)
        said.setdefault("panel", panel)
        kind = studio.finding_kinds.get(code=code)
        return FindingFactory(kind=kind, opening=panel.opening, **said)

    return make
