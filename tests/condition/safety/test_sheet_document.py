"""The printed site safety sheet: one page even at its fullest, on either paper, accessible."""

from pathlib import Path

import outloud
import pytest
from django.db import transaction

from condition.services.safety_sheets import print_sheet
from tests.condition.safety.dangers import full_sheet
from tests.factories import BuildingFactory
from tests.pdf_reading import page_sizes, page_texts

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]
LONG = "The Cathedral Church of the Blessed Virgin and All Holy Martyrs"


def printed(folder: Path, building: dict, **facts) -> tuple[int, Path]:
    """Print one sheet; the database is as before afterwards."""
    with transaction.atomic():
        pdf = print_sheet(full_sheet(BuildingFactory(**building), **facts))
        transaction.set_rollback(True)
    file = folder / "sheet.pdf"
    file.write_bytes(pdf.pdf)
    return pdf.pages, file


@pytest.fixture(scope="module")
def sheets(django_db_setup, django_db_blocker, tmp_path_factory):
    """A short visit on A4; and on Letter the fullest, where rules of all countries stand."""
    quiet = {
        "hot_work": "none",
        "old_paint": False,
        "window_replaced": False,
        "putty": "none",
        "heating": "none",
        "nesting": False,
    }
    with django_db_blocker.unblock():
        return {
            "short": printed(
                tmp_path_factory.mktemp("short"),
                {"name": "St Aldhelm’s", "place": "Nether Wickham", "country": "GB"},
                title="Survey of the north side",
                **quiet,
            ),
            "fullest": printed(
                tmp_path_factory.mktemp("fullest"),
                {
                    "name": LONG,
                    "place": "North Kingsbury Falls",
                    "country": "",
                    "paper": "Letter",
                    "units": "inch",
                },
                title="RESOLDERING AND RELEADING " * 6,
                people="MARGERY HOLLOWAY AND TOM ASHBY, " * 7,
                height_typed="",
                height_mm=None,
                hours=None,
                built_year=None,
                access="scaffold",
                notes=("Water is turned off in the boiler house behind the vestry. " * 12)[:700],
                hot_work="iron",
            ),
        }


@pytest.mark.published("ISO 14289-1 (PDF/UA-1) as checked by outloud")
@pytest.mark.parametrize("which", ["short", "fullest"])
def test_it_is_accessible(which, sheets):
    result = outloud.check(str(sheets[which][1]))
    assert result.error is None
    assert [f"{found.rule} {found.message}" for found in result.findings] == []


@pytest.mark.published("ISO 216: A4 is 210 × 297 mm; ANSI Letter is 8.5 × 11 in")
@pytest.mark.parametrize(("which", "size"), [("short", (595, 842)), ("fullest", (612, 792))])
def test_it_is_one_page_even_at_its_fullest(which, size, sheets):
    pages, file = sheets[which]
    assert pages == 1
    assert page_sizes(file) == {size}


def test_every_danger_and_every_name_of_a_country_stands_on_it(sheets):
    text = " ".join(" ".join(page_texts(sheets["fullest"][1])).split())
    for said in (
        "People below",
        "Work at height",
        "Hot work: electric soldering iron",
        "Lead in came",
        "Old paint and children",
        "Asbestos found",
        "Nesting birds",
        "Flux and fume",
        "For comparison, United States:",
        "For comparison, United Kingdom:",
        "For comparison, European Union:",
        "The height is not recorded",
        "Local codes, the authority having jurisdiction and licensed practice decide",
        "names and date",
    ):
        assert said in text


def test_a_sheet_in_the_united_kingdom_has_its_own_rules(sheets):
    text = " ".join(" ".join(page_texts(sheets["short"][1])).split())
    assert "United Kingdom: In air 0.15 mg/m" in text
    assert "United States: In the air" not in text
    assert "For comparison, United States: For a top support at 4.2 m the foot stands" in text
