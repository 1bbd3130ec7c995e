"""Every quantity of one panel put together, each with its working."""

from dataclasses import dataclass

from sites.compute.figures import Figures
from sites.compute.quantities.came import calibrated_factor
from sites.compute.quantities.errors import QuantityError
from sites.compute.quantities.handling import BOWED, CARRYING, Handling, handling_of
from sites.compute.quantities.joints import Joints, count_joints
from sites.compute.quantities.mass import PanelMass, panel_mass
from sites.compute.quantities.net import LATTICE, Outline, PanelNet
from sites.compute.quantities.schedule import (
    CameLength,
    SticksToBuy,
    schedule_of,
    sticks_to_buy,
)

COUNT_PIECES = "Count the pieces of glass to have the joints."


@dataclass(frozen=True)
class PanelQuantities:
    """What a panel holds. A figure that cannot be told is None, and `missing` says why.

    calibrated: the edge factor c that its own measured leads show, where all are measured.
    """

    net: PanelNet
    joints: Joints | None
    came: tuple[CameLength, ...]
    mass: PanelMass | None
    handling: Handling | None
    sticks: tuple[SticksToBuy, ...]
    calibrated: float | None
    missing: tuple[str, ...]

    @property
    def outline(self) -> Outline | None:
        return self.net.outline

    @property
    def came_mm(self) -> float:
        return sum(line.length_mm for line in self.came)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to heed in lifting it, also where nobody knows what it weighs."""
        return self.handling.cautions if self.handling else (CARRYING, BOWED)

    @property
    def came_is_estimated(self) -> bool:
        return any(line.origin == "estimated" for line in self.came)


def quantities(net: PanelNet, figures: Figures) -> PanelQuantities:
    """Return all that can be told of a panel, and in words what is missing for the rest.

    Never raises for a record with gaps or faults in it: these are told in `missing`.
    """
    missing: list[str] = []
    joints = _joints(net, missing)
    lines, mass = _came_and_mass(net, figures, missing)
    handling = None
    if mass is not None and net.outline is not None:
        handling = handling_of(mass.total_kg, net.outline.longest_side_mm, figures)
    return PanelQuantities(
        net=net,
        joints=joints,
        came=lines,
        mass=mass,
        handling=handling,
        sticks=_sticks(lines, figures, missing),
        calibrated=_calibrated(net, lines),
        missing=tuple(missing),
    )


def _joints(net: PanelNet, missing: list[str]) -> Joints | None:
    if net.pieces is None:
        missing.append(COUNT_PIECES)
        return None
    try:
        return count_joints(
            net.pieces,
            net.crossings,
            net.ringed,
            lattice=net.pattern == LATTICE,
            corners=net.outline.corners if net.outline else 0,
        )
    except QuantityError as error:
        missing.append(str(error))
        return None


def _came_and_mass(
    net: PanelNet, figures: Figures, missing: list[str]
) -> tuple[tuple[CameLength, ...], PanelMass | None]:
    try:
        schedule = schedule_of(net, figures)
        missing += schedule.missing
        if schedule.missing or net.outline is None:
            return schedule.lines, None
        leads = [line.in_panel(figures) for line in schedule.lines]
        share = min((net.plated or 0) / net.pieces, 1.0) if net.pieces else 0.0
        thickness = net.glass_thickness_mm
        return schedule.lines, panel_mass(net.outline.area_mm2, leads, figures, thickness, share)
    except QuantityError as error:
        missing.append(str(error))
        return (), None


def _sticks(
    lines: tuple[CameLength, ...], figures: Figures, missing: list[str]
) -> tuple[SticksToBuy, ...]:
    try:
        return tuple(sticks_to_buy(lines, figures))
    except QuantityError as error:
        missing.append(str(error))
        return ()


def _calibrated(net: PanelNet, lines: tuple[CameLength, ...]) -> float | None:
    inner = [line for line in lines if not line.border]
    outline = net.outline
    if not inner or outline is None or net.pieces is None:
        return None
    if any(line.origin != "measured" for line in inner):
        return None
    try:
        return calibrated_factor(
            net.pieces,
            outline.area_mm2,
            outline.perimeter_mm,
            sum(line.length_mm for line in inner),
        )
    except QuantityError:
        return None
