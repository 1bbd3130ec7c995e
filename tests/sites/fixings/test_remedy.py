"""How a plate would be fixed anew: common practice, no source."""

from dataclasses import replace

import pytest

from sites.compute.fixings.remedy import Circumstances, remedy_for
from sites.services.figures import shipped_figures

LIGHT = Circumstances("brass", 0.3, "sound")


def remedy(**changed):
    return remedy_for(replace(LIGHT, **changed), shipped_figures())


def test_a_light_copper_alloy_plate_on_sound_lead_gets_tabs_and_beads():
    told = remedy()
    assert told.choice == "tabs and beads"
    steps = " ".join(told.steps)
    assert "on the bench" in steps
    assert "neutral-cure silicone down each side" in steps
    assert steps.index("lacquer") < steps.index("Tin copper tabs")
    cautions = " ".join(told.cautions)
    for words in ("hot work", "acetic", "painted glass", "tarnish", "record the product"):
        assert words in cautions


@pytest.mark.parametrize(
    ("changed", "why"),
    [
        ({"mass_kg": 0.51}, "heavier than 0.5 kg"),
        ({"lead": "tired"}, "tired"),
        ({"material": "aluminium"}, "soft solder does not take on aluminium"),
        ({"material": "stainless steel"}, "soft solder does not take on stainless steel"),
        ({"material": "magnesium"}, "soft solder does not take on magnesium"),
        ({"material": "zinc"}, "for copper alloys"),
    ],
)
def test_straps_where_tabs_will_not_do(changed, why):
    told = remedy(**changed)
    assert told.choice == "straps"
    assert why in " ".join(told.why)
    assert not any("solder" in step.lower() for step in told.steps)


@pytest.mark.parametrize("host", ["stone", "timber", "frame"])
def test_a_plaque_screwed_to_the_wall_gets_neither_solder_nor_a_bar(host):
    told = remedy(screwed_to=host, mass_kg=4, lead="not known")
    assert told.choice == "screws"
    words = " ".join((told.title, *told.steps, *told.cautions)).lower()
    assert host in words
    assert not any(word in words for word in ("solder", "saddle bar", "silicone"))


def test_a_plate_at_the_limit_may_hang_on_lead():
    assert remedy(mass_kg=0.5).choice == "tabs and beads"


@pytest.mark.parametrize(
    ("changed", "missing"),
    [
        ({"material": "unknown"}, "its material"),
        ({"mass_kg": None}, "its size and thickness, or its weight"),
        ({"lead": "not known"}, "the state of the lead it would hold on to"),
    ],
)
def test_nothing_is_chosen_while_what_decides_is_not_recorded(changed, missing):
    told = remedy(**changed)
    assert (told.choice, told.missing) == ("undecided", (missing,))


def test_people_are_asked_and_consent_comes_before_the_work():
    told = remedy(
        memorial_of="Edith Tolliver", protection="Grade II", consent_body="the chancellor"
    )
    assert "Edith Tolliver" in told.steps[1]
    assert told.steps[2].endswith("first the consent of the chancellor.")
    assert not any("protected" in step for step in remedy().steps)
