"""What is still open before a survey is reported, a line each, with links to what mends it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Final

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from condition.models import Danger, Finding, Photograph, Survey
from condition.models.choices import AmountUnit
from condition.services.classes import belittles_danger
from condition.views.names import box_name
from condition.views.review import Review

DANGER: Final = "danger"
OPEN: Final = "open"
HINT: Final = "hint"
# Printed in the report where they are written; nobody can write them down afterwards.
VISIT_FACTS: Final = ("method", "limits", "access", "weather", "distribution")


@dataclass(frozen=True)
class Link:
    """A few words, and the address of the page that mends it."""

    text: str
    url: str


@dataclass(frozen=True)
class Line:
    """One thing still open: in words, how grave, and where each case of it is mended.

    tone: DANGER can hurt someone, OPEN is said in the report, HINT is worth a look.
    mend: one page for all of them, where there is one.
    """

    code: str
    text: str
    tone: str
    links: Sequence[Link] = ()
    mend: Link | None = None


@dataclass(frozen=True)
class Reviewed:
    """The lines still open, and in a few words what is in order."""

    lines: list[Line] = field(default_factory=list)
    in_order: list[str] = field(default_factory=list)

    @property
    def grave(self) -> list[Line]:
        return [line for line in self.lines if line.tone != HINT]

    def add(self, line: Line, count: int, in_order: str) -> None:
        if count:
            self.lines.append(line)
        elif in_order:
            self.in_order.append(in_order)


def reviewed(
    survey: Survey, review: Review, earlier: Sequence[Finding], alike: Sequence[list[Photograph]]
) -> Reviewed:
    """Return what is still open, dangers first. Reads nothing.

    earlier: findings of earlier surveys that this one has not answered, with kind, survey and
    subject. alike: photographs that look alike and nobody has decided on.
    """
    told = Reviewed()
    _dangers(told, survey, review, earlier)
    _answers(told, survey, review, earlier)
    _judgement(told, survey, review)
    _photographs(told, survey, review, alike)
    _visit(told, survey)
    return told


def _dangers(told: Reviewed, survey: Survey, review: Review, earlier: Sequence[Finding]) -> None:
    not_held = review.not_held
    text = ngettext(
        "Nothing recorded holds one danger", "Nothing recorded holds %d dangers", len(not_held)
    )
    links = [Link(_danger_words(each), each.get_absolute_url()) for each in not_held]
    line = Line("not-held", _count(text, not_held), DANGER, links)
    told.add(line, len(not_held), _("every danger held"))
    _questions(told, review)
    carried = [each for each in earlier if each.hazard]
    text = ngettext(
        "One danger of an earlier survey is not answered",
        "%d dangers of earlier surveys are not answered",
        len(carried),
    )
    line = Line("earlier-dangers", _count(text, carried), DANGER, _earlier(survey, carried))
    told.add(line, len(carried), _("every earlier danger answered"))
    wrong = [each for each in review.findings if belittles_danger(each)]
    text = ngettext(
        "One finding can hurt someone, and its classes do not say so",
        "%d findings can hurt someone, and their classes do not say so",
        len(wrong),
    )
    links = _findings(wrong, "finding-classes")
    told.add(Line("danger-can-wait", _count(text, wrong), DANGER, links), len(wrong), "")


def _questions(told: Reviewed, review: Review) -> None:
    """What nobody answered of a danger, each asked again at the end of its link."""
    silent = review.not_answered
    text = ngettext(
        "Can it come down? Of one danger that is not answered, or two answers disagree",
        "Can it come down? Of %d dangers that is not answered, or two answers disagree",
        len(silent),
    )
    links = [
        Link(_danger_words(each), reverse("condition:danger-act", args=[each.pk, "answer"]))
        for each in silent
    ]
    line = Line("not-answered", _count(text, silent), DANGER, links)
    told.add(line, len(silent), _("every danger answered"))
    openings = review.not_said_who_is_under
    text = ngettext(
        "Who can be under it? A danger hangs at one opening of which nobody said",
        "Who can be under it? Dangers hang at %d openings of which nobody said",
        len(openings),
    )
    links = [
        Link(each.number, reverse("sites:opening-edit", args=[each.pk]) + "#id_under_inside")
        for each in openings
    ]
    told.add(Line("not-said-who", _count(text, openings), DANGER, links), len(openings), "")


def _danger_words(danger: Danger) -> str:
    return f"{danger.label}: {danger.shown_kind.name}"


def _answers(told: Reviewed, survey: Survey, review: Review, earlier: Sequence[Finding]) -> None:
    silent = review.silent
    text = ngettext(
        "One opening: nothing is said of it yet",
        "%d openings: nothing is said of them yet",
        len(silent),
    )
    add = reverse("condition:inspection-add", args=[survey.pk])
    links = [Link(each.number, f"{add}?opening={each.pk}") for each in silent]
    mend = Link(_("Say it of several at once"), f"{survey.get_absolute_url()}#next-steps")
    line = Line("silent", _count(text, silent), OPEN, links, mend)
    told.add(line, len(silent), _("every opening spoken for"))
    others = [each for each in earlier if not each.hazard]
    text = ngettext(
        "One finding of an earlier survey is not answered",
        "%d findings of earlier surveys are not answered",
        len(others),
    )
    mend = Link(_("Answer them"), reverse("condition:continuing", args=[survey.pk]))
    line = Line("earlier", _count(text, others), OPEN, _earlier(survey, others), mend)
    told.add(line, len(others), _("every earlier finding answered"))
    found = [
        Link(
            f"{row.inspection.opening.number} {row.words} · "
            + ngettext("finding %s", "findings %s", len(row.contradicted))
            % ", ".join(str(number) for number in row.contradicted),
            f"{survey.get_absolute_url()}#next-steps",
        )
        for row in review.contradicted
    ]
    text = _("Nothing found, and yet a finding: one of the two is wrong")
    told.add(Line("contradicted", text, OPEN, found), len(found), _("no look contradicted"))


def _judgement(told: Reviewed, survey: Survey, review: Review) -> None:
    not_classed = review.not_classed
    text = ngettext(
        "One finding has no class of condition or urgency",
        "%d findings have no class of condition or urgency",
        len(not_classed),
    )
    mend = Link(_("Set what is proposed"), reverse("condition:survey-classes", args=[survey.pk]))
    links = _findings(not_classed, "finding-classes")
    line = Line("not-classed", _count(text, not_classed), OPEN, links, mend)
    told.add(line, len(not_classed), _("every finding classed"))
    loose = [each for each in review.findings if lacks_its_measuring(each)]
    text = ngettext(
        "One depth out of flat does not say over what span, or from where it was measured",
        "%d depths out of flat do not say over what span, or from where they were measured",
        len(loose),
    )
    links = _findings(loose, "finding-edit", "id_datum")
    told.add(
        Line("measured-how", _count(text, loose), OPEN, links),
        len(loose),
        _("every depth measured so that it can be measured again"),
    )


def _photographs(
    told: Reviewed, survey: Survey, review: Review, alike: Sequence[list[Photograph]]
) -> None:
    unsorted = review.unsorted
    text = ngettext(
        "One photograph is not sorted in", "%d photographs are not sorted in", len(unsorted)
    )
    mend = Link(_("Sort them in"), reverse("condition:photographs-in-order", args=[survey.pk]))
    line = Line("unsorted", _count(text, unsorted), OPEN, (), mend)
    told.add(line, len(unsorted), _("every photograph sorted in"))
    damaged = review.damaged
    text = ngettext(
        "One photograph is damaged and cannot be printed",
        "%d photographs are damaged and cannot be printed",
        len(damaged),
    )
    links = [Link(each.caption, each.page_url) for each in damaged]
    told.add(Line("damaged", _count(text, damaged), OPEN, links), len(damaged), "")
    lost = review.originals_lost
    text = ngettext(
        "The original of one photograph is damaged or lost in storage; the report prints its copy "
        "and says so",
        "The originals of %d photographs are damaged or lost in storage; the report prints their "
        "copies and says so",
        len(lost),
    )
    links = [Link(each.caption, each.page_url) for each in lost]
    told.add(Line("originals-lost", _count(text, lost), OPEN, links), len(lost), "")
    text = ngettext(
        "One group of photographs looks alike",
        "%d groups of photographs look alike",
        len(alike),
    )
    mend = Link(
        _("Look at them side by side"), reverse("condition:photographs-alike", args=[survey.pk])
    )
    told.add(Line("alike", _count(text, alike), HINT, (), mend), len(alike), "")
    bare = review.without_photograph
    text = ngettext("One finding has no photograph", "%d findings have no photograph", len(bare))
    send = reverse("condition:photograph-add", args=[survey.pk])
    links = [Link(_words(each), f"{send}?place=finding:{each.pk}") for each in bare]
    told.add(
        Line("without-photograph", _count(text, bare), HINT, links),
        len(bare),
        _("every finding photographed"),
    )


def _visit(told: Reviewed, survey: Survey) -> None:
    edit = reverse("condition:survey-edit", args=[survey.pk])
    missing = [
        Link(box_name(survey, name), f"{edit}#id_{name}")
        for name in VISIT_FACTS
        if not getattr(survey, name).strip()
    ]
    text = _("Not written yet, and printed in the report")
    told.add(Line("visit", text, OPEN, missing), len(missing), _("the visit described"))


def lacks_its_measuring(finding: Finding) -> bool:
    """Whether a depth out of flat does not say its span or what it was measured from."""
    return finding.unit == AmountUnit.MM_OUT_OF_PLANE and (
        finding.span_mm is None or not finding.datum.strip()
    )


def _count(text: str, rows: Sequence[object]) -> str:
    return text % len(rows) if "%d" in text else text


def _words(finding: Finding) -> str:
    return f"{finding.number} {finding.subject_label}"


def _findings(findings: Iterable[Finding], name: str, anchor: str = "") -> list[Link]:
    end = f"#{anchor}" if anchor else ""
    return [
        Link(_words(each), reverse(f"condition:{name}", args=[each.pk]) + end) for each in findings
    ]


def _earlier(survey: Survey, findings: Iterable[Finding]) -> list[Link]:
    answer = reverse("condition:continuing", args=[survey.pk])
    return [
        Link(
            f"{each.survey.day.year} · {_words(each)}: {each.kind.name}",
            f"{answer}#offer-{each.pk}",
        )
        for each in findings
    ]
