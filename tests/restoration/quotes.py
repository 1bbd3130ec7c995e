"""An estimate as a studio makes one, for tests of its quote: two phases, three options."""

from decimal import Decimal

from restoration.models import Estimate, RateBook, RepairAction
from restoration.services.studios import open_studio
from sites.models import User
from tests.factories import (
    AttachedItemFactory,
    BuildingFactory,
    BuildingPersonFactory,
    FindingFactory,
    OpeningFactory,
    PanelFactory,
    RepairActionFactory,
    SharedCostFactory,
    SurveyFactory,
    UserFactory,
)


class Proposal:
    """One estimate for St Aldhelm's with its survey, its openings and its actions."""

    def __init__(self, *, currency: str = "GBP", paper: str = "A4", country: str = "GB") -> None:
        self.studio = open_studio("Withy Brook Glass", currency=currency)
        self.user: User = UserFactory(name="Margery Holloway")
        self.building = BuildingFactory(
            studio=self.studio,
            name="St Aldhelm’s",
            place="Nether Wickham",
            country=country,
            currency=currency,
            paper=paper,
            protection="Listed, grade II*",
            consent_body="Diocesan advisory committee",
        )
        BuildingPersonFactory(building=self.building, email="warden@parish.example")
        self.book: RateBook = self.studio.rate_books.get()
        self.book.tax_name, self.book.tax = "VAT", Decimal(20)
        self.book.overhead, self.book.profit = Decimal("18.75"), Decimal("9.25")
        self.book.save()
        self.survey = SurveyFactory(building=self.building, client="The churchwardens")
        self.openings = {
            number: OpeningFactory(
                building=self.building, number=number, title=title, order=f"{place:03}"
            )
            for place, (number, title) in enumerate(
                {"I": "The Ascension", "nII": "The Good Shepherd", "nV": "Memorial window"}.items()
            )
        }
        PanelFactory(opening=self.openings["nII"], number="3b")
        self.plaque = AttachedItemFactory(opening=self.openings["nV"], inscription="IN MEMORY")
        self.kinds = {kind.code: kind for kind in self.studio.action_kinds.all()}
        self.estimate = self._estimate()
        self.estimate.refresh_from_db()

    def _estimate(self) -> Estimate:
        estimate = Estimate.objects.create(
            building=self.building,
            survey=self.survey,
            rate_book=self.book,
            title="Repairs to three windows",
            contingency=Decimal("12.5"),
            contingency_reason="the head was seen from the floor only",
            assumptions="The nave can be closed for four days.\nWater is at hand.",
            exclusions="Repairs to stone",
        )
        self.estimate = estimate
        self.action("nV", "take-down-and-store-item", 1, "must", attached_item=self.plaque)
        joints = self.action(
            "nII", "resolder-joint-in-place", 9, panel=self.openings["nII"].panels.get()
        )
        joints.findings.add(
            FindingFactory(survey=self.survey, opening=self.openings["nII"], number=4),
            FindingFactory(survey=self.survey, opening=self.openings["nII"], number=7),
        )
        self.action("nII", "hand-cement-in-place", "0.715", scope="Only the lower row.")
        self.action("I", "investigate-from-access", 1, "must", phase=2)
        self.action(
            "I",
            "partial-releading",
            None,
            "if funds allow",
            phase=2,
            lump_sum=Decimal("1234.565"),
            lump_sum_reason="A firm offer of 2 June.",
        )
        for kind, amount, phase in (("access", "333.335", 1), ("access", "1980", 2)):
            SharedCostFactory(
                estimate=estimate,
                kind=kind,
                amount=Decimal(amount),
                phase=phase,
                description=f"Tower in phase {phase}",
            )
        SharedCostFactory(estimate=estimate, kind="travel", amount=Decimal("96.40"), phase=1)
        return estimate

    def action(
        self, opening: str, kind: str, quantity: object, option: str = "advised", **fields: object
    ) -> RepairAction:
        return RepairActionFactory(
            estimate=self.estimate,
            opening=self.openings[opening],
            kind=self.kinds[kind],
            quantity=None if quantity is None else Decimal(str(quantity)),
            option=option,
            **fields,
        )
