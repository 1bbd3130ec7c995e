"""Forms of an attached item and of its fixings."""

from operator import attrgetter

from crispy_forms.layout import Layout
from django.utils.translation import gettext_lazy as _

from sites.forms.base import RecordForm, group, side_by_side
from sites.models import AttachedItem, Fixing
from sites.services.register import save_item


class ItemForm(RecordForm):
    lengths = {"width": _("Width"), "height": _("Height"), "thickness": _("Thickness")}
    old_dates = ("installed",)

    class Meta:
        model = AttachedItem
        fields = [
            "number",
            "kind",
            "panel",
            "material",
            "inscription",
            "memorial_of",
            "donors",
            "installed",
        ]

    def prepare(self) -> None:
        panel = self.fields["panel"]
        panel.queryset = self.instance.opening.panels.all()
        panel.label_from_instance = attrgetter("number")
        panel.label, panel.empty_label = _("Fixed to panel"), _("The opening as a whole")
        self.fields["number"].help_text = _("Unique at its opening, such as P1.")
        self.fields["inscription"].widget.attrs["rows"] = 6

    def layout(self) -> Layout:
        return Layout(
            group(_("What and where"), side_by_side("number", "kind"), "panel"),
            group(
                _("Size and material"),
                side_by_side("width", "height", "thickness"),
                self.length_help(),
                "material",
            ),
            group(
                _("What it says, and for whom"), "inscription", "memorial_of", "donors", "installed"
            ),
        )

    def write(self) -> None:
        save_item(self.instance)


class FixingForm(RecordForm):
    class Meta:
        model = Fixing
        fields = ["kind", "count", "state", "holds_on_to", "host_state"]

    def prepare(self) -> None:
        self.fields["count"].help_text = _(
            "Fixings of one kind in one state go on one line: 3 sound, 1 failed are two lines."
        )

    def layout(self) -> Layout:
        return Layout(
            side_by_side("kind", "state"), "count", side_by_side("holds_on_to", "host_state")
        )
