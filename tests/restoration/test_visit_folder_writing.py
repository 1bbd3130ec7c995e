"""A folder becomes rows and stored photographs: whole, once, or not at all."""

import datetime as dt
from decimal import Decimal

import pytest

from condition.models import Finding, Inspection, Photograph
from condition.services.recording import photographs as photograph_service
from restoration.models import Estimate, RepairAction
from restoration.services.studios import open_studio
from restoration.services.visit_folder import writing
from restoration.services.visit_folder.register_merge import RegisterMerge
from sites.models import AttachedItem, Building, Opening, VisitFolder
from tests.restoration.visit_folders import (
    SMALL_PHOTOGRAPHS,
    chapel_folder,
    problems_of,
    quietly,
    small_folder,
    state_of_everything,
    ten_mistakes_folder,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def studio(files):
    return open_studio("Alder Lane Glass")


@pytest.fixture
def take_in(studio, user):
    """A function that takes a folder in, quietly."""
    return quietly(studio, user)


def test_the_register_is_written_in_order_with_lengths_as_typed(take_in, tmp_path):
    take_in(small_folder(tmp_path))
    building = Building.objects.get()
    assert (building.currency, building.time_zone) == ("USD", "America/New_York")
    assert list(building.openings.values_list("number", flat=True)) == ["I", "nII", "sII"]
    first = building.openings.first()
    assert (first.width_typed, first.width_mm) == ('34 3/8"', Decimal("873.125"))
    assert (first.made, first.made_edtf) == ("c. 1931", "1931~")
    assert list(first.panels.values_list("number", flat=True)) == ["1a", "1b", "2a", "2b"]
    item = AttachedItem.objects.get()
    assert item.inscription == "IN MEMORY\nOF A FRIEND"
    assert [str(fixing) for fixing in item.fixings.all()] == [
        "3 × Soldered tab, Failed",
        "1 × Soldered tab, Sound",
    ]


def test_findings_keep_their_numbers_and_continue_one_another(take_in, tmp_path):
    take_in(small_folder(tmp_path))
    later = Finding.objects.get(survey__day=dt.date(2026, 5, 4), number=1)
    assert later.continues == Finding.objects.get(survey__day=dt.date(2015, 6, 1), number=3)
    assert (later.amount, later.unit, later.of_total) == (9, "count", 30)
    assert later.kind.code == "failed-solder-joint"
    assert str(later.subject) == "I 1a"
    (hazard,) = [finding for finding in Finding.objects.all() if finding.hazard]
    assert (str(hazard.subject), hazard.urgency_class) == ("nII P1", 3)
    assert hazard.panel is None  # its row names the panel that the plaque is on
    assert hazard.side == "unknown"  # its row does not say


def test_looks_are_written_with_their_reasons(take_in, tmp_path):
    take_in(small_folder(tmp_path))
    said = set(Inspection.objects.values_list("side", "outcome", "seen_from", "reason"))
    assert said == {
        ("inside", "nothing found", "ladder", ""),
        ("outside", "not inspected", "floor", "behind the yew"),
    }


def test_photographs_go_where_the_sheet_or_their_names_say(take_in, tmp_path, files):
    take_in(small_folder(tmp_path / "visit"))
    placed = {row.name: row for row in Photograph.objects.select_related("opening")}
    shown = {name: row.findings.first() or row.opening for name, row in placed.items()}
    assert {name: str(each) for name, each in shown.items()} == {
        "porch.jpg": "sII",
        "tab.jpg": "2 One or more fixings failed at nII P1",
        "2026-001 a.jpg": "1 Failed solder joint at I 1a",
        "2026-001_detail.JPG": "1 Failed solder joint at I 1a",
    }
    assert placed["tab.jpg"].caption == "the lower tab"
    assert all(row.state == "ready" and row.renditions.count() == 3 for row in placed.values())
    originals = [path.read_bytes() for path in files.rglob("original.*")]
    assert sorted(originals) == sorted(SMALL_PHOTOGRAPHS.values())


def test_actions_become_an_estimate_in_the_studio_s_newest_book(take_in, tmp_path, studio):
    take_in(small_folder(tmp_path))
    estimate = Estimate.objects.get()
    book = studio.rate_books.get()
    assert (estimate.rate_book, estimate.contingency) == (book, book.contingency)
    assert estimate.title == "Repairs after the survey of 4 May 2026"
    assert estimate.survey.day == dt.date(2026, 5, 4)
    first, second = estimate.actions.order_by("number")
    assert (first.kind.code, first.quantity) == ("resolder-joint-in-place", 9)
    assert (str(second.subject), second.option) == ("nII P1", "must")
    assert [str(finding) for finding in second.findings.all()] == [
        "2 One or more fixings failed at nII P1"
    ]


def test_costs_that_actions_share_stand_in_the_estimate(take_in, tmp_path):
    take_in(small_folder(tmp_path))
    costs = Estimate.objects.get().shared_costs.values_list("kind", "amount", "phase")
    assert list(costs) == [
        ("making safe", Decimal("90"), 1),
        ("access", Decimal("640.5"), 2),
    ]


def test_a_folder_of_another_shape_is_taken_in(files, user, tmp_path):
    studio = open_studio("Atelier de l'Étang", currency="EUR")
    quietly(studio, user)(chapel_folder(tmp_path / "visit"))
    building = Building.objects.get()
    assert (building.name, building.language) == ("Chapelle Sainte-Éloline", "fr")
    assert (building.time_zone, building.paper, building.units) == ("Europe/Paris", "A4", "metric")
    assert building.people.get().phone == "33555010203"
    first, second, rose = building.openings.all()
    assert (first.title, first.width_mm, first.height_mm) == ("L’Arbre et la Source", 1860, 3120)
    assert (first.panels.count(), second.panels.count(), rose.panels.count()) == (12, 6, 0)
    assert set(first.older_numbers.values_list("number", "system")) == {
        ("Baie 0", "relevé de 1974"),
        ("A", "carnet du curé"),
    }
    assert rose.wall == "other"
    assert rose.access == "Stands in: tribune de l’orgue.\néchelle de la tribune"
    bowed = Finding.objects.get(number=1)
    assert (bowed.amount, bowed.unit) == (Decimal("41.5"), "mm out of plane")
    assert RepairAction.objects.get(lump_sum__isnull=False).lump_sum_reason.startswith("Verre")


def test_photographs_turned_by_the_camera_stand_upright(files, user, tmp_path):
    studio = open_studio("Atelier", currency="EUR")
    quietly(studio, user)(chapel_folder(tmp_path / "visit"))
    sizes = {row.name: (row.format, row.width, row.height) for row in Photograph.objects.all()}
    assert sizes == {
        "ventre.heic": ("HEIC", 300, 400),
        "V1-02 a.JPG": ("JPEG", 300, 400),
        "rose.png": ("PNG", 300, 200),
        "V1-03_attache.jpeg": ("JPEG", 320, 200),
    }
    dated = Photograph.objects.get(name="V1-03_attache.jpeg")
    assert dated.taken_at == dt.datetime(2026, 5, 20, 8, 5, tzinfo=dt.UTC)


def test_ten_mistakes_are_ten_problems_and_nothing_is_changed(take_in, tmp_path, files):
    root = ten_mistakes_folder(tmp_path / "visit")
    before = state_of_everything(files)
    found = problems_of(take_in, root)
    assert len(found) == 10
    for place in (
        "register.xlsx, Openings, row 3, width", "register.xlsx, Building, row 2, time zone",
        "register.xlsx, Fixings, row 3, item", "findings.xlsx, Findings, row 3, kind",
        "findings.xlsx, Findings, row 3, of", "findings.xlsx, Findings, row 4, urgency class",
        "findings.xlsx, Looked at, row 3, reason", "findings.xlsx, Surveys, row 2, date",
        "findings.xlsx, Photographs, row 3, file", "findings.xlsx, Actions, row 3, quantity",
    ):  # fmt: skip
        assert sum(problem.startswith(f"{place}:") for problem in found) == 1, place
    assert state_of_everything(files) == before


def test_the_same_folder_again_changes_nothing(take_in, tmp_path, files):
    root = small_folder(tmp_path / "visit")
    first = take_in(root)
    before = state_of_everything(files)
    again = take_in(root)
    assert (first.is_new, again.is_new) == (True, False)
    assert again.folder == first.folder
    assert again.counts == first.counts
    assert state_of_everything(files) == before


def test_checking_alone_changes_nothing_and_counts_what_it_would_bring(take_in, tmp_path, files):
    root = small_folder(tmp_path / "visit")
    before = state_of_everything(files)
    checked = take_in(root, check_only=True)
    assert checked.folder is None
    assert state_of_everything(files) == before
    assert checked.counts == take_in(root).counts


class StoppedError(Exception):
    """Raised on purpose."""


def stop(*args, **kwargs):
    raise StoppedError


def on_call(number, function):
    calls = []

    def sometimes(*args, **kwargs):
        calls.append(1)
        if len(calls) == number:
            raise StoppedError
        return function(*args, **kwargs)

    return sometimes


STOPS = [
    (writing, "store_original", on_call(1, writing.store_original)),
    (writing, "store_original", on_call(4, writing.store_original)),
    (photograph_service, "sha256_of", on_call(6, photograph_service.sha256_of)),
    (RegisterMerge, "write", stop),
    (writing.FolderWriter, "_write_surveys", stop),
    (Finding.objects, "bulk_create", on_call(2, Finding.objects.bulk_create)),
    (writing.FolderWriter, "_write_inspections", stop),
    (writing.FolderWriter, "_write_photographs", stop),
    (writing.FolderWriter, "_action", stop),
    (VisitFolder.objects, "create", stop),
]


@pytest.mark.faults
@pytest.mark.parametrize(("where", "what", "instead"), STOPS)
def test_an_error_at_any_point_leaves_nothing(
    take_in, tmp_path, files, monkeypatch, where, what, instead
):
    root = small_folder(tmp_path / "visit")
    before = state_of_everything(files)
    with monkeypatch.context() as patch:
        patch.setattr(where, what, instead)
        with pytest.raises(StoppedError):
            take_in(root)
    assert state_of_everything(files) == before
    assert take_in(root).is_new


@pytest.mark.faults
def test_copies_that_a_crash_left_out_are_made_the_next_time(take_in, tmp_path, monkeypatch):
    from restoration.services.visit_folder import bringing_in

    root = small_folder(tmp_path / "visit")
    with monkeypatch.context() as patch:
        patch.setattr(bringing_in, "keep_copies", on_call(2, bringing_in.keep_copies))
        with pytest.raises(StoppedError):
            take_in(root)
    assert Photograph.objects.filter(state="ready").count() == 1
    assert not take_in(root).is_new
    assert Photograph.objects.filter(state="ready").count() == 4


def test_a_row_the_database_refuses_is_said_and_leaves_nothing(
    take_in, tmp_path, files, monkeypatch
):
    root = small_folder(tmp_path / "visit")
    before = state_of_everything(files)
    with monkeypatch.context() as patch:
        # As if the two keys had been let through: the same opening twice.
        patch.setattr(RegisterMerge, "write", lambda merge: _write_twice(merge))
        with pytest.raises(writing.FolderRefusedError, match="Nothing was changed"):
            take_in(root)
    assert state_of_everything(files) == before


def _write_twice(merge):
    Building.objects.bulk_create(merge.new[Building])
    opening = merge.new[Opening][0]
    Opening.objects.bulk_create([opening, Opening(building=merge.building, number=opening.number)])
