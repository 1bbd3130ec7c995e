"""The studio's rules of the classes: listed by kind, changed, switched off, added."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import groupby
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from condition.access import class_rule_for
from condition.compute.classes.words import asked_in_words, given_in_words
from condition.forms.choices import KIND_GROUPS
from condition.forms.class_rules import PREVIEWED, ClassRuleForm, digest_of
from condition.models import ClassRule
from condition.services.class_rules import add_shipped_rules, rule_of
from condition.services.classes import Altered
from condition.views.classes import Mark, marks_of
from sites.access import studio_for
from sites.compute.roles import MANAGE
from sites.models import Studio
from sites.web import AppRequest


@dataclass(frozen=True)
class RuleRow:
    """A rule in words."""

    rule: ClassRule
    asks: str
    gives: str


@dataclass
class KindRules:
    """The rules of one kind of finding."""

    name: str
    rows: list[RuleRow] = field(default_factory=list)


@dataclass(frozen=True)
class AlteredRow:
    """A finding whose proposal would change, from which classes to which."""

    altered: Altered
    steps: list[tuple[Mark, Mark]]


@require_safe
def class_rule_list(request: AppRequest) -> HttpResponse:
    """List the rules by kind. A studio that has none yet gets the shipped ones as its own."""
    studio = studio_for(request.user, MANAGE)
    if not studio.class_rules.exists():
        add_shipped_rules(studio)
    rows = studio.class_rules.select_related("kind").order_by("kind__order", "kind__name", "order")
    groups = _groups(rows)
    return render(request, "condition/class_rule_list.html", {"groups": groups})


@require_http_methods(["GET", "POST"])
def class_rule_add(request: AppRequest) -> HttpResponse:
    studio: Studio = studio_for(request.user, MANAGE)
    return _rule_page(request, ClassRule(studio=studio), _("Add a rule"))


@require_http_methods(["GET", "POST"])
def class_rule_edit(request: AppRequest, key: UUID) -> HttpResponse:
    rule = class_rule_for(request.user, key)
    title = _("Change a rule of %s") % (rule.kind or _("every kind"))
    return _rule_page(request, rule, title)


def _rule_page(request: AppRequest, rule: ClassRule, title: str) -> HttpResponse:
    """Show the form; sent once, what it would alter; sent again unchanged, save it."""
    back = reverse("condition:class-rules")
    form = ClassRuleForm(request.POST or None, instance=rule)
    altered: list[Altered] = []
    previewed = ""
    if request.method == "POST" and form.saved_before():
        return redirect(back)
    if request.method == "POST" and form.is_valid():
        altered = form.altered()
        previewed = digest_of(form, altered)
        if request.POST.get(PREVIEWED) == previewed and form.store():
            messages.success(request, _("The rule is saved. Classes already set stay as they are."))
            return redirect(f"{back}#rule-{rule.pk}")
    issued = sum(each.issued for each in altered)
    context = {
        "form": form,
        "title": title,
        "submit": _("Save the rule") if previewed else _("Show what it would change"),
        "cancel_url": back,
        "up_url": back,
        "up_text": _("Rules of the classes"),
        "previewed": previewed,
        "altered": [_altered_row(each) for each in altered if not each.issued],
        "issued": issued,
    }
    status = 422 if form.errors else 200
    return render(request, "condition/class_rule_form.html", context, status=status)


def _altered_row(altered: Altered) -> AlteredRow:
    before, after = marks_of(altered.before.levels), marks_of(altered.after.levels)
    pairs = zip(before, after, strict=True)
    return AlteredRow(altered, [(old, new) for old, new in pairs if old.level != new.level])


def _groups(rows: Iterable[ClassRule]) -> list[tuple[str, list[KindRules]]]:
    """The rules by group of kinds and kind: those of every kind first."""
    kinds: dict[str, list[KindRules]] = {}
    for kind, members in groupby(rows, key=lambda row: row.kind):
        group = str(KIND_GROUPS.get(kind.group, kind.group)) if kind else _("Every kind")
        told = KindRules(kind.name if kind else _("Whatever is found"))
        told.rows = [_rule_row(row) for row in members]
        kinds.setdefault(group, []).append(told)
    first = _("Every kind")
    return sorted(kinds.items(), key=lambda pair: pair[0] != first)


def _rule_row(row: ClassRule) -> RuleRow:
    rule = rule_of(row)
    return RuleRow(row, asked_in_words(rule), given_in_words(rule))
