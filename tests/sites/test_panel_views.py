"""One panel's page: outline, joints, came, mass, lifting, sticks; and the forms that feed it."""

import pytest

from sites.models import CameProfile, CameRun, StudioFigure
from tests.factories import OpeningFactory, PanelFactory


@pytest.fixture
def profile(building):
    return CameProfile.objects.create(
        studio=building.studio,
        name="6 mm round",
        leaf_width_mm="6.35",
        leaf_width_typed="6.35",
        stick_length_mm="1828.8",
        stick_length_typed="6 ft",
    )


@pytest.fixture
def opening(building):
    """A lancet 600 mm wide, its panel at the foot square and 800 mm high."""
    return OpeningFactory(
        building=building,
        number="nII",
        head="two-centred",
        width_mm=600,
        width_typed="600",
        height_mm=2600,
        height_typed="2600",
        springing_mm=2000,
        springing_typed="2000",
    )


@pytest.fixture
def panel(opening):
    for height in (800, 1600):
        opening.bars.create(kind="division bar", height_mm=height, height_typed=str(height))
    return PanelFactory(
        opening=opening, number="1a", pieces=48, pattern="squares", crossings=35, subject="Quarries"
    )


def page_of(client, panel):
    answer = client.get(f"/panels/{panel.pk}/")
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_page_tells_joints_area_came_mass_and_who_carries_it(reader, panel, profile):
    CameRun.objects.create(panel=panel, profile=profile)
    page = page_of(reader, panel)
    # 6 × 8 panes of 100 mm: 2 × 47 junctions less 35 crossings.
    assert "<strong>59</strong>" in page
    assert "and 4 corners of the border" in page
    assert "0.480 m²" in page
    assert "2.80 m" in page
    assert "8.20 m" in page
    assert "kg glass" in page
    assert "1 person" in page
    assert "competent person" in page
    assert "never in wind" in page
    assert "Change the leads" not in page


def test_the_outline_is_cut_from_its_opening_and_drawn(reader, panel, opening):
    page = page_of(reader, panel)
    assert "Outline of panel 1a" in page
    assert "cut from the outline of its opening" in page
    head = PanelFactory(opening=opening, number="3a")
    told = page_of(reader, head)
    # Below the springing 400 mm of jamb, above it half of a two-centred head 600 mm high.
    assert "0.640 m²" not in told
    assert "A" in told.split('class="panel-outline-glass" d="')[1].split('"')[0]


def test_the_three_sizes_are_told_apart(reader, panel, opening):
    opening.rebate_mm, opening.rebate_typed = 12, "12"
    opening.save()
    page = page_of(reader, panel)
    # Foot in stone, top on the bar: 800 + 12, less 3, and 6 over the bar.
    for told in ("600 mm × 800 mm", "624 mm × 812 mm", "618 mm × 815 mm"):
        assert told in page
    assert "Take a template" in page


def test_a_panel_the_outline_parts_is_drawn_and_counted_in_all_its_parts(reader, building):
    # Two humps with a valley to 400 mm between them: the row above it is in two parts.
    corners = [[0, 0, 0], [800, 0, 0], [800, 1000, 0], [600, 1000, 0], [600, 400, 0]]
    corners += [[200, 400, 0], [200, 1000, 0], [0, 1000, 0]]
    opening = OpeningFactory(
        building=building,
        head="points",
        points=corners,
        width_mm=800,
        width_typed="800",
        height_mm=1000,
        height_typed="1000",
    )
    opening.bars.create(kind="division bar", height_mm=500, height_typed="500")
    page = page_of(reader, PanelFactory(opening=opening, number="2a"))
    drawn = page.split('class="panel-outline-glass" d="')[1].split('"')[0]
    assert drawn.count("M") == 2
    assert "0.200 m²" in page


def test_a_panel_nothing_is_known_of_says_what_to_record(surveyor, building):
    bare = PanelFactory(opening=OpeningFactory(building=building))
    page = page_of(surveyor, bare)
    assert "Count the pieces of glass" in page
    assert "The outline is not known" in page
    assert "it cannot be said who may lift it" in page
    assert "never in wind" in page
    assert f"/panels/{bare.pk}/leads/" in page
    assert f"/panels/{bare.pk}/came/add/" in page


def test_sticks_are_packed_from_a_cut_list(reader, panel, profile):
    CameRun.objects.create(panel=panel, profile=profile, cuts="600 mm x 7, 800 mm x 5")
    edge = CameProfile.objects.create(studio=profile.studio, name="12 mm flat")
    CameRun.objects.create(panel=panel, profile=edge, border=True)
    page = page_of(reader, panel)
    assert "packed from the cut list" in page
    assert "800 mm + 800 mm" in page
    assert "with waste, there is no cut list" in page


def test_measured_leads_show_the_factor_to_estimate_others_by(reader, panel, profile):
    CameRun.objects.create(panel=panel, profile=profile, length_mm=8200, length_typed="8200")
    page = page_of(reader, panel)
    assert "an edge of 4.00 over the root" in page


def test_the_page_is_in_the_readers_units(reader, people, panel, profile):
    CameRun.objects.create(panel=panel, profile=profile)
    people["reader"].units = "inch"
    people["reader"].save()
    page = page_of(reader, panel)
    assert "5.17 ft²" in page
    assert "lb)" in page
    assert "26&#x27; 11&quot;" in page


def test_the_studios_own_figures_are_reckoned_with(reader, panel, profile, building):
    CameRun.objects.create(panel=panel, profile=profile)
    StudioFigure.objects.create(
        studio=building.studio, key="handling.kg_per_person", value=2, source="our physician"
    )
    page = page_of(reader, panel)
    assert "our physician" in page
    assert "1 person<" not in page


def test_a_record_that_contradicts_itself_is_told_and_not_reckoned(surveyor, panel, profile):
    panel.crossings = 500
    panel.save()
    run = CameRun.objects.create(panel=panel, profile=profile, length_mm=9e5, length_typed="900 m")
    page = page_of(surveyor, panel)
    assert "at most 47 crossings" in page
    assert "no room for glass" in page
    assert f"/came-runs/{run.pk}/edit/" in page


def test_leads_and_glass_are_entered(surveyor, panel):
    url = f"/panels/{panel.pk}/leads/"
    assert surveyor.get(url).status_code == 200
    posted = {
        "pieces": "30",
        "pattern": "figure",
        "crossings": "0",
        "ringed_pieces": "2",
        "plated_pieces": "3",
        "glass_thickness": '1/8"',
    }
    assert surveyor.post(url, posted)["Location"] == f"/panels/{panel.pk}/"
    panel.refresh_from_db()
    assert (panel.pieces, panel.pattern, panel.ringed_pieces) == (30, "figure", 2)
    assert (str(panel.glass_thickness_mm), panel.plated_pieces) == ("3.175000", 3)
    page = page_of(surveyor, panel)
    # 2 × (30 − 1 − 2) junctions, and 2 rings that close.
    assert "<strong>56</strong>" in page
    assert "2 ringed by another" in page
    assert "3 plated" in page


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"crossings": "30"}, "at most 29 crossings"),
        ({"ringed_pieces": "30"}, "at most 29 can be ringed"),
        ({"plated_pieces": "31"}, "There are 30 pieces in all"),
        ({"pieces": "0"}, "0 is not possible here. Give 1 to 100000."),
        ({"pieces": "-2"}, "-2 is not possible here."),
        ({"pattern": "zigzag"}, "zigzag&quot; is not known here."),
        ({"glass_thickness": "thick"}, "is not a length"),
    ],
)
def test_leads_that_cannot_be_come_back_beside_their_box(surveyor, panel, changed, words):
    posted = {"pieces": "30", "pattern": "figure", "glass_thickness": "3.3", **changed}
    answer = surveyor.post(f"/panels/{panel.pk}/leads/", posted)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    panel.refresh_from_db()
    assert panel.pieces == 48


def test_the_opening_lists_its_panels_pages_and_its_came_by_profile(
    reader, panel, profile, opening
):
    CameRun.objects.create(panel=panel, profile=profile)
    PanelFactory(opening=opening, number="2a")
    page = reader.get(f"/openings/{opening.pk}/").content.decode()
    assert f'href="/panels/{panel.pk}/"' in page
    assert "Came of the whole window" in page
    assert "8.20 m" in page
    assert "1 of 2 panels is left out, its leads are not known:" in page


def test_an_opening_of_which_no_came_is_recorded_shows_no_table(reader, opening):
    PanelFactory(opening=opening, number="1a")
    assert "Came of the whole window" not in reader.get(f"/openings/{opening.pk}/").content.decode()


def test_more_panels_cost_the_opening_page_no_more_queries(
    reader, opening, panel, profile, count_queries
):
    CameRun.objects.create(panel=panel, profile=profile)

    def ask():
        reader.get(f"/openings/{opening.pk}/")

    ask()
    few = count_queries(ask)
    for number in ("2a", "3a", "A1", "A2"):
        more = PanelFactory(opening=opening, number=number, pieces=9, pattern="squares")
        CameRun.objects.create(panel=more, profile=profile)
    assert count_queries(ask) == few
