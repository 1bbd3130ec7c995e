"""Every screen, at phone and desk width, light and dark: nothing axe finds, nothing cut off."""

import os

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.prepared import ROOT

pytestmark = pytest.mark.browser
# Left in the build folder where they are asked for: `PICTURES=1`.
PICTURES = ROOT / ".build" / "screens" if os.environ.get("PICTURES") else None

# The screens of the demo, each named and found by code run inside the project.
SCREENS = """
from django.urls import reverse
from datetime import datetime
from condition.documents.make_safe.build import NoticeWords
from condition.models import Danger, Finding
from condition.services.notices import ask_for_notice
from restoration.models import RateBook
from sites.jobs import run_now
from sites.models import AttachedItem, VisitFolder
from sites.services.proofs import issue_proof
from tests.progress import UnwatchedProgress
b = VisitFolder.objects.get().building
s = b.surveys.first()
def at(name, *rows):
    return reverse(name, args=[row.pk for row in rows])
plaques = AttachedItem.objects.filter(opening__building=b, kind='plaque')
item = plaques.filter(fixings__isnull=False).first()
user = b.studio.memberships.filter(building=None).first().user
proof = item.proofs.first() or issue_proof(item, 1, user, UnwatchedProgress())
seen = Finding.objects.filter(survey=s, danger__isnull=False, photographs__isnull=False)
finding = next(each for each in seen if each.hazard)
danger = finding.danger
shown = Finding.objects.filter(survey=s, photographs__isnull=False)
grown = shown.filter(kind__code='bowed-panel').first()
words = NoticeWords(hazard='It hangs by one tab.', new_area='The pews below', done='Roped off.',
    measure='kept clear', done_on=s.day, told='The sexton.',
    closed_at=datetime(2026, 5, 12, 14, 30), photograph=finding.photographs.first().pk)
if not danger.notices.exists():
    run_now(ask_for_notice(danger, words, 1, user), 'test')
notice = danger.notices.first()
area = b.areas.first()
incident = b.incidents.create(day=s.day, what_fell='A quarry', danger=danger)
sheet = b.safety_sheets.create(title='Tabs of the plaque', day=s.day, access='ladder', lead=True,
    hot_work='iron', old_paint=True, nesting=True, people_below=True)
estimate, quote = b.estimates.get(), b.quotes.get()
answer = {
    'today': reverse('today'), 'buildings': reverse('sites:buildings'),
    'building-add': reverse('sites:building-add'), 'building': at('sites:building', b),
    'plan-edit': at('sites:plan-edit', b), 'numbers-assign': at('sites:numbers-assign', b),
    'building-edit': at('sites:building-edit', b), 'person-add': at('sites:person-add', b),
    'opening': at('sites:opening', item.opening), 'opening-add': at('sites:opening-add', b),
    'opening-edit': at('sites:opening-edit', item.opening),
    'opening-draw-new': at('sites:opening-draw-new', b),
    'opening-draw': at('sites:opening-draw', item.opening),
    'panel-add': at('sites:panel-add', item.opening),
    'panel-edit': at('sites:panel-edit', item.opening.panels.first()),
    'panel': at('sites:panel', item.opening.panels.first()),
    'panel-leads': at('sites:panel-leads', item.opening.panels.first()),
    'came-run-add': at('sites:came-run-add', item.opening.panels.first()),
    'figures': reverse('sites:figures'),
    'figure-edit': reverse('sites:figure-edit', args=['glass.thickness']),
    'came-profiles': reverse('sites:came-profiles'),
    'came-profile-add': reverse('sites:came-profile-add'),
    'item': at('sites:item', item), 'item-edit': at('sites:item-edit', item),
    'item-add': at('sites:item-add', item.opening), 'fixing-add': at('sites:fixing-add', item),
    'lettering-edit': at('sites:lettering-edit', item), 'proof': at('sites:proof', proof),
    'studio-edit': reverse('sites:studio-edit'), 'own-settings': reverse('sites:own-settings'),
    'patterns': reverse('sites:patterns'),
    'survey-add': at('condition:survey-add', b), 'survey': at('condition:survey', s),
    'report-terms': at('condition:report-terms', b), 'wind-site': at('condition:wind-site', b),
    'opening-supports': at('condition:opening-supports', item.opening),
    'survey-edit': at('condition:survey-edit', s), 'finding-add': at('condition:finding-add', s),
    'finding': at('condition:finding', finding),
    'finding-edit': at('condition:finding-edit', finding),
    'danger': at('condition:danger', danger), 'danger-add': at('condition:danger-add', b),
    **{f'danger-{act}': reverse('condition:danger-act', args=[danger.pk, act])
       for act in ('answer', 'measure', 'look', 'end')},
    'danger-where': reverse('condition:danger-where'),
    'danger-rows': reverse('condition:danger-rows'),
    'danger-row-edit': at('condition:danger-row-edit', b.studio.danger_rows.first()),
    'notice-issue': at('condition:notice-issue', danger),
    'notice': at('condition:notice', notice),
    'danger-reopen': at('condition:danger-reopen', danger),
    'danger-withdraw': at('condition:danger-withdraw', danger),
    'areas': at('condition:areas', b), 'area-edit': at('condition:area-edit', area),
    'incident-add': at('condition:incident-add', b),
    'incident': at('condition:incident', incident),
    'safety-sheet-add': at('condition:safety-sheet-add', b),
    'safety-sheet': at('condition:safety-sheet', sheet),
    'safety-sheet-edit': at('condition:safety-sheet-edit', sheet),
    'finding-marks': at('condition:finding-marks', finding),
    'damage-map': at('condition:damage-map', s, finding.opening),
    'photograph-scale': at('condition:photograph-scale', finding.photographs.first()),
    'finding-classes': at('condition:finding-classes', finding),
    'subject-classes': reverse('condition:subject-classes', args=[s.pk, finding.subject_key]),
    'class-rules': reverse('condition:class-rules'),
    'class-rule-add': reverse('condition:class-rule-add'),
    'class-rule-edit': at('condition:class-rule-edit', b.studio.class_rules.first()),
    'survey-compare': at('condition:survey-compare', s) + f'?opening={item.opening.pk}',
    'continuing': at('condition:continuing', s),
    'survey-review': at('condition:survey-review', s),
    'survey-classes': at('condition:survey-classes', s),
    'photographs-in-order': at('condition:photographs-in-order', s),
    'photographs-alike': at('condition:photographs-alike', s),
    'finding-trend': at('condition:finding', grown),
    'photograph-compare': at('condition:photograph-compare', grown.photographs.first()),
    'inspection-add': at('condition:inspection-add', s),
    'photograph-add': at('condition:photograph-add', s),
    'photograph': at('condition:photograph', finding.photographs.first()),
    'photograph-edit': at('condition:photograph-edit', finding.photographs.first()),
    'report': at('condition:report', b.conditionreports.get()),
    'estimate': at('restoration:estimate', estimate),
    'estimate-add': at('restoration:estimate-add', b),
    'estimate-edit': at('restoration:estimate-edit', estimate),
    'action-add': at('restoration:action-add', estimate),
    'actions-from-findings': at('restoration:actions-from-findings', estimate),
    'action-edit': at('restoration:action-edit', estimate.actions.first()),
    'shared-cost-add': at('restoration:shared-cost-add', estimate),
    'quote': at('restoration:quote', quote), 'rate-books': reverse('restoration:rate-books'),
    'rate-book': at('restoration:rate-book', RateBook.objects.first()),
    'rate-book-edit': at('restoration:rate-book-edit', RateBook.objects.first()),
    'sign-in-settings': reverse('account_change_password'),
}
"""


@pytest.fixture(scope="session")
def screens(demo) -> dict[str, str]:
    return demo.run(SCREENS)


def picture(page, name: str) -> None:
    if PICTURES is not None:
        page.screenshot(path=PICTURES / f"{name}.png", full_page=True)


# Each width and each scheme once by all the rules: a scheme changes colours, a width the layout.
@pytest.mark.parametrize(("width", "scheme"), [(360, "light"), (1280, "dark")])
def test_every_screen_is_accessible_and_fits(screens, visit, width, scheme):
    page, found = visit(width, scheme, listen=False), []
    for name, address in screens.items():
        response = page.goto(address)
        assert response.status == 200, f"{name}: {response.status}"
        picture(page, f"{name}-{width}-{scheme}")
        found += complaints(page, name)
        wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        found += [f"{name}: {wide} px too wide"] if wide > 0 else []
    assert found == []


def complaints(page, name: str) -> list[str]:
    """What axe finds on the page."""
    return [
        f"{name}: {violation['id']}: {node['target']}"
        for violation in Axe().run(page).response["violations"]
        for node in violation["nodes"][:3]
    ]


def test_every_screen_fits_320_px_and_its_console_is_silent(screens, visit):
    page, wide = visit(320), []
    for name, address in screens.items():
        page.goto(address)
        if page.evaluate("document.documentElement.scrollWidth > innerWidth"):
            wide.append(name)
    assert wide == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_pages_of_signing_in_are_accessible(demo, browser, scheme):
    context = browser.new_context(color_scheme=scheme, base_url=demo.url, service_workers="block")
    page, found = context.new_page(), []
    for address in ("/accounts/login/", "/accounts/password/reset/", "/accounts/signup/"):
        assert page.goto(address).status == 200
        picture(page, f"{address.strip('/').replace('/', '-')}-{scheme}")
        found += [f"{address}: {v['id']}" for v in Axe().run(page).response["violations"]]
    context.close()
    assert found == []
