"""What a finding and the register together tell of the size of the work."""

from decimal import Decimal
from typing import Final
from uuid import UUID

from condition.models import ActionKind, Finding
from condition.models.choices import Step
from restoration.compute.quantities import Seen
from sites.compute.division import Division
from sites.models import Panel
from sites.services.quantities import joints_of, shape_of
from sites.services.shapes import division_of, is_measured

# From here on up the ladder a panel lies on the bench and is turned over.
ON_THE_BENCH: Final = frozenset({Step.BENCH, Step.PARTIAL, Step.FULL})
THOUSANDTH: Final = Decimal("0.001")


class SeenFindings:
    """Reads findings; each opening is divided once, however many findings it has."""

    def __init__(self) -> None:
        self._divisions: dict[UUID, Division] = {}

    def seen_of(self, finding: Finding) -> Seen:
        """Return what the finding tells of its own size, and the register of its subject's.

        finding: with opening, panel and attached item loaded.
        """
        if finding.attached_item_id:
            return Seen("item", finding.amount, finding.unit, extent=finding.extent)
        if finding.panel is None:
            return self._of_opening(finding)
        return self._of_panel(finding, finding.panel)

    def _of_opening(self, finding: Finding) -> Seen:
        area = None
        # An opening without sizes is drawn from usual ones: its area would be invented.
        if is_measured(finding.opening):
            area = _mm2(self._division(finding).glazed_area)
        return Seen(
            "opening",
            finding.amount,
            finding.unit,
            area,
            extent=finding.extent,
            area_origin="computed",
            area_source="its outline less mullions and stone",
        )

    def _of_panel(self, finding: Finding, panel: Panel) -> Seen:
        # The finding has read the same opening already.
        panel.opening = finding.opening
        shape = shape_of(panel, self._division(finding))
        joints = joints_of(panel)
        return Seen(
            "panel",
            finding.amount,
            finding.unit,
            _mm2(shape.outline.area_mm2) if shape else None,
            panel.pieces,
            extent=finding.extent,
            joints=joints.one_face if joints and not joints.estimated else None,
            area_origin=shape.outline.origin if shape else "measured",
            area_source=shape.outline.source if shape else "",
        )

    def _division(self, finding: Finding) -> Division:
        key = finding.opening_id
        if key not in self._divisions:
            self._divisions[key] = division_of(finding.opening)
        return self._divisions[key]


def reaches_both_faces(kind: ActionKind) -> bool:
    """Whether the work is done where a panel can be turned over."""
    return kind.step in ON_THE_BENCH


def takes_the_whole_panel(kind: ActionKind) -> bool:
    """Whether the work is on all of a panel, however much of it was found wanting."""
    return kind.step == Step.FULL


def _mm2(area: float) -> Decimal:
    return Decimal(str(round(area, 3))).quantize(THOUSANDTH)
