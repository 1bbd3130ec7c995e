"""Figures as they are shipped, and with the studio's own in place of some."""

from decimal import Decimal

import pytest

from sites.compute.figures import NO_SOURCE, FigureError, Figures, figure_from, with_own
from sites.services.figures import (
    figures_of,
    forget_figure,
    groups_of,
    set_figure,
    shipped_figures,
)
from tests.factories import StudioFactory

ENTRY = {
    "key": "glass.density",
    "name": "Density of glass",
    "value": 2500,
    "unit": "kg/m³",
    "source": "EN 572-1",
}


def test_every_shipped_figure_has_a_unit_a_value_and_says_where_it_comes_from():
    figures = shipped_figures()
    assert len(figures) > 15
    for key, figure in figures.items():
        assert key == figure.key
        assert figure.name
        assert figure.source
        assert figure.value > 0 or figure.may_be_zero, key
        assert not figure.own
        assert figure.published is (figure.source != NO_SOURCE), key


@pytest.mark.published("EN 572-1: 2500 kg/m³; BS EN 12588: 11.34 kg/m² for a millimetre of lead")
def test_the_densities_are_those_of_the_standards():
    assert shipped_figures().value("glass.density") == 2500
    assert shipped_figures().value("came.lead_density") == 11340


def test_every_group_of_the_file_has_a_name_of_its_own():
    groups = groups_of(shipped_figures())
    assert sum(len(group.figures) for group in groups) == len(shipped_figures())
    assert len({group.name for group in groups}) == len(groups)
    assert all(group.name != group.key for group in groups)


def test_an_own_figure_stands_in_place_of_the_shipped_and_keeps_it_beside():
    own = with_own([figure_from(ENTRY)], {"glass.density": (Decimal("2600.5"), "weighed 3 May")})
    figure = own["glass.density"]
    assert (figure.value, figure.source, figure.own) == (Decimal("2600.5"), "weighed 3 May", True)
    assert (figure.default, figure.default_source) == (2500, "EN 572-1")
    assert figure.shown == "2600.5 kg/m³"
    assert figure.shown_default == "2500 kg/m³"


def test_an_own_figure_without_a_source_says_there_is_none():
    own = with_own([figure_from(ENTRY)], {"glass.density": (Decimal(2600), "")})
    assert own["glass.density"].source == NO_SOURCE
    assert not own["glass.density"].published
    assert own["glass.density"].as_input().source == f"the studio's own figure: {NO_SOURCE}"


def test_an_own_figure_of_a_key_no_longer_listed_is_passed_over():
    own = with_own([figure_from(ENTRY)], {"glass.colour": (Decimal(1), "")})
    assert list(own) == ["glass.density"]


def test_a_figure_is_an_input_of_a_working_with_its_source():
    told = figure_from(ENTRY).as_input("density")
    assert (told.name, told.value) == ("density", "2500 kg/m³")
    assert (told.origin, told.source) == ("default", "EN 572-1")


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"key": "density"}, "a group and a name"),
        ({"key": ""}, "a group and a name"),
        ({"source": ""}, "glass.density has no"),
        ({"value": "heavy"}, "no number"),
    ],
)
def test_an_entry_that_is_not_whole_is_refused_by_name(changed, words):
    with pytest.raises(FigureError, match=words):
        figure_from({**ENTRY, **changed})


@pytest.mark.parametrize("left_out", ["name", "value", "unit"])
def test_an_entry_without_one_of_its_parts_is_refused(left_out):
    with pytest.raises(FigureError, match=left_out):
        figure_from({key: value for key, value in ENTRY.items() if key != left_out})


def test_a_figure_listed_twice_or_not_at_all_is_named():
    with pytest.raises(FigureError, match=r"glass\.density is listed twice"):
        Figures([figure_from(ENTRY), figure_from(ENTRY)])
    with pytest.raises(FigureError, match=r"no figure is called glass\.weight"):
        Figures([figure_from(ENTRY)]).value("glass.weight")


@pytest.mark.django_db
def test_a_studios_own_figure_is_its_own_alone():
    studio, other = StudioFactory(), StudioFactory()
    set_figure(studio, "glass.density", Decimal(2600), " weighed ")
    set_figure(studio, "glass.density", Decimal(2610), " weighed again ")
    assert figures_of(studio).value("glass.density") == 2610
    assert figures_of(studio)["glass.density"].source == "weighed again"
    assert figures_of(other).value("glass.density") == 2500
    forget_figure(studio, "glass.density")
    assert not figures_of(studio)["glass.density"].own


@pytest.mark.django_db
def test_a_figure_nobody_lists_cannot_be_set():
    with pytest.raises(FigureError, match=r"glass\.colour"):
        set_figure(StudioFactory(), "glass.colour", Decimal(1), "")


@pytest.mark.django_db
def test_figures_are_read_in_one_query(count_queries):
    studio = StudioFactory()
    shipped_figures()
    assert count_queries(lambda: figures_of(studio)) == 1
