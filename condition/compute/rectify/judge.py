"""How far a measured photograph is to be believed: what is left over, and how slanted it is."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import acos, degrees

from condition.compute.rectify.homography import Fit, Homography, Known, Place, fit_of


@dataclass(frozen=True)
class Limits:
    """From where on a photograph is warned of: degrees, a ratio, millimetres."""

    angle_degrees: float
    scale_ratio: float
    residual_mm: float


@dataclass(frozen=True)
class Judged:
    """A measured photograph's worth.

    angle_degrees: between the line of sight and the square to the glass, at the middle of the known
    points. scale_ratio: of the largest scale to the smallest over the known points. mm_per_px: what
    one pixel covers at the middle. warnings: in words, empty where nothing is the matter.
    """

    fit: Fit
    angle_degrees: float
    scale_ratio: float
    mm_per_px: float
    warnings: tuple[str, ...]


def judge(found: Homography, known: Sequence[Known], limits: Limits) -> Judged:
    """Return what a map found through `known` is worth.

    Seen from far off, a circle on the glass shows as an ellipse whose axes are as 1 to the cosine
    of the angle of view: that angle is read off the map's stretches at the middle.
    """
    middle = Place(
        sum(each.at.x for each in known) / len(known), sum(each.at.y for each in known) / len(known)
    )
    least, greatest = found.stretches(middle)
    angle = degrees(acos(min(1.0, least / greatest)))
    scales = [found.growth(each.at) for each in known]
    ratio = max(scales) / min(scales)
    fit = fit_of(found, known)
    return Judged(
        fit=fit,
        angle_degrees=angle,
        scale_ratio=ratio,
        mm_per_px=found.growth(middle),
        warnings=tuple(_warnings(fit, angle, ratio, limits)),
    )


def _warnings(fit: Fit, angle: float, ratio: float, limits: Limits) -> list[str]:
    told = []
    if fit.spare and fit.mm > limits.residual_mm:
        told.append(
            f"The known points do not agree: {fit.mm:.1f} mm are left over on average, most at "
            f"point {fit.worst_point} ({fit.worst_mm:.1f} mm). Place that point again, or measure "
            "it again."
        )
    if angle > limits.angle_degrees:
        told.append(
            f"Taken at a slant: about {angle:.0f}° from square on. What stands before or behind "
            "the plane of the known points is measured wrong, the more so the greater the slant."
        )
    if ratio > limits.scale_ratio:
        told.append(
            f"The near side is shown {ratio:.1f} times as large as the far side: what is measured "
            "at the far side is that much coarser."
        )
    return told
