"""Forms of an opening, its older numbers and its panels."""

from crispy_forms.layout import Layout
from django import forms
from django.utils.translation import gettext_lazy as _

from sites.forms.base import RecordForm, group, side_by_side
from sites.forms.fields import CountField
from sites.forms.recorded import RecordedForm
from sites.models import OlderNumber, Opening, Panel
from sites.models.choices import Significance, WhoIsUnder
from sites.services.recording import NotRecordedError
from sites.services.register_recording import OPENINGS, PANELS, lay_out_panels

MOST_ROWS = 40


class OpeningForm(RecordedForm):
    recording = OPENINGS
    lengths = {
        "width": _("Width"),
        "height": _("Height"),
        "sill_height": _("Sill above floor"),
        "springing": _("Springing above the sill"),
        "mullion": _("Mullion width"),
        "rebate": _("Depth of the rebate"),
    }
    usual = {"width": "opening width", "height": "opening height"}
    old_dates = ("made",)

    class Meta:
        model = Opening
        fields = [
            "number",
            "title",
            "wall",
            "level",
            "head",
            "lights",
            "made",
            "maker",
            "protective_glazing",
            "under_inside",
            "under_outside",
            "significance",
            "access",
        ]

    def prepare(self) -> None:
        self.fields["number"].help_text = _("As the studio numbers it, such as nII or s4.")
        self.fields["made"].help_text = _("A year, c. 1931, 1890s, 19th century, a day.")
        self.fields["access"].widget.attrs["rows"] = 3
        building = self.instance.building
        for side in ("inside", "outside"):
            default = getattr(building, f"get_under_{side}_display")()
            empty = _("As the building says: %s") % default if default else _("Not answered")
            self.fields[f"under_{side}"].choices = [("", empty), *WhoIsUnder.choices]
        self.fields["significance"].choices = [("", _("Not judged")), *Significance.choices]

    def layout(self) -> Layout:
        return Layout(
            group(_("Which window"), side_by_side("number", "wall", "level"), "title"),
            group(
                _("Size and shape"),
                side_by_side("width", "height", "sill_height"),
                self.length_help(),
                side_by_side("head", "springing", "rebate"),
                side_by_side("lights", "mullion"),
            ),
            group(
                _("Its glass"), side_by_side("made", "maker"), "significance", "protective_glazing"
            ),
            group(
                _("Who can be under it"),
                side_by_side("under_inside", "under_outside"),
            ),
            group(_("Getting there"), "access"),
        )


class OlderNumberForm(RecordForm):
    class Meta:
        model = OlderNumber
        fields = ["number", "system"]

    def prepare(self) -> None:
        self.fields["system"].help_text = _("Whose list, and of when.")

    def layout(self) -> Layout:
        return Layout(side_by_side("number", "system"))


class PanelForm(RecordedForm):
    recording = PANELS
    lengths = {"width": _("Width"), "height": _("Height")}
    usual = {"width": "panel width", "height": "panel height"}

    class Meta:
        model = Panel
        fields = ["number", "subject", "pieces"]

    def prepare(self) -> None:
        self.fields["number"].help_text = _(
            "3b is the third row from the sill, second light from the left as seen from inside; "
            "A2 is tracery."
        )

    def layout(self) -> Layout:
        return Layout(
            "number",
            "subject",
            group(_("Size"), side_by_side("width", "height"), self.length_help(), "pieces"),
        )


class PanelGridForm(forms.Form):
    """How many rows of panels to lay out across the lights of an opening without any."""

    rows = CountField(label=_("Rows, from the sill up"), min_value=1, max_value=MOST_ROWS)

    def __init__(self, *args: object, opening: Opening, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
        self.opening = opening
        self.fields["rows"].widget.attrs["class"] = "form-control"

    def lay_out(self) -> list[Panel]:
        """Make the panels and return them; none where the form says why not."""
        try:
            return (
                lay_out_panels(self.opening, self.cleaned_data["rows"]) if self.is_valid() else []
            )
        except NotRecordedError as error:
            self.add_error(None, str(error))
            return []
