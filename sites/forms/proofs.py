"""Forms of a proof: how the plate is lettered, who approved it, and what was delivered."""

from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Layout
from django import forms
from django.utils.translation import gettext_lazy as _

from sites.forms.base import RecordForm, group, side_by_side
from sites.forms.recorded import RecordedForm
from sites.models import AttachedItem, InscriptionProof, ProofApproval, User
from sites.services.proofs import ApprovalError, approve
from sites.services.register_recording import ITEMS


class LetteringForm(RecordedForm):
    """How high the letters are, how they stand, and from how far away they are read."""

    recording = ITEMS

    lengths = {
        "letter_height": _("Letter height"),
        "margin": _("Margin"),
        "reading_distance": _("Read from a distance of"),
    }
    usual = {"letter_height": "letter height"}

    class Meta:
        model = AttachedItem
        fields = ["lettering", "alignment"]

    def prepare(self) -> None:
        self.fields["letter_height"].help_text = _("The height of a capital, such as 6 mm.")
        self.fields["margin"].help_text = _(
            "Kept free on all four sides. Empty means one letter height."
        )
        self.fields["reading_distance"].help_text = _("From where people stand.")

    def layout(self) -> Layout:
        return Layout(
            group(
                _("Letters"),
                side_by_side("letter_height", "margin"),
                self.length_help(),
                side_by_side("lettering", "alignment"),
            ),
            group(_("Reading"), "reading_distance"),
        )


class ApprovalForm(RecordForm):
    """Who approved exactly this proof, with what authority, and when."""

    class Meta:
        model = ProofApproval
        fields = ["approved_by", "authority", "approved_on"]
        widgets = {
            "approved_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "approved_by": forms.TextInput(attrs={"autocomplete": "off"}),
        }
        help_texts = {
            "approved_by": _("The name as it was signed. It is shown to the office alone."),
            "authority": _(
                "Family, donor, owner of the memorial, or minute of the congregation with its date."
            ),
        }

    def __init__(self, *args: Any, proof: InscriptionProof, user: User, **kwargs: Any) -> None:
        super().__init__(*args, instance=ProofApproval(proof=proof), **kwargs)
        self.proof, self.user = proof, user

    def layout(self) -> Layout:
        return Layout(side_by_side("approved_by", "approved_on"), "authority")

    def store(self) -> bool:
        """Record the approval, or say why it cannot have been given."""
        try:
            return super().store()
        except ApprovalError as error:
            self.add_error(error.box, str(error))
            return False

    def write(self) -> None:
        approve(self.proof, self.instance, self.user)


class DeliveredForm(forms.Form):
    """What stands on the plate that came from the engraver, typed from the plate itself."""

    delivered = forms.CharField(
        label=_("What stands on the delivered plate"),
        strip=False,
        max_length=20_000,
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false", "autocomplete": "off"}),
        help_text=_("Type it from the plate, line by line; do not copy it from the proof."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.form_tag = False
        self.helper.disable_csrf = True
