"""The register's came as the computation takes it."""

from decimal import Decimal

from sites.compute.quantities.came import Profile
from sites.compute.quantities.errors import QuantityError
from sites.compute.quantities.net import Run
from sites.compute.quantities.sticks import parse_cuts
from sites.models import CameProfile, CameRun


def run_of(run: CameRun) -> Run:
    """Return a panel's came as the computation takes it."""
    return Run(
        profile=profile_of(run.profile),
        border=run.border,
        length_mm=_mm(run.length_mm),
        cuts=_cuts(run.cuts),
    )


def profile_of(profile: CameProfile) -> Profile:
    """Return a profile as the computation takes it."""
    return Profile(
        key=str(profile.pk),
        name=profile.name,
        shape=profile.section,
        leaf_width_mm=_mm(profile.leaf_width_mm),
        leaf_thickness_mm=_mm(profile.leaf_thickness_mm),
        heart_height_mm=_mm(profile.heart_height_mm),
        heart_thickness_mm=_mm(profile.heart_thickness_mm),
        weighed_kg_m=_mm(profile.weighed_kg_m),
        stick_mm=_mm(profile.stick_length_mm),
    )


def _cuts(text: str) -> tuple[Decimal, ...]:
    """The cuts as the form let them in; a text from elsewhere that cannot be read is none."""
    try:
        return parse_cuts(text)
    except QuantityError:
        return ()


def _mm(number: Decimal | None) -> float | None:
    return float(number) if number is not None else None
