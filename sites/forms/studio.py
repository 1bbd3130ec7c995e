"""Forms of the studio itself, and of one's own settings."""

from crispy_forms.layout import Layout
from django.utils.translation import gettext_lazy as _

from sites.forms.base import RecordForm, group, side_by_side
from sites.models import Studio, User


class StudioForm(RecordForm):
    """What the studio's documents print of it."""

    class Meta:
        model = Studio
        fields = ["name", "address", "email", "phone", "registration", "paper", "reliance"]

    def prepare(self) -> None:
        self.fields["address"].widget.attrs["rows"] = 3
        self.fields["reliance"].widget.attrs["rows"] = 5

    def layout(self) -> Layout:
        return Layout(
            group(_("Letterhead"), "name", "address", side_by_side("email", "phone")),
            group(_("Documents"), "registration", "paper", "reliance"),
        )


class OwnSettingsForm(RecordForm):
    """What a user may say about themselves."""

    class Meta:
        model = User
        fields = ["name", "units"]
