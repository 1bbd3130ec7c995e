"""Records for tests: only the fields that matter to a test need be spelt out."""

import datetime as dt
import functools
from decimal import Decimal

import factory
from django.contrib.auth.hashers import make_password
from django.utils import timezone
from factory.django import DjangoModelFactory

from condition import models as condition
from condition.services.recording.dangers import answer
from restoration import models as restoration
from sites import models as sites


class StudioFactory(DjangoModelFactory):
    class Meta:
        model = sites.Studio

    name = factory.Sequence(lambda n: f"Studio {n}")


class UserFactory(DjangoModelFactory):
    class Meta:
        model = sites.User

    email = factory.Sequence(lambda n: f"person{n}@studio.example")
    name = factory.Sequence(lambda n: f"Person {n}")

    password = "a long password for tests"

    @classmethod
    def _adjust_kwargs(cls, **kwargs):
        return kwargs | {"password": hashed(kwargs["password"])}


hashed = functools.cache(make_password)


class BuildingFactory(DjangoModelFactory):
    class Meta:
        model = sites.Building

    studio = factory.SubFactory(StudioFactory)
    name = factory.Sequence(lambda n: f"Church {n}")
    place = "Testham"


class MembershipFactory(DjangoModelFactory):
    """A role at one building; give `building=None, studio=...` for the whole studio."""

    class Meta:
        model = sites.Membership

    user = factory.SubFactory(UserFactory)
    building = factory.SubFactory(BuildingFactory)
    studio = factory.LazyAttribute(lambda made: made.building.studio)
    role = "owner"


class BuildingPersonFactory(DjangoModelFactory):
    class Meta:
        model = sites.BuildingPerson

    building = factory.SubFactory(BuildingFactory)
    name = factory.Sequence(lambda n: f"Warden {n}")
    role = "churchwarden"
    email = "warden@parish.example"


class OpeningFactory(DjangoModelFactory):
    class Meta:
        model = sites.Opening

    building = factory.SubFactory(BuildingFactory)
    number = factory.Sequence(lambda n: f"n{n + 2}")
    order = factory.LazyAttribute(lambda made: made.number)


class OlderNumberFactory(DjangoModelFactory):
    class Meta:
        model = sites.OlderNumber

    opening = factory.SubFactory(OpeningFactory)
    number = factory.Sequence(lambda n: f"Window {n}")
    system = "list of 1962"


class PanelFactory(DjangoModelFactory):
    class Meta:
        model = sites.Panel

    opening = factory.SubFactory(OpeningFactory)
    # The next row of its own window, however many tests ran before this one.
    number = factory.LazyAttribute(lambda made: f"{made.opening.panels.count() + 1}a")
    order = factory.LazyAttribute(lambda made: made.number)


class AttachedItemFactory(DjangoModelFactory):
    class Meta:
        model = sites.AttachedItem

    opening = factory.SubFactory(OpeningFactory)
    number = factory.Sequence(lambda n: f"P{n + 1}")


class FixingFactory(DjangoModelFactory):
    class Meta:
        model = sites.Fixing

    item = factory.SubFactory(AttachedItemFactory)
    kind = "soldered tab"
    count = 4
    state = "sound"
    holds_on_to = "lead"


class FindingKindFactory(DjangoModelFactory):
    class Meta:
        model = condition.FindingKind
        skip_postgeneration_save = True

    studio = factory.SubFactory(StudioFactory)
    code = factory.Sequence(lambda n: f"kind-{n}")
    group = "came"
    name = factory.Sequence(lambda n: f"Failed joint {n}")
    plain = "A joint between two leads has let go."

    @factory.post_generation
    def actions(self, create, kinds):
        """The kinds of action usual for it, mildest first."""
        for place, action_kind in enumerate(kinds or ()):
            self.action_links.create(action_kind=action_kind, order=place)


class SurveyFactory(DjangoModelFactory):
    class Meta:
        model = condition.Survey

    building = factory.SubFactory(BuildingFactory)
    day = dt.date(2026, 5, 12)
    surveyors = "A. Surveyor"


class InspectionFactory(DjangoModelFactory):
    class Meta:
        model = condition.Inspection

    survey = factory.SubFactory(SurveyFactory)
    opening = factory.SubFactory(
        OpeningFactory, building=factory.SelfAttribute("..survey.building")
    )
    outcome = "nothing found"


class DangerFactory(DjangoModelFactory):
    """A danger that can come down now."""

    class Meta:
        model = condition.Danger
        skip_postgeneration_save = True

    building = factory.SubFactory(BuildingFactory)
    kind = factory.SubFactory(FindingKindFactory, studio=factory.SelfAttribute("..building.studio"))
    opened_on = factory.LazyFunction(lambda: timezone.now().date())

    @factory.post_generation  # What was answered; False for nothing yet.
    def falls(self, create, value, **extra):
        if value is not False:
            answer(self, "now" if value is None else value, day=self.opened_on, **extra)


class FindingFactory(DjangoModelFactory):
    class Meta:
        model = condition.Finding
        skip_postgeneration_save = True

    survey = factory.SubFactory(SurveyFactory)
    opening = factory.SubFactory(
        OpeningFactory, building=factory.SelfAttribute("..survey.building")
    )
    kind = factory.SubFactory(
        FindingKindFactory, studio=factory.SelfAttribute("..survey.building.studio")
    )
    number = factory.Sequence(lambda n: n + 1)

    @factory.post_generation
    def hazard(self, create, answered, **extra):
        if answered:
            endanger(self, extra.get("answer", "now"))

    @factory.post_generation
    def made_safe(self, create, words, **extra):
        """What was done about the danger, in words: it was wired to a bar."""
        if words:
            hold(self.danger, words)


def hold(danger, words, **act):
    """Note that a danger was wired to a bar, on the day it opened unless another is given."""
    facts = {"day": danger.opened_on, "measure": "held", "fixed_to": "bar", "because": words}
    return condition.DangerAct.objects.create(danger=danger, act="measure", **facts | act)


def endanger(finding, falls="now"):
    """Answer of a finding that it can come down; it is a danger from then on."""
    names = ("kind", "opening", "panel", "attached_item", "side")
    facts = {name: getattr(finding, name) for name in names} | {"opened_on": finding.survey.day}
    finding.danger = DangerFactory(building=finding.survey.building, falls=False, **facts)
    answer(finding.danger, falls, day=finding.survey.day, finding=finding)
    finding.save(update_fields=["danger"])


class PhotographFactory(DjangoModelFactory):
    """A row without a file; tests of files receive real ones through the service."""

    class Meta:
        model = condition.Photograph
        skip_postgeneration_save = True

    building = factory.SubFactory(BuildingFactory)
    original = "none.jpg"
    sha256 = factory.Sequence(lambda n: f"{n:064x}")
    bytes = 1000
    format = "JPEG"
    width = 1600
    height = 1200

    @factory.post_generation
    def findings(self, create, shown, **extra):
        """The findings it shows, of its own survey and opening."""
        for each in shown or ():
            condition.PhotographFinding.objects.create(photograph=self, finding=each)


class ActionKindFactory(DjangoModelFactory):
    class Meta:
        model = condition.ActionKind
        skip_postgeneration_save = True

    studio = factory.SubFactory(StudioFactory)
    code = factory.Sequence(lambda n: f"action-{n}")
    name = factory.Sequence(lambda n: f"Resolder joints {n}")
    plain = "We solder the joints that have let go."
    unit = "joint"
    step = "in place"

    @factory.post_generation
    def cautions(self, create, codes):
        """The codes of the cautions it calls for."""
        for code in codes or ():
            caution, _ = sites.Caution.objects.get_or_create(code=code)
            self.caution_links.create(caution=caution)


class RateBookFactory(DjangoModelFactory):
    class Meta:
        model = restoration.RateBook

    studio = factory.SubFactory(StudioFactory)
    name = factory.Sequence(lambda n: f"Rates {n}")
    currency = "USD"
    valid_from = dt.date(2026, 1, 1)
    overhead = Decimal("15")
    profit = Decimal("10")
    contingency = Decimal("10")
    payment_shares = factory.LazyFunction(lambda: [["On order", "40"], ["On completion", "60"]])


class LabourRateFactory(DjangoModelFactory):
    class Meta:
        model = restoration.LabourRate

    rate_book = factory.SubFactory(RateBookFactory)
    trade = "glazier"
    hourly = Decimal("60")


class MaterialFactory(DjangoModelFactory):
    class Meta:
        model = restoration.Material

    rate_book = factory.SubFactory(RateBookFactory)
    code = factory.Sequence(lambda n: f"material-{n}")
    name = factory.Sequence(lambda n: f"Solder {n}")
    unit = "kg"
    price = Decimal("30")
    waste = Decimal("5")


class NormFactory(DjangoModelFactory):
    class Meta:
        model = restoration.Norm

    class Params:
        trade = "glazier"

    rate_book = factory.SubFactory(RateBookFactory)
    action_kind = factory.SubFactory(
        ActionKindFactory, studio=factory.SelfAttribute("..rate_book.studio")
    )
    labour_rate = factory.LazyAttribute(
        lambda norm: restoration.LabourRate.objects.get_or_create(
            rate_book=norm.rate_book, trade=norm.trade, defaults={"hourly": Decimal("60")}
        )[0]
    )
    hours_per_unit = Decimal("0.25")
    setup_hours = Decimal("0.5")


class EstimateFactory(DjangoModelFactory):
    class Meta:
        model = restoration.Estimate

    building = factory.SubFactory(BuildingFactory)
    rate_book = factory.SubFactory(
        RateBookFactory, studio=factory.SelfAttribute("..building.studio")
    )
    title = "Repairs"


class SharedCostFactory(DjangoModelFactory):
    class Meta:
        model = restoration.SharedCost

    estimate = factory.SubFactory(EstimateFactory)
    kind = "access"
    description = "Tower along the north wall"
    amount = Decimal("800")


class RepairActionFactory(DjangoModelFactory):
    class Meta:
        model = restoration.RepairAction

    estimate = factory.SubFactory(EstimateFactory)
    opening = factory.SubFactory(
        OpeningFactory, building=factory.SelfAttribute("..estimate.building")
    )
    kind = factory.SubFactory(
        ActionKindFactory, studio=factory.SelfAttribute("..estimate.building.studio")
    )
    number = factory.Sequence(lambda n: n + 1)
    quantity = Decimal("4")


def issued_fields(number: str, **fields: object) -> dict[str, object]:
    """What an issued document's row needs besides its own keys."""
    return {
        "number": number,
        "dated": dt.date(2026, 6, 1),
        "issued_at": dt.datetime(2026, 6, 1, 9, 0, tzinfo=dt.UTC),
        "snapshot": {"schema": "test"},
        "snapshot_sha256": "0" * 64,
        "pdf": "none.pdf",
        "pdf_sha256": "0" * 64,
        "pdf_bytes": 1,
        "pages": 1,
        **fields,
    }


class ConditionReportFactory(DjangoModelFactory):
    """An issued row without a file; tests of the file issue a real one."""

    class Meta:
        model = condition.ConditionReport

    survey = factory.SubFactory(SurveyFactory)
    building = factory.SelfAttribute("survey.building")
    studio = factory.SelfAttribute("survey.building.studio")
    issued_by = factory.SubFactory(UserFactory)

    @classmethod
    def _adjust_kwargs(cls, **kwargs):
        return issued_fields(f"CR-2026-{next(serials):04d}") | kwargs


class QuoteFactory(DjangoModelFactory):
    """An issued row without a file; tests of the file issue a real one."""

    class Meta:
        model = restoration.Quote

    estimate = factory.SubFactory(EstimateFactory)
    building = factory.SelfAttribute("estimate.building")
    studio = factory.SelfAttribute("estimate.building.studio")
    issued_by = factory.SubFactory(UserFactory)
    valid_until = dt.date(2026, 8, 1)
    currency = "USD"
    total = Decimal("1234.50")

    @classmethod
    def _adjust_kwargs(cls, **kwargs):
        return issued_fields(f"RQ-2026-{next(serials):04d}") | kwargs


serials = iter(range(1, 100_000))
