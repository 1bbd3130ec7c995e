"""What this room's pages leave open to the room above, and what it adds to the register's."""

from collections.abc import Callable
from dataclasses import dataclass, field

from condition.models import Finding, Survey
from condition.views import (
    closures,
    comparing,
    continuing,
    damage,
    dangers,
    incidents,
    marks,
    safety_sheets,
    sections,
    supports,
    trends,
)
from sites.hooks import Action, Section
from sites.hooks import hooks as register_hooks
from sites.web import AppRequest


@dataclass
class ConditionHooks:
    """The functions registered for the pages of this room, as in `sites.hooks`."""

    survey_sections: list[Callable[[AppRequest, Survey], Section | None]] = field(
        default_factory=list
    )
    survey_actions: list[Callable[[AppRequest, Survey], Action | None]] = field(
        default_factory=list
    )
    finding_sections: list[Callable[[AppRequest, Finding], Section | None]] = field(
        default_factory=list
    )


hooks = ConditionHooks()


def register() -> None:
    """Put this room's parts on the register's pages. Done once, as the application starts."""
    register_hooks.building_sections += [dangers.building_dangers, sections.surveys_section]
    register_hooks.opening_sections.append(dangers.opening_dangers)
    register_hooks.item_sections.append(dangers.item_dangers)
    register_hooks.panel_sections.append(dangers.panel_dangers)
    hooks.survey_sections.append(dangers.survey_dangers)
    register_hooks.opening_sections += [sections.opening_findings, sections.opening_photographs]
    register_hooks.opening_sections.append(damage.damage_maps)
    register_hooks.item_sections += [sections.item_findings, sections.item_photographs]
    register_hooks.building_actions += [sections.survey_action, dangers.danger_action]
    register_hooks.opening_actions.append(sections.finding_action)
    register_hooks.building_marks.append(marks.building_marks)
    register_hooks.opening_marks.append(marks.opening_marks)
    register_hooks.part_marks.append(marks.part_marks)
    register_hooks.panel_sections += [trends.panel_trend, supports.panel_section]
    register_hooks.opening_sections.append(supports.opening_section)
    register_hooks.building_sections.append(supports.building_section)
    _put_closed_areas_first()
    hooks.finding_sections += [damage.marks_section, trends.finding_trend]
    hooks.survey_actions += [continuing.continuing_action, comparing.compare_action]


def _put_closed_areas_first() -> None:
    """Areas that stand closed stand above everything, on every page about the place."""
    register_hooks.building_sections += [
        closures.building_closures,
        incidents.building_incidents,
        safety_sheets.building_sheets,
        closures.areas_section,
    ]
    register_hooks.opening_sections.append(closures.opening_closures)
    register_hooks.item_sections.append(closures.item_closures)
    register_hooks.panel_sections.append(closures.panel_closures)
    hooks.survey_sections.append(closures.survey_closures)
    hooks.finding_sections += [closures.finding_closures, closures.finding_notices]
