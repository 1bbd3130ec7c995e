"""The work of a quote, in plain words: phase by phase, opening by opening, line by line."""

from decimal import ROUND_HALF_UP, Decimal
from itertools import count, groupby

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from condition.models.choices import ActionUnit
from restoration.compute.estimate_lines import PricedEstimate, PricedLine, PricedSharedLine
from restoration.documents.figures import MoneyMaker
from restoration.documents.snapshot import OpeningWork, Phase, SharedWork, WorkLine
from restoration.models import RepairAction
from restoration.models.choices import Option, SharedKind
from sites.compute.plain_numbers import plain_number
from sites.models.choices import Units

ONE_OF = {
    ActionUnit.JOINT: gettext_lazy("joint"),
    ActionUnit.PIECE: gettext_lazy("piece"),
    ActionUnit.PANEL: gettext_lazy("panel"),
    ActionUnit.ITEM: gettext_lazy("item"),
    ActionUnit.TIE: gettext_lazy("tie"),
    ActionUnit.BAR: gettext_lazy("bar"),
    ActionUnit.VISIT: gettext_lazy("visit"),
}
POWER_OF_METRE = {ActionUnit.METRE: 1, ActionUnit.SQUARE_METRE: 2}
METRES_IN_A_FOOT = Decimal("0.3048")


class Work:
    """Puts the lines of a priced estimate into words; lines are numbered in printing order."""

    def __init__(
        self,
        priced: PricedEstimate,
        actions: dict[str, RepairAction],
        money: MoneyMaker,
        units: str,
    ) -> None:
        self.priced = priced
        self.actions = actions
        self.money = money
        self.units = units
        self.numbers = count(1)

    def phases(self) -> list[Phase]:
        """Return every phase with its openings in their order, and what they share."""
        only_one = len(self.priced.phases) == 1
        return [
            Phase(
                phase=subtotal.phase,
                title=_("The work") if only_one else _("Phase %d") % subtotal.phase,
                openings=self._openings(subtotal.phase),
                shared=[
                    self._shared(line)
                    for line in self.priced.shared
                    if line.phase == subtotal.phase
                ],
                work=self.money(subtotal.actions),
                shared_total=self.money(subtotal.shared),
                subtotal=self.money(subtotal.total),
            )
            for subtotal in self.priced.phases
        ]

    def _openings(self, phase: int) -> list[OpeningWork]:
        lines = [line for line in self.priced.lines if line.phase == phase]
        # The lines come sorted by opening within a phase.
        return [
            self._opening(list(of_one))
            for _number, of_one in groupby(lines, key=lambda line: line.opening)
        ]

    def _opening(self, lines: list[PricedLine]) -> OpeningWork:
        opening = self.actions[lines[0].key].opening
        return OpeningWork(
            number=opening.number,
            title=opening.title,
            lines=[self._line(line) for line in lines],
            subtotal=self.money(sum((line.price for line in lines), Decimal(0))),
        )

    def _line(self, line: PricedLine) -> WorkLine:
        action = self.actions[line.key]
        return WorkLine(
            id=line.key,
            number=next(self.numbers),
            subject=line.subject,
            description=line.description,
            scope=line.plain.strip(),
            quantity=quantity_words(line.quantity, action.kind.unit, self.units),
            lump_sum_reason=line.lump_sum_reason,
            option=line.option,
            option_words=str(Option(line.option).label),
            because_of=_because_of(action),
            price=self.money(line.price),
        )

    def _shared(self, line: PricedSharedLine) -> SharedWork:
        return SharedWork(
            id=line.key,
            kind=line.kind,
            kind_words=str(SharedKind(line.kind).label),
            description=line.description,
            price=self.money(line.price),
        )


def quantity_words(quantity: Decimal | None, unit: str, units: str = Units.METRIC) -> str:
    """Return a quantity with its unit, `1 joint`, `0.42 m²`; nothing where it is not known.

    units: what the reader measures in; to one who measures in inches a metre is also told in
        feet (1 ft is 0.3048 m exactly).
    """
    if quantity is None:
        return ""
    named = ActionUnit(unit)
    word = ONE_OF.get(named, named.label) if quantity == 1 else named.label
    words = f"{plain_number(quantity)} {word}"
    power = POWER_OF_METRE.get(named)
    if units == Units.INCH and power:
        feet = (quantity / METRES_IN_A_FOOT**power).quantize(Decimal("0.1"), ROUND_HALF_UP)
        words += f" ({plain_number(feet)} {'ft' if power == 1 else 'ft²'})"
    return words


def _because_of(action: RepairAction) -> str:
    """`findings 2, 7`: why the work is proposed."""
    numbers = sorted(finding.number for finding in action.findings.all())
    if not numbers:
        return ""
    named = ", ".join(str(number) for number in numbers)
    return ngettext("finding %(n)s", "findings %(n)s", len(numbers)) % {"n": named}
