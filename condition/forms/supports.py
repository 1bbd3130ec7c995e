"""The form of the wind at a building, for the screening of its bars."""

from decimal import Decimal
from typing import Any

from crispy_forms.layout import Layout
from django.utils.translation import gettext_lazy as _

from condition.models import WindSite
from condition.models.choices import Terrain, WindCode
from sites.forms.base import RecordForm, group, side_by_side
from sites.services.numbers import today_at

EUROPEAN = ("0", "I", "II", "III", "IV")
# Basic speeds of the codes' own maps lie well inside: beyond, the unit was mistaken.
FASTEST_M_S = Decimal(80)
SLOWEST_MPH = Decimal(60)
GREATEST_COEFFICIENT = Decimal(10)


class WindSiteForm(RecordForm):
    lengths = {"reference_height": _("Height to reckon the wind at")}

    class Meta:
        model = WindSite
        fields = [
            "code",
            "basic_speed",
            "speed_source",
            "terrain",
            "ground_factor",
            "direction_factor",
            "pressure_coefficient",
        ]
        help_texts = {
            "speed_source": _("The map or annex with its year, and who read it."),
            "ground_factor": _("co in EN 1991-1-4, Kzt in ASCE 7-16; 1 on level ground."),
            "direction_factor": _("cdir in EN 1991-1-4, Kd in ASCE 7-16; 1 is never too little."),
            "pressure_coefficient": _("Outside and inside together; usual ones stand below."),
        }

    def prepare(self) -> None:
        named = dict(Terrain.choices)
        by_code = [
            (
                str(code.label),
                [(v, w) for v, w in named.items() if (v in EUROPEAN) == (code == WindCode.EN)],
            )
            for code in WindCode
        ]
        self.fields["terrain"].choices = [("", _("Choose")), *by_code]
        self.fields["reference_height"].required = True
        self.fields["reference_height"].help_text = _(
            "Top of the wall or gable after EN 1991-1-4, mean height of the roof after ASCE 7-16."
        )
        if self.adds:
            # Nobody is to take over a coefficient that nobody chose.
            self.initial.pop("pressure_coefficient", None)
            self.fields["pressure_coefficient"].initial = None

    def write(self) -> None:
        self.instance.save_as_of(today_at(self.instance.building))

    def layout(self) -> Layout:
        return Layout(
            group(
                _("The wind"),
                "code",
                side_by_side("basic_speed", "speed_source"),
                side_by_side("terrain", "reference_height"),
                self.length_help(),
            ),
            group(
                _("Factors"),
                side_by_side("ground_factor", "direction_factor", "pressure_coefficient"),
            ),
        )

    def clean(self) -> dict[str, Any]:
        got: dict[str, Any] = super().clean() or self.cleaned_data
        self._check_unit(got.get("code"), got.get("basic_speed"))
        coefficient = got.get("pressure_coefficient")
        if coefficient is not None and not 0 < abs(coefficient) <= GREATEST_COEFFICIENT:
            self.add_error(
                "pressure_coefficient",
                _("A net coefficient is not 0 and not beyond 10: usual ones are 1 to 2."),
            )
        terrain, code = got.get("terrain"), got.get("code")
        if terrain and code and (terrain in EUROPEAN) != (code == WindCode.EN):
            self.add_error("terrain", _("The terrain must be one of the code chosen."))
        return got

    def _check_unit(self, code: str | None, speed: Decimal | None) -> None:
        if code is None or speed is None:
            return
        if code == WindCode.EN and speed > FASTEST_M_S:
            self.add_error(
                "basic_speed",
                _("EN 1991-1-4 takes metres a second: %s looks like miles an hour.") % speed,
            )
        if code == WindCode.ASCE and 0 < speed < SLOWEST_MPH:
            self.add_error(
                "basic_speed",
                _("ASCE 7-16 takes miles an hour: %s looks like metres a second.") % speed,
            )
