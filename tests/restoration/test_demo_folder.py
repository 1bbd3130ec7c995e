"""The visit folder with the invented church: its counts, its references, its pictures."""

import csv
import re
import tomllib
from collections import Counter
from datetime import date
from pathlib import Path

import pytest
from openpyxl import load_workbook

from restoration.demo import folder as demo_folder
from restoration.demo.folder import FolderInUseError, write_visit_folder
from restoration.demo.photographs import millimetres
from restoration.demo.pictures.scenes import SCENES
from restoration.demo.scenario import PhotographPlan, Scenario, key_in_name
from restoration.demo.workbooks import write_findings, write_register
from sites.compute.dates import parse_old_date
from tests.restoration.folder_contract import ALLOWED, FINDINGS_HEADINGS, REGISTER_HEADINGS

pytestmark = pytest.mark.one_engine

VOCABULARY = Path(__file__).resolve().parents[2] / "fixtures" / "vocabulary"


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return Scenario()


def vocabulary(name: str) -> dict[str, dict]:
    with (VOCABULARY / f"{name}.toml").open("rb") as file:
        return {kind["code"]: kind for kind in tomllib.load(file)["kind"]}


def panels_of(scenario: Scenario) -> set[tuple[str, str]]:
    """Return every panel: listed ones, and those made from lights and rows where none is listed."""
    panels = {(row["opening"], row["number"]) for row in scenario.table("panels")}
    listed = {opening for opening, _ in panels}
    for number, row in scenario.openings.items():
        if number not in listed:
            panels |= {
                (number, f"{r}{'abcdef'[light]}")
                for r in range(1, int(row["rows"]) + 1)
                for light in range(int(row["lights"]))
            }
    return panels


# ---- counts and references ----------------------------------------------------------------


def test_the_church_is_large_enough_to_try_everything_on(scenario: Scenario) -> None:
    kinds = Counter(row["kind"] for row in scenario.items.values())
    assert len(scenario.openings) >= 14
    assert len(panels_of(scenario)) >= 64
    assert kinds["plaque"] >= 15
    assert kinds["ventilator"] >= 1
    assert kinds["guard"] >= 1
    assert len(scenario.findings) >= 74
    assert len(scenario.photographs) >= 44
    assert len(scenario.table("actions")) >= 25
    assert {"clerestory", "ground"} <= {row["level"] for row in scenario.openings.values()}


def test_the_two_surveys_are_eleven_years_apart(scenario: Scenario) -> None:
    days = [date.fromisoformat(row["date"]) for row in scenario.table("surveys")]
    assert [day.year for day in days] == [2015, 2026]


def test_findings_continue_earlier_ones_each_once_and_on_the_same_subject(
    scenario: Scenario,
) -> None:
    pairs = [(row, row["continues"]) for row in scenario.findings.values() if row["continues"]]
    assert 12 <= len(pairs) <= 20
    assert len({key for _, key in pairs}) == len(pairs)
    for later, key in pairs:
        earlier = scenario.findings[key]
        assert earlier["survey"] < later["survey"]
        for part in ("opening", "item"):
            assert earlier[part] == later[part], later["finding"]
        assert not earlier["panel"] or earlier["panel"] == later["panel"], later["finding"]


def test_some_continuing_findings_are_worse_the_same_gone_and_repaired(scenario: Scenario) -> None:
    notes = []
    grew = same = 0
    for row in scenario.findings.values():
        if row["continues"]:
            before = scenario.findings[row["continues"]]
            notes.append(row["note"])
            if row["kind"] == before["kind"] and row["unit"] == before["unit"]:
                grew += float(row["amount"]) > float(before["amount"])
                same += float(row["amount"]) == float(before["amount"])
    assert grew >= 5
    assert same >= 3
    assert any(note.startswith("Gone") for note in notes)
    assert any(note.startswith("Repaired") for note in notes)


def test_a_few_hazards_say_what_was_made_safe(scenario: Scenario) -> None:
    hazards = [row for row in scenario.findings.values() if row["can it come down"] == "now"]
    assert 3 <= len(hazards) <= 6
    assert all(len(row["done"]) > 20 for row in hazards)
    assert all(row["urgency class"] == "3" for row in hazards)


def test_no_key_is_used_twice(scenario: Scenario) -> None:
    for name, key in (
        ("openings", ("number",)),
        ("panels", ("opening", "number")),
        ("items", ("opening", "number")),
        ("surveys", ("survey",)),
        ("findings", ("finding",)),
        ("looked_at", ("survey", "opening", "panel", "item", "side")),
        ("photographs", ("file",)),
    ):
        found = [tuple(row[part] for part in key) for row in scenario.table(name)]
        assert len(set(found)) == len(found), name


def test_every_opening_panel_item_and_survey_referred_to_exists(scenario: Scenario) -> None:
    panels = panels_of(scenario)
    surveys = {row["survey"] for row in scenario.table("surveys")}
    for name in ("panels", "items", "fixings", "findings", "looked_at", "photographs"):
        for row in scenario.table(name):
            if row["opening"]:
                assert row["opening"] in scenario.openings, (name, row)
            if row.get("panel"):
                assert (row["opening"], row["panel"]) in panels, (name, row)
            if row.get("item"):
                assert (row["opening"], row["item"]) in scenario.items, (name, row)
            if row.get("survey"):
                assert row["survey"] in surveys, (name, row)


def test_every_cell_with_a_closed_list_holds_one_of_its_words(scenario: Scenario) -> None:
    for (name, heading), words in ALLOWED.items():
        found = {row[heading] for row in scenario.table(name)} - {""}
        assert found <= set(words.split("|")), (name, heading)


def test_findings_use_known_kinds_and_the_units_that_each_allows(scenario: Scenario) -> None:
    kinds = vocabulary("finding_kinds")
    for row in scenario.findings.values():
        kind = kinds[row["kind"]]
        assert bool(row["amount"]) == bool(row["unit"]), row["finding"]
        if row["unit"]:
            assert row["unit"] in kind["units"], row["finding"]
        if row["of"]:
            assert row["unit"] == "count"
            assert float(row["amount"]) <= float(row["of"])
        for scale in ("condition class", "urgency class", "recommendation class"):
            assert row[scale] in {"0", "1", "2", "3"}, row["finding"]
        if row["recommendation class"] == "3":
            assert "Diagnosis" in row["note"], row["finding"]


def test_actions_answer_findings_of_one_subject_in_a_usual_way(scenario: Scenario) -> None:
    finding_kinds, action_kinds = vocabulary("finding_kinds"), vocabulary("action_kinds")
    for row in scenario.table("actions"):
        found = [scenario.findings[key.strip()] for key in row["finding"].split(";")]
        assert len({(f["opening"], f["panel"], f["item"]) for f in found}) == 1
        assert row["kind"] in action_kinds, row
        assert bool(row["quantity"]) != bool(row["lump sum"]), row
        assert bool(row["lump sum"]) == bool(row["lump sum reason"]), row
        usual = {code for f in found for code in finding_kinds[f["kind"]]["actions"]}
        assert row["kind"] in usual, row
    answered = {key for row in scenario.table("actions") for key in row["finding"].split(";")}
    assert len(answered) >= 45
    assert sum(bool(row["lump sum"]) for row in scenario.table("actions")) == 1


def test_no_plate_that_ordinary_solder_will_not_take_is_to_be_soldered(scenario: Scenario) -> None:
    """Aluminium, stainless steel, magnesium: common practice, no source."""
    for row in scenario.table("actions"):
        found = scenario.findings[row["finding"].split(";")[0]]
        item = scenario.items.get((found["opening"], found["item"]))
        if item and item["material"] in {"aluminium", "stainless steel", "magnesium"}:
            assert row["kind"] != "refix-plaque-two-fixings", row


def test_looked_at_rows_hold_nothing_found_and_reasons_for_what_was_not_seen(
    scenario: Scenario,
) -> None:
    rows = scenario.table("looked_at")
    unseen = [row for row in rows if row["outcome"] == "not inspected"]
    assert len(rows) - len(unseen) >= 5
    assert len(unseen) >= 2
    assert all(row["reason"] for row in unseen)


def test_no_subject_is_both_found_wanting_and_clear_in_one_survey(scenario: Scenario) -> None:
    found = {
        (row["survey"], row["opening"], row["panel"], row["item"], row["side"])
        for row in scenario.findings.values()
    }
    for row in scenario.table("looked_at"):
        key = (row["survey"], row["opening"], row["panel"], row["item"], row["side"])
        assert row["outcome"] != "nothing found" or key not in found, key


def test_lengths_and_old_dates_are_readable_and_mixed_as_people_type_them(
    scenario: Scenario,
) -> None:
    typed = []
    for name in ("openings", "panels", "items"):
        for row in scenario.table(name):
            lengths = [
                row[h] for h in ("width", "height", "sill height", "thickness") if row.get(h)
            ]
            typed += lengths
            assert all(0 < millimetres(text) < 10_000 for text in lengths)
            for heading in ("made", "installed"):
                if row.get(heading):
                    parse_old_date(row[heading])
    assert any("/" in text and '"' in text for text in typed)
    assert any(text.isdigit() for text in typed)
    assert any("cm" in text for text in typed)


def test_panels_fit_their_openings(scenario: Scenario) -> None:
    for row in scenario.table("panels"):
        opening = scenario.openings[row["opening"]]
        room = millimetres(opening["width"]) / int(opening["lights"])
        assert millimetres(row["width"]) <= room + 1, row
        assert millimetres(row["height"]) * int(opening["rows"]) <= (
            millimetres(opening["height"]) * 1.06
        ), row


def test_inscriptions_try_accents_greek_cyrillic_length_and_loss(scenario: Scenario) -> None:
    words = [row["inscription"] for row in scenario.items.values()]
    for pattern in ("Łódź", "[\u0370-\u03ff]", "[\u0400-\u04ff]", r"\[\.\.\.\]", "ễ"):
        assert any(re.search(pattern, text) for text in words), pattern
    assert max(map(len, words)) > 150


# ---- photographs: what they belong to -------------------------------------------------------


def test_every_photograph_belongs_to_a_finding_or_to_a_survey_and_an_opening(
    scenario: Scenario,
) -> None:
    for plan in scenario.photographs:
        if plan.finding is None:
            assert plan.picture == "overall", plan.file
        assert plan.survey, plan.file
        assert plan.opening in scenario.openings, plan.file
    for row in scenario.table("photographs"):
        if row["listed"] != "yes":
            assert key_in_name(row["file"]) in scenario.findings, row["file"]


def test_names_of_photographs_tell_their_finding() -> None:
    assert key_in_name("2026/a/2026-014.jpg") == "2026-014"
    assert key_in_name("2026-014 b.heic") == "2026-014"
    assert key_in_name("x/2026-014_anything.jpg") == "2026-014"
    assert key_in_name("2026/IMG_0412.jpg") == ""
    assert key_in_name("2026-0145.jpg") == ""


def test_photographs_are_a_third_and_more_whole_windows_and_show_many_faults(
    scenario: Scenario,
) -> None:
    plans = scenario.photographs
    whole = [plan for plan in plans if plan.picture == "overall"]
    assert 0.33 <= len(whole) / len(plans) <= 0.45
    assert {plan.opening for plan in whole} == set(scenario.openings)
    shown = {plan.finding["kind"] for plan in plans if plan.finding}
    assert shown <= set(SCENES)
    assert len({SCENES[kind] for kind in shown}) >= 12


def test_photographs_are_taken_on_the_day_of_their_survey_at_a_working_hour(
    scenario: Scenario,
) -> None:
    days = {row["survey"]: date.fromisoformat(row["date"]) for row in scenario.table("surveys")}
    for plan in scenario.photographs:
        assert plan.taken.date() == days[plan.survey], plan.file
        assert 8 <= plan.taken.hour <= 17, plan.file
    offsets = [plan.offset for plan in scenario.photographs]
    assert offsets.count("-04:00") > len(offsets) / 2
    assert offsets.count("") >= 1


def test_some_photographs_are_heic_and_some_lie_on_their_side(scenario: Scenario) -> None:
    assert sum(plan.file.endswith(".heic") for plan in scenario.photographs) == 2
    assert {plan.orientation for plan in scenario.photographs} == {1, 6, 8}


# ---- workbooks ------------------------------------------------------------------------------


def test_register_workbook_has_the_sheets_and_headings_of_the_contract(
    scenario: Scenario, tmp_path: Path
) -> None:
    write_register(tmp_path / "register.xlsx", scenario)
    book = load_workbook(tmp_path / "register.xlsx")
    found = {sheet.title: "|".join(cell.value for cell in sheet[1]) for sheet in book}
    assert found == REGISTER_HEADINGS
    assert book["Openings"].max_row == len(scenario.openings) + 1
    assert all(cell.font.bold for cell in book["Openings"][1])
    widths = [book["Panels"].column_dimensions[letter].width for letter in "ABCDEF"]
    assert all(width >= 9 for width in widths)


def test_findings_workbook_holds_dates_numbers_and_only_listed_photographs(
    scenario: Scenario, tmp_path: Path
) -> None:
    write_findings(tmp_path / "findings.xlsx", scenario)
    book = load_workbook(tmp_path / "findings.xlsx")
    found = {sheet.title: "|".join(cell.value for cell in sheet[1]) for sheet in book}
    assert found == FINDINGS_HEADINGS
    assert book["Surveys"]["B2"].value.date() == date(2015, 6, 9)
    assert book["Surveys"]["A2"].value == "2015"
    assert isinstance(book["Findings"]["I2"].value, int)
    listed = sum(plan.listed for plan in scenario.photographs)
    assert book["Photographs"].max_row == listed + 1
    assert listed < len(scenario.photographs)


def test_folder_is_written_whole_and_tells_how_far_it_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def pretend(plan: PhotographPlan, _scenario: Scenario, out: Path) -> Path:
        path = out / plan.file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(b"")
        return path

    monkeypatch.setattr(demo_folder, "save_photograph", pretend)
    told: list[tuple[int, int, str]] = []
    write_visit_folder(tmp_path / "visit", lambda *step: told.append(step))
    written = {p.relative_to(tmp_path / "visit").as_posix() for p in tmp_path.rglob("*.*")}
    assert {"register.xlsx", "findings.xlsx"} <= written
    assert {f"photographs/{plan.file}" for plan in Scenario().photographs} <= written
    assert [step[0] for step in told] == list(range(1, len(told) + 1))
    assert {step[1] for step in told} == {len(told)}


def test_folder_that_holds_something_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(FolderInUseError, match="not an empty folder"):
        write_visit_folder(tmp_path, lambda *_: None)
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


def test_data_files_are_plain_text_without_odd_line_ends(scenario: Scenario) -> None:
    for path in sorted(scenario.folder.iterdir()):
        assert path.suffix in {".csv", ".toml"}
        assert b"\r" not in path.read_bytes()
    with (scenario.folder / "findings.csv").open(newline="", encoding="utf-8") as file:
        widths = {len(row) for row in csv.reader(file)}
    assert len(widths) == 1
