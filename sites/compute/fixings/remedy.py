"""How a plate would be fixed anew: tabs and beads on sound lead, straps where that will not do."""

from dataclasses import dataclass
from typing import Final, Literal

from sites.compute.figures import Figures
from sites.compute.fixings.margins import SCREENS
from sites.compute.working import Input, Working

SOURCE: Final = "common practice, no source"
COPPER_ALLOYS: Final = ("brass", "bronze", "copper")
NO_SOFT_SOLDER: Final = ("aluminium", "stainless steel", "magnesium")
NOT_KNOWN: Final = ("unknown", "other")

HOT_WORK: Final = (
    "Soldering is hot work: permit, insurer's word, cleared surroundings and a watch afterwards "
    "first. The fire authority, the insurer and local codes decide."
)
LEAD: Final = "Lead and solder are poisonous: wet methods, no eating, wash before leaving."
NEUTRAL_ONLY: Final = "Neutral-cure silicone only: acetic-cure (it smells of vinegar) attacks lead."
NO_PAINT: Final = "Never lay a bead on painted glass."
TARNISH: Final = (
    "Some neutral-cure grades tarnish copper alloys: try it on an offcut, and record the product."
)
PULL_TEST: Final = (
    "Nothing published says how silicone bonds to old lead: pull-test a bead on the real surface."
)
NO_SOLDER: Final = "Ordinary soft solder does not take on {material}: no soldered tabs."
WALL: Final = (
    "Drilling can burst old stone or split timber: a mason or joiner judges it, and where the "
    "building is protected whoever gives consent is asked first."
)
BARE_BRASS: Final = "Lacquer comes off first: solder and silicone hold to bare brass alone."

Choice = Literal["tabs and beads", "straps", "screws", "undecided"]
LeadState = Literal["sound", "tired", "not known"]


@dataclass(frozen=True)
class Circumstances:
    """What a remedy is chosen by. mass_kg is None where it is not known.

    screwed_to: stone, timber or frame, where screws into that are all that holds it.
    """

    material: str
    mass_kg: float | None
    lead: LeadState
    screwed_to: str = ""
    memorial_of: str = ""
    protection: str = ""
    consent_body: str = ""


@dataclass(frozen=True)
class Remedy:
    """A way of fixing: its steps in order, why it is this one, what to beware of."""

    choice: Choice
    title: str
    steps: tuple[str, ...]
    why: tuple[str, ...]
    missing: tuple[str, ...]
    cautions: tuple[str, ...]
    working: Working


def remedy_for(at: Circumstances, figures: Figures) -> Remedy:
    """Return the remedy for a plate, with its reasons. Source: common practice, no source.

    Undecided where nothing speaks against tabs but what would have to is not recorded.
    """
    if at.screwed_to:
        why = (
            f"Screws into the {at.screwed_to} are what holds it: neither lead nor bar is there.",
        )
        return _remedy("screws", at, why, (), figures)
    against, missing = _against_tabs(at, figures), _missing(at)
    if against:
        return _remedy("straps", at, against, (), figures)
    if missing:
        return _remedy("undecided", at, (), missing, figures)
    limit = figures["fixing.light_plate"].shown
    why = (f"A copper alloy, no heavier than {limit}, on sound lead.",)
    return _remedy("tabs and beads", at, why, (), figures)


def _against_tabs(at: Circumstances, figures: Figures) -> tuple[str, ...]:
    """Each reason for which soldered tabs will not do."""
    limit = figures["fixing.light_plate"]
    reasons = []
    if at.material in NO_SOFT_SOLDER:
        reasons.append(NO_SOLDER.format(material=at.material))
    elif at.material not in (*COPPER_ALLOYS, *NOT_KNOWN):
        reasons.append(f"Soldered tabs are for copper alloys; this is {at.material}.")
    if at.mass_kg is not None and at.mass_kg > float(limit.value):
        reasons.append(f"It is heavier than {limit.shown}: too much for lead to carry for long.")
    if at.lead == "tired":
        reasons.append("The lead it would hang on is tired.")
    return tuple(reasons)


def _missing(at: Circumstances) -> tuple[str, ...]:
    wanted = []
    if at.material in NOT_KNOWN:
        wanted.append("its material")
    if at.mass_kg is None:
        wanted.append("its size and thickness, or its weight")
    if at.lead == "not known":
        wanted.append("the state of the lead it would hold on to")
    return tuple(wanted)


def _remedy(
    choice: Choice,
    at: Circumstances,
    why: tuple[str, ...],
    missing: tuple[str, ...],
    figures: Figures,
) -> Remedy:
    titles: dict[Choice, str] = {
        "tabs and beads": "Soldered tabs, and a bead down each side as the second fixing",
        "straps": "Straps to a saddle bar or to the frame",
        "screws": f"Screws into sound {at.screwed_to}",
        "undecided": "Not chosen yet",
    }
    body = {
        "tabs and beads": _tab_steps(at),
        "straps": STRAP_STEPS,
        "screws": _screw_steps(at),
        "undecided": (),
    }[choice]
    return Remedy(
        choice,
        titles[choice],
        (*_first(at), *body),
        why,
        missing,
        _cautions(choice, at),
        _working(at, titles[choice], figures),
    )


def _first(at: Circumstances) -> tuple[str, ...]:
    """What comes before any tool is taken up."""
    whose = f" of {at.memorial_of}" if at.memorial_of else ""
    steps = [
        "Keep people out from under it and support it until it is fixed.",
        f"Ask the family or whoever answers for the memorial{whose}, and the owner of the window.",
    ]
    if at.protection:
        body = at.consent_body or "whoever gives it"
        steps.append(f"The building is protected ({at.protection}): first the consent of {body}.")
    return tuple(steps)


def _tab_steps(at: Circumstances) -> tuple[str, ...]:
    bare = ("Take the lacquer off the back where the tabs and the beads go.",)
    return (
        *(bare if at.material == "brass" else ()),
        "Tin copper tabs to the back of the plate on the bench, away from the glass.",
        "Brighten the leads where the tabs meet them and solder each tab to a lead, not to glass.",
        "Lay a bead of clear neutral-cure silicone down each side, on unpainted ground: the "
        "second, independent fixing.",
        "Support it until the silicone has cured as its maker says; record product and day.",
        "Look at it again at the next visit and pull gently at each side.",
    )


STRAP_STEPS: Final = (
    "Rest the plate in straps of its own metal or of one that does not corrode against it, padded "
    "where they touch it.",
    "Take the straps round a saddle bar, or screw them to the frame: no load on glass or came.",
    "Use two straps or more, set so that either side holds when one is lost.",
    "Look at bar, frame and straps again at the next visit.",
)


def _screw_steps(at: Circumstances) -> tuple[str, ...]:
    return (
        f"Have somebody qualified look at the {at.screwed_to} around each hole first.",
        "Use screws that do not corrode against the plate, in plugs made for what they go into.",
        f"Set them in sound {at.screwed_to}: a hole that has burst or widened is not used again.",
        "Use as many that either side holds when one is lost, and pull gently at each.",
        f"Look at screws and {at.screwed_to} again at the next visit.",
    )


def _cautions(choice: Choice, at: Circumstances) -> tuple[str, ...]:
    told = [HOT_WORK, LEAD, NEUTRAL_ONLY, NO_PAINT, TARNISH, PULL_TEST]
    if choice == "straps":
        told = [LEAD, f"{NEUTRAL_ONLY} {NO_PAINT}"]
    elif choice == "screws":
        told = [WALL]
    elif at.material == "brass":
        told.insert(0, BARE_BRASS)
    return tuple(told)


def _working(at: Circumstances, chosen: str, figures: Figures) -> Working:
    mass = "not known" if at.mass_kg is None else f"{at.mass_kg:.3g} kg"
    inputs = (
        Input("material", "not known" if at.material == "unknown" else at.material, "entered"),
        Input("mass", mass, "computed"),
        Input("lead", at.lead, "entered"),
        figures.input("fixing.light_plate"),
    )
    return Working(
        "screws for what is screwed to the wall or frame; tabs and beads for a light plate of "
        "copper alloy on sound lead; straps for all others",
        inputs,
        chosen,
        SOURCE,
        SCREENS,
    )
