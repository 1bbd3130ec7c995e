"""The plan of the building in the report, with the worst that was found at each opening."""

from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from condition.documents.judging import assessment_of
from condition.documents.reading import Material
from condition.documents.snapshot import Drawing
from condition.models import Finding
from sites.compute.plan.scene import PlanScene
from sites.compute.plan.sheet import PlanWords, plan_sheet
from sites.hooks import Mark
from sites.models.choices import Units
from sites.services.plan import plan_scene_of


def plan_of(material: Material) -> Drawing | None:
    """Return the plan with a mark at each opening, or None where the register has no walls."""
    building = material.survey.building
    marks = {opening.pk: _mark(material, opening.pk) for opening in material.openings}
    scene = plan_scene_of(building, marks)
    if scene is None:
        return None
    words = PlanWords(north=_("N"), east=_("liturgical east"))
    sheet = plan_sheet(scene, words, inches=building.units == Units.INCH)
    return Drawing(
        left=sheet.left,
        top=sheet.top,
        width=sheet.width,
        height=sheet.height,
        marks=sheet.marks,
        pins=[],
        caption=_caption(scene),
        alt=_alt(scene, material),
    )


def _mark(material: Material, opening: UUID) -> Mark:
    findings: list[Finding] = material.findings.get(opening, [])
    urgency = assessment_of(material.assessments.get(opening), findings).urgency
    return Mark(
        urgency=urgency.level if urgency else None,
        word=urgency.word if urgency else "",
        hazard=material.is_dangerous(opening),
        findings=len(findings),
    )


def _caption(scene: PlanScene) -> list[str]:
    lines = [_("A sign marks danger; a quarry fills with the highest class of urgency.")]
    if scene.unplaced:
        text = ngettext(
            "Opening %s has no place on the plan.",
            "Openings %s have no place on the plan.",
            len(scene.unplaced),
        )
        lines.append(text % ", ".join(scene.unplaced))
    return lines


def _alt(scene: PlanScene, material: Material) -> str:
    """The plan in words: how many openings it shows, and at which of them there is danger."""
    count = len(scene.openings)
    told = ngettext("Plan with %d opening.", "Plan with %d openings.", count) % count
    danger = [opening.number for opening in material.openings if material.is_dangerous(opening.pk)]
    if danger:
        told += " " + _("Danger at %s.") % ", ".join(danger)
    return told
