"""Mass of an attached item: as weighed, or a plate from its size, thickness and material."""

from dataclasses import dataclass
from typing import Final

from sites.compute.figures import Figures
from sites.compute.working import Input, Working

MM3_IN_M3: Final = 1e9
PLATE: Final = (
    "Taken as a flat plate of one thickness: studs, a cast rim or a backing make it heavier. "
    "Weigh it once it is off."
)


@dataclass(frozen=True)
class ItemFacts:
    """What is recorded of an item. Sizes in mm, the weight in kg; None where not known.

    material: a material of the register.
    is_plate: whether size × thickness is the thing itself; a lamp or a mesh has to be weighed.
    """

    material: str
    width_mm: float | None = None
    height_mm: float | None = None
    thickness_mm: float | None = None
    weighed_kg: float | None = None
    is_plate: bool = True


@dataclass(frozen=True)
class ItemMass:
    """A mass in kg with its working."""

    kg: float
    working: Working


def plate_kg(width_mm: float, height_mm: float, thickness_mm: float, density_kg_m3: float) -> float:
    """Return the mass of a flat plate in kg. Source: volume × density."""
    return width_mm * height_mm * thickness_mm / MM3_IN_M3 * density_kg_m3


def density_key(material: str) -> str:
    """Return the key of the figure that holds the density of a material."""
    return f"material.{material.replace(' ', '_')}"


def missing_for_mass(facts: ItemFacts, figures: Figures) -> tuple[str, ...]:
    """Return what must be recorded before the mass can be told, in words; empty when it can."""
    if facts.weighed_kg is not None:
        return ()
    if not facts.is_plate:
        return ("its weight",)
    sizes = {
        "its width": facts.width_mm,
        "its height": facts.height_mm,
        "its thickness": facts.thickness_mm,
    }
    wanted = [name for name, size in sizes.items() if size is None]
    if density_key(facts.material) not in figures:
        wanted.append("its material")
    return tuple(wanted)


def mass_of(facts: ItemFacts, figures: Figures) -> ItemMass | None:
    """Return the item's mass with its working, or None where `missing_for_mass` names something.

    A weight that was taken goes before any that is worked out.
    """
    if facts.weighed_kg is not None:
        weighed = f"{facts.weighed_kg:g} kg"
        return ItemMass(
            facts.weighed_kg,
            Working("as weighed", (Input("weight", weighed, "measured"),), weighed),
        )
    width, height, thickness = facts.width_mm, facts.height_mm, facts.thickness_mm
    if missing_for_mass(facts, figures) or width is None or height is None or thickness is None:
        return None
    density = figures[density_key(facts.material)]
    kg = plate_kg(width, height, thickness, float(density.value))
    sizes = (("width", width), ("height", height), ("thickness", thickness))
    inputs = tuple(Input(name, f"{size:g} mm", "measured") for name, size in sizes)
    working = Working(
        "width × height × thickness × density",
        (*inputs, density.as_input()),
        f"{kg:.3g} kg",
        "volume × density",
        PLATE,
    )
    return ItemMass(kg, working)
