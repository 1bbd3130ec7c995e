"""Forms of a building and of the people to speak to about it."""

from crispy_forms.layout import Layout
from django import forms
from django.utils.translation import gettext_lazy as _

from sites.forms import world
from sites.forms.base import RecordForm, group, side_by_side
from sites.models import Building, BuildingPerson


class BuildingForm(RecordForm):
    class Meta:
        model = Building
        fields = [
            "name",
            "place",
            "kind",
            "dedication",
            "built",
            "address",
            "country",
            "protection",
            "consent_body",
            "access",
            "under_inside",
            "under_outside",
            "language",
            "paper",
            "units",
            "currency",
            "time_zone",
        ]

    def prepare(self) -> None:
        self.fields["address"].widget.attrs["rows"] = 3
        self.fields["access"].widget.attrs["rows"] = 4
        self._choose("country", [("", "–"), *world.countries()], required=False)
        self._choose("currency", world.currencies())
        self._choose("time_zone", world.time_zones())
        self._choose("language", world.languages())

    def layout(self) -> Layout:
        return Layout(
            group(
                _("The building"),
                side_by_side("name", "place"),
                side_by_side("kind", "built"),
                "dedication",
                "address",
                "country",
            ),
            group(_("Protection"), "protection", "consent_body"),
            group(_("Getting in and up"), "access"),
            group(_("Who can be under its windows"), side_by_side("under_inside", "under_outside")),
            group(
                _("Its documents"),
                side_by_side("language", "paper"),
                side_by_side("units", "currency"),
                "time_zone",
            ),
        )

    def _choose(self, name: str, choices: world.Choices, required: bool = True) -> None:
        plain = self.fields[name]
        self.fields[name] = forms.ChoiceField(
            label=plain.label,
            choices=world.with_present(choices, getattr(self.instance, name)),
            required=required,
        )


class PersonForm(RecordForm):
    class Meta:
        model = BuildingPerson
        fields = ["name", "role", "phone", "email"]

    def prepare(self) -> None:
        self.fields["role"].help_text = _("Churchwarden, treasurer, architect, sexton …")

    def layout(self) -> Layout:
        return Layout("name", "role", side_by_side("phone", "email"))
