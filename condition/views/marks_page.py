"""Drawing where a finding lies: on the elevation, on a photograph, on a photograph straightened."""

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.functional import cached_property
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from condition.access import finding_for
from condition.forms.marks import MarkForm
from condition.models import Finding, FindingMark
from condition.services.extents import ExtentError, Offered, use_as_extent
from condition.views.mark_boards import Board, board_of, photographs_of
from condition.views.names import survey_name
from sites.compute.roles import SURVEY
from sites.forms.idempotency import read_key
from sites.web import AppRequest

ELEVATION = "elevation"


@dataclass(frozen=True)
class Tab:
    """One surface that can be drawn on."""

    url: str
    text: str
    chosen: bool
    marks: int


class MarksPage:
    """The page of one finding's marks, on the surface its address asks for."""

    def __init__(self, request: AppRequest, finding: Finding) -> None:
        self.request, self.finding = request, finding
        asked = request.GET
        self.photographs = photographs_of(finding)
        self.marks = list(finding.marks.select_related("finding__kind").order_by("id"))
        self.straight = asked.get("straight", "") != "0"
        self.from_outside = asked.get("from", finding.side) == "outside"
        self.photograph = self._photograph(asked.get("on", ELEVATION))

    def _photograph(self, named: str) -> Any:
        if named in ("", ELEVATION):
            return None
        key = read_key(named)
        found = next((each for each in self.photographs if each.pk == key), None)
        if found is None:
            raise Http404
        return found

    @cached_property
    def here(self) -> list[FindingMark]:
        """The marks on this surface."""
        key = self.photograph.pk if self.photograph else None
        return [mark for mark in self.marks if mark.photograph_id == key]

    @cached_property
    def changed(self) -> FindingMark | None:
        """The mark whose points are drawn again."""
        key = read_key(self.request.GET.get("mark", ""))
        return next((mark for mark in self.here if mark.pk == key), None)

    @cached_property
    def board(self) -> Board:
        shown = [mark for mark in self.here if mark != self.changed]
        return board_of(
            self.request,
            self.finding,
            self.photograph,
            marks=self.here,
            drawn=shown,
            straight=self.straight,
            from_outside=self.from_outside,
        )

    def url(self, **changes: str) -> str:
        """The address of this surface, with changes; without the mark that is drawn again."""
        query = {}
        if self.photograph:
            query["on"] = str(self.photograph.pk)
            if not self.straight:
                query["straight"] = "0"
        if not self.photograph and self.from_outside != (self.finding.side == "outside"):
            query["from"] = "outside" if self.from_outside else "inside"
        query |= changes
        address = reverse("condition:finding-marks", args=[self.finding.pk])
        return f"{address}?{urlencode(query)}" if query else address

    def form(self) -> MarkForm:
        usual = self.here[-1].stroke if self.here else "area"
        return MarkForm(
            self.request.POST or None,
            instance=self.changed,
            finding=self.finding,
            photograph=self.photograph,
            surface=self.board.surface,
            usual=usual,
            units=self.request.user.units,
        )

    def tabs(self) -> list[Tab]:
        counts: dict[UUID | None, int] = {}
        for mark in self.marks:
            counts[mark.photograph_id] = counts.get(mark.photograph_id, 0) + 1
        page = reverse("condition:finding-marks", args=[self.finding.pk])
        tabs = [Tab(page, _("The elevation"), self.photograph is None, counts.get(None, 0))]
        for n, each in enumerate(self.photographs, start=1):
            name = each.caption or _("Photograph %d") % n
            chosen = each == self.photograph
            tabs.append(Tab(f"{page}?on={each.pk}", name, chosen, counts.get(each.pk, 0)))
        return tabs

    def show(self, form: MarkForm) -> HttpResponse:
        finding = self.finding
        context = {
            "finding": finding,
            "building": finding.survey.building,
            "opening": finding.opening,
            "photograph": self.photograph,
            "survey_name": survey_name(finding.survey),
            "tabs": self.tabs(),
            "board": self.board,
            "form": form,
            "changed": self.changed,
            "units": self.request.user.units,
            "here_url": self.url(),
            "straight_url": self.url(straight="1"),
            "plain_url": self.url(straight="0"),
            "other_side_url": self.url(**{"from": "inside" if self.from_outside else "outside"}),
            "map_url": reverse(
                "condition:damage-map", args=[finding.survey_id, finding.opening_id]
            ),
        }
        status = 422 if form.is_bound else 200
        return render(self.request, "condition/marks.html", context, status=status)


@require_http_methods(["GET", "POST"])
def finding_marks(request: AppRequest, key: UUID) -> HttpResponse:
    """Draw a finding's marks, take one away, or use what they measure as the finding's extent."""
    page = MarksPage(request, finding_for(request.user, key, SURVEY))
    if request.method == "POST":
        act = request.POST.get("act", "")
        if act == "remove":
            return _remove(page)
        if act == "use":
            return _use(page)
    form = page.form()
    if form.is_bound and (
        form.saved_before() or (form.is_valid() and form.store()) or form.saved_before()
    ):
        messages.success(request, _("The mark is drawn."))
        return redirect(page.url())
    return page.show(form)


def _remove(page: MarksPage) -> HttpResponse:
    key = read_key(page.request.POST.get("mark", ""))
    mark = next((each for each in page.here if each.pk == key), None)
    if mark is not None:
        mark.delete()
        messages.success(page.request, _("The mark is taken away."))
    return redirect(page.url())


def _use(page: MarksPage) -> HttpResponse:
    what = page.request.POST.get("what", "")
    offered: Offered | None = next((o for o in page.board.offers if o.what == what), None)
    if offered is None:
        messages.error(page.request, _("There is nothing drawn here that could be used for that."))
        return redirect(page.url())
    where = str(page.photograph.pk) if page.photograph else ELEVATION
    try:
        use_as_extent(page.finding, offered, where)
    except ExtentError as error:
        messages.error(page.request, str(error))
        return redirect(page.url())
    messages.success(
        page.request, _("The extent of finding %d is what was measured.") % page.finding.number
    )
    return redirect(f"{page.finding.get_absolute_url()}#measured")
