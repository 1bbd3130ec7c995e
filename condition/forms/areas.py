"""The form of an area of a building: its name."""

from django.utils.translation import gettext as _

from condition.models import Area
from sites.forms.base import RecordForm


class AreaForm(RecordForm):
    """An area that can be closed, by the words a stranger finds it by."""

    class Meta:
        model = Area
        fields = ["name"]

    def clean_name(self) -> str:
        """One line; an area of the same name in other letters is the same area."""
        name = " ".join(self.cleaned_data["name"].split())
        others = Area.objects.filter(building=self.instance.building_id, name__iexact=name)
        if others.exclude(pk=self.instance.pk).exists():
            self.add_error("name", _("This building has an area of that name."))
        return name
