"""Which picture each opening of the demonstration holds."""

from typing import Final

from restoration.demo.pictures.borders import quarries
from restoration.demo.pictures.subjects_light import (
    high_sun,
    lamp_upon_the_stand,
    rising_sun,
    setting_sun,
)
from restoration.demo.pictures.subjects_nature import (
    noahs_raven,
    orchard_in_blossom,
    snow_geese,
)
from restoration.demo.pictures.subjects_people import (
    ferryman_and_child,
    ruth_among_the_barley,
    sower_at_first_light,
    tabitha_sewing,
    wise_builder,
)
from restoration.demo.pictures.subjects_water import kingfisher, river_of_life
from restoration.demo.pictures.window import Composition

SUBJECTS: Final[dict[str, Composition]] = {
    "I": lamp_upon_the_stand,
    "nII": tabitha_sewing,
    "nIII": sower_at_first_light,
    "nIV": ruth_among_the_barley,
    "nV": snow_geese,
    "nVI": quarries,
    "sII": wise_builder,
    "sIII": ferryman_and_child,
    "sIV": noahs_raven,
    "sV": orchard_in_blossom,
    "sVI": quarries,
    "NII": rising_sun,
    "NIII": high_sun,
    "SII": setting_sun,
    "wI": river_of_life,
    "wII": kingfisher,
}
