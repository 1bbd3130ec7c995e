"""Building the snapshot of a condition report from the database."""

from dataclasses import asdict
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.utils import translation
from django.utils.translation import gettext as _

from condition.documents.cautions import caution_codes
from condition.documents.changes import change_of
from condition.documents.counts import count_up, places_not_seen
from condition.documents.danger_entries import DangerEntries
from condition.documents.entries import Entries, opening_lines
from condition.documents.judged import Judging
from condition.documents.legend import legend, sources
from condition.documents.notices import open_notices_told
from condition.documents.page_one import FirstPage
from condition.documents.places_told import how_numbered
from condition.documents.plan import plan_of
from condition.documents.reading import Material, gather
from condition.documents.snapshot import SCHEMA, ReportSnapshot, SurveyBlock
from condition.documents.terms import terms_of
from condition.models import ConditionReport, Survey
from sites.documents.moment import repeatable_read
from sites.documents.parties import Heading, building_block, heading, studio_block
from sites.documents.vocabulary import cautions_for, terms_in
from sites.documents.words import day_words, language_of, lines
from sites.models import DocumentNumber


def build_snapshot(
    survey: Survey,
    number: DocumentNumber,
    supersedes: ConditionReport | None,
    judge: Judging,
    moment: datetime,
) -> dict[str, Any]:
    """Return the report of `survey` under `number`, complete, as plain data for JSON.

    judge: what judging the survey adds; see `condition.services.report_snapshot`, which calls
        this with it. The number of queries does not grow with the survey. Personal contact data
        stays out.
    """
    building = survey.building
    with translation.override(language_of(building)), repeatable_read():
        document = heading(
            kind=_("Condition report"),
            number=number.number,
            version=number.version,
            dated=number.dated,
            issued_by=number.asked_by.name,
            building=building,
            supersedes=supersedes,
        )
        material = gather(survey, judge, moment)
        snapshot = asdict(_report(material, document))
        # Looked for last, in all that is printed.
        return snapshot | {"glossary": terms_in(snapshot)}


def _report(material: Material, document: Heading) -> ReportSnapshot:
    building = material.survey.building
    locale, units = document.locale, building.units
    terms = terms_of(material.survey, material.terms, locale)
    change = change_of(material.judged.since, locale, units)
    dangers = DangerEntries(material, terms, locale).entries()
    entries = Entries(material, change, locale, units)
    general, openings = entries.general_photographs(), entries.openings()
    counts = count_up(material)
    described = {entry.id for entry in openings}
    items = [
        item for key, of_one in material.items.items() if str(key) in described for item in of_one
    ]
    cautions = cautions_for(caution_codes(material, items))
    return ReportSnapshot(
        schema=SCHEMA,
        moment=material.moment.astimezone(ZoneInfo(building.time_zone)).isoformat(),
        document=document,
        studio=studio_block(building.studio),
        building=building_block(building),
        survey=_survey_block(material, document.locale),
        counts=counts,
        page_one=FirstPage(material, dangers, terms, locale).page(counts, change),
        dangers=dangers,
        how_numbered=how_numbered(
            [finding.opening for finding in material.in_order],
            [finding.subject for finding in material.in_order],
        ),
        terms=terms,
        notices=open_notices_told(material.closures, material.survey, locale),
        change=change,
        plan=plan_of(material),
        opening_lines=opening_lines(material),
        openings=openings,
        general_photographs=general,
        not_seen=places_not_seen(material, openings),
        cautions=cautions,
        glossary=[],
        legend=legend(terms),
        sources=sources(cautions, openings),
    )


def _survey_block(material: Material, locale: str) -> SurveyBlock:
    survey = material.survey
    return SurveyBlock(
        id=str(survey.pk),
        day=survey.day.isoformat(),
        day_words=day_words(survey.day, locale),
        surveyors=survey.surveyors,
        client=survey.client,
        purpose=survey.purpose,
        method=survey.method.strip(),
        access=survey.access.strip(),
        weather=survey.weather,
        limits=survey.limits.strip(),
        distribution=lines(survey.distribution),
    )
