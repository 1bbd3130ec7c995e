"""Forms of an attached item and of its fixings."""

from operator import attrgetter

from crispy_forms.layout import Layout
from django import forms
from django.utils.translation import gettext_lazy as _

from sites.compute.register_rules import PANEL_ELSEWHERE
from sites.forms.base import group, side_by_side
from sites.forms.recorded import RecordedForm
from sites.models import AttachedItem, Fixing
from sites.services.register_recording import FIXINGS, ITEMS


class ItemForm(RecordedForm):
    recording = ITEMS
    lengths = {
        "width": _("Width"),
        "height": _("Height"),
        "thickness": _("Thickness"),
        "lower_edge": _("Lower edge above the floor"),
    }
    usual = {
        "width": "item width",
        "height": "item height",
        "thickness": "item thickness",
        "weighed_kg": "item mass",
    }
    old_dates = ("installed",)

    class Meta:
        model = AttachedItem
        fields = [
            "number",
            "kind",
            "panel",
            "material",
            "weighed_kg",
            "inscription",
            "memorial_of",
            "donors",
            "installed",
            "has_sharp_edges",
            "placement",
            "placed_at",
            "held_by",
            "placed_since",
            "replica_of",
        ]
        widgets = {"placed_since": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")}

    def prepare(self) -> None:
        panel = self.fields["panel"]
        panel.queryset = self.instance.opening.panels.all()
        panel.label_from_instance = attrgetter("number")
        panel.error_messages["invalid_choice"] = PANEL_ELSEWHERE
        panel.label, panel.empty_label = _("Fixed to panel"), _("The opening as a whole")
        replica = self.fields["replica_of"]
        replica.queryset = self.instance.opening.attached_items.exclude(pk=self.instance.pk)
        replica.label_from_instance = attrgetter("number")
        replica.label, replica.empty_label = _("Copy of"), _("It is the first one")
        self.fields["number"].help_text = _("Unique at its opening, such as P1.")
        self.fields["weighed_kg"].help_text = _(
            "A weight that was taken goes before one worked out from size and thickness."
        )
        self.fields["inscription"].widget.attrs["rows"] = 6

    def layout(self) -> Layout:
        return Layout(
            group(
                _("What and where"),
                side_by_side("number", "kind"),
                "panel",
                side_by_side("lower_edge", "has_sharp_edges"),
            ),
            group(
                _("Whether it hangs there"),
                side_by_side("placement", "placed_since"),
                side_by_side("placed_at", "held_by"),
                "replica_of",
            ),
            group(
                _("Size and material"),
                side_by_side("width", "height", "thickness"),
                self.length_help(),
                side_by_side("material", "weighed_kg"),
            ),
            group(
                _("What it says, and for whom"), "inscription", "memorial_of", "donors", "installed"
            ),
        )


class FixingForm(RecordedForm):
    recording = FIXINGS
    lengths = {
        "width": _("Width, thickness or bite"),
        "length": _("Length of the lap or bead"),
    }

    class Meta:
        model = Fixing
        fields = ["kind", "count", "state", "holds_on_to", "host_state", "cures_on", "product"]
        widgets = {"cures_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")}

    def prepare(self) -> None:
        self.fields["count"].help_text = _(
            "Fixings of one kind in one state go on one line: 3 sound, 1 failed are two lines."
        )
        self.fields["cures_on"].help_text = _(
            "For what is new: until this day it counts as nothing, and the item needs support."
        )
        self.fields["product"].help_text = _(
            "Of silicone above all: neutral cure only, and some grades tarnish copper alloys."
        )

    def layout(self) -> Layout:
        return Layout(
            group(
                _("What is there"),
                side_by_side("kind", "state"),
                "count",
                side_by_side("holds_on_to", "host_state"),
            ),
            group(
                _("Size of each, where it can be measured"),
                side_by_side("width", "length"),
                self.length_help(),
            ),
            group(_("Where it is new"), "cures_on", "product"),
        )
