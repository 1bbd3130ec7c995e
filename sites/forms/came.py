"""Forms of the studio's came, of a panel's came, and of its leads and glass."""

from crispy_forms.layout import HTML, Layout
from django import forms
from django.core.exceptions import ValidationError
from django.utils.html import format_html
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from sites.compute.quantities.came import section_area_mm2
from sites.compute.quantities.errors import QuantityError
from sites.compute.quantities.sticks import cut_list, cuts_with_units, parse_cuts
from sites.forms.base import RecordForm, group, side_by_side
from sites.forms.fields import bare_unit_of
from sites.forms.recorded import RecordedForm
from sites.models import CameProfile, CameRun, Panel
from sites.services.figures import figures_of
from sites.services.register_recording import PANELS

LONGEST_CUTS = 400


def _said(words: str) -> HTML:
    return HTML(format_html('<p class="form-text">{}</p>', words))


class CameProfileForm(RecordForm):
    lengths = {
        "leaf_width": _("Leaf, its width"),
        "leaf_thickness": _("Leaf, its thickness"),
        "heart_height": _("Heart, its height"),
        "heart_thickness": _("Heart, its thickness"),
        "stick_length": _("Length of a stick"),
    }

    class Meta:
        model = CameProfile
        fields = ["name", "section", "weighed_kg_m"]

    def prepare(self) -> None:
        self.fields["name"].help_text = _("As it stands on the rack, such as 6 mm round.")
        self.fields["weighed_kg_m"].help_text = _(
            "Weigh a whole stick and divide by its length. It outranks the section."
        )

    def layout(self) -> Layout:
        measured = gettext(
            "The height of the heart is clear between the leaves. The leaf of a U is measured from "
            "the outer face of its back."
        )
        return Layout(
            side_by_side("name", "section"),
            group(
                _("Measures of the section"),
                side_by_side("leaf_width", "leaf_thickness"),
                side_by_side("heart_height", "heart_thickness"),
                _said(measured),
                self.length_help(),
            ),
            group(_("Mass and stick"), side_by_side("weighed_kg_m", "stick_length")),
        )

    def clean(self) -> dict[str, object]:
        cleaned: dict[str, object] = super().clean() or self.cleaned_data
        names = ("leaf_width", "leaf_thickness", "heart_height", "heart_thickness")
        measured = [cleaned.get(name) for name in names]
        if all(measured):
            try:
                section_area_mm2(*(float(each.mm) for each in measured))  # type: ignore[attr-defined]
            except QuantityError as error:
                self.add_error(error.field, str(error))
        return cleaned


class CameRunForm(RecordForm):
    lengths = {"length": _("Length measured, all of it together")}

    class Meta:
        model = CameRun
        fields = ["profile", "border", "cuts"]

    def prepare(self) -> None:
        profiles = self.instance.panel.opening.building.studio.came_profiles.all()
        box = self.fields["profile"]
        assert isinstance(box, forms.ModelChoiceField)
        box.queryset = profiles
        box.help_text = _(
            "The width of a leaf is a choice: a wide round came can stand for a strip of glass too "
            "narrow to survive (common practice, no source)."
        )
        self.fields["border"].label = _("It goes round the edge of the panel")
        self.fields["cuts"].help_text = _(
            "Such as 640 x 2, 1200. Parted by a comma and a space, decimals with a point. With a "
            "list the sticks are packed; without one waste is added."
        )

    def layout(self) -> Layout:
        left_empty = gettext(
            "Leave it empty where nobody measured: the border is then taken from the outline, the "
            "leads inside are estimated from the pieces and the pattern."
        )
        return Layout("profile", "border", "length", _said(left_empty), self.length_help(), "cuts")

    def clean_cuts(self) -> str:
        typed, unit = self.cleaned_data["cuts"], bare_unit_of(self.units)
        try:
            kept = cuts_with_units(typed, unit)
        except QuantityError as error:
            raise ValidationError(str(error)) from error
        if len(kept) > LONGEST_CUTS:
            raise ValidationError(
                gettext("That is more than %d letters: put cuts alike together.") % LONGEST_CUTS
            )
        return kept

    def clean(self) -> dict[str, object]:
        cleaned: dict[str, object] = super().clean() or self.cleaned_data
        profile, cuts = cleaned.get("profile"), cleaned.get("cuts")
        if isinstance(profile, CameProfile) and isinstance(cuts, str) and cuts:
            figures = figures_of(self.instance.panel.opening.building.studio)
            stick = profile.stick_length_mm or figures.value("sticks.length")
            try:
                cut_list(parse_cuts(cuts), stick, figures.value("sticks.kerf"))
            except QuantityError as error:
                self.add_error("cuts", str(error))
        return cleaned


class PanelLeadsForm(RecordedForm):
    """What the joints, the leads and the mass of a panel are reckoned from."""

    recording = PANELS

    lengths = {"glass_thickness": _("Thickness of the glass")}
    usual = {"glass_thickness": "glass thickness"}

    class Meta:
        model = Panel
        fields = ["pieces", "pattern", "crossings", "ringed_pieces", "plated_pieces"]

    def prepare(self) -> None:
        self.fields["ringed_pieces"].help_text = _("Such as a roundel set within one pane.")
        self.fields["plated_pieces"].help_text = _("Each weighs twice.")

    def layout(self) -> Layout:
        return Layout(
            group(
                _("Leads"),
                side_by_side("pieces", "pattern"),
                side_by_side("crossings", "ringed_pieces"),
            ),
            group(
                _("Glass"),
                side_by_side("glass_thickness", "plated_pieces"),
                self.length_help(),
            ),
        )
