"""The conditions of a quote, the consents its work needs, and the cautions it carries."""

from collections.abc import Collection

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from condition.documents.cautions import is_memorial
from condition.models import ActionCaution
from restoration.models import RepairAction
from sites.models import Building


def conditions(stands_until: str, has_contingency: bool) -> list[str]:
    """Return the conditions of every quote, the day it stands until written out."""
    lines = [
        _("The quote stands until %(day)s; after that day, ask for a new one.")
        % {"day": stands_until},
        _(
            "It covers the work named in it and no other. Anything more is written down, priced "
            "and agreed as a variation before it is done."
        ),
        _(
            "What was hidden when the window was surveyed may change the work: we stop, show it "
            "and agree on it with you first."
        ),
        _(
            "Leaving out an option or a phase takes its lines out. Costs that are shared may then "
            "change: ask for a new version before you decide."
        ),
        _(
            "Access is put up, inspected and taken down by people trained for it. Local codes and "
            "the authority having jurisdiction decide how the work is done safely."
        ),
    ]
    if has_contingency:
        lines.insert(
            2,
            _(
                "The contingency is spent on agreed variations alone; what is left of it is not "
                "charged."
            ),
        )
    return lines


def consents(building: Building, actions: Collection[RepairAction]) -> list[str]:
    """Return who must agree before the work, as far as the register tells."""
    found = []
    if building.protection.strip():
        who = building.consent_body.strip() or _("the authority responsible for it")
        found.append(
            _(
                "The building is protected (%(protection)s): the consent of %(who)s comes before "
                "the work. Making a danger safe is done at once, and reported at once."
            )
            % {"protection": building.protection.strip(), "who": who}
        )
    memorials = {
        f"{action.opening.number} {action.attached_item.number}"
        for action in actions
        if action.attached_item and is_memorial(action.attached_item)
    }
    if memorials:
        found.append(
            ngettext(
                "%(memorials)s is a memorial: its owner and the family are asked before it is "
                "touched, and approve any wording in writing on a proof.",
                "%(memorials)s are memorials: the owner and the family of each are asked before "
                "it is touched, and approve any wording in writing on a proof.",
                len(memorials),
            )
            % {"memorials": ", ".join(sorted(memorials))}
        )
    if not found:
        found.append(_("None that we know of. You know your building: tell us of any."))
    return found


def caution_codes(building: Building, actions: Collection[RepairAction]) -> set[str]:
    """Return the codes of the cautions that the kinds of work name, and those of the place."""
    codes = ActionCaution.objects.codes_of(action.kind for action in actions)
    if building.protection.strip():
        codes.add("protected-building-consent")
    if any(action.attached_item and is_memorial(action.attached_item) for action in actions):
        codes.add("memorial-owners-asked")
    return codes
