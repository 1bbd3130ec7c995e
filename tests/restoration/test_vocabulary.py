"""The vocabulary that ships with the program: whole, consistent, and explained."""

import re
import tomllib
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "vocabulary"

GROUPS = {
    "came",
    "glass",
    "panel",
    "cement",
    "support",
    "surround",
    "ventilator",
    "guard",
    "protective-glazing",
    "attached-item",
    "other",
}
FINDING_UNITS = {"count", "mm", "percent of pieces", "percent of area", "mm out of plane"}
ACTION_UNITS = {"joint", "m", "piece", "m2", "panel", "item", "tie", "bar", "visit"}
LADDER = [
    "monitor",
    "make safe",
    "in place",
    "on the bench",
    "partial releading",
    "full releading",
]
TRADES = {"glazier", "conservator", "mason", "metalworker"}

# The kinds of finding that the trade needs, by group: common practice, no source.
REQUIRED = {
    "came": "fractured-came fatigued-came failed-solder-joint opened-leaf missing-came "
    "earlier-lead-strap-repair",
    "glass": "cracked-glass holed-glass missing-glass loose-glass slipped-glass "
    "narrow-strip-cracked pitting-or-corrosion surface-deposit paint-loss unstable-paint "
    "cold-overpaint impact-or-shot-hole unsuitable-infill failed-glue-line "
    "plated-piece-with-trapped-dirt rim-shards",
    "panel": "bowed-panel sagged-panel racked-panel hinged-panel edge-came-out-of-rebate "
    "panel-set-in-reversed",
    "cement": "perished-cement missing-cement leaking-panel",
    "support": "broken-tie missing-tie corroded-bar corroded-bar-with-stone-damage bent-bar "
    "loose-bar-end missing-bar flat-bar-come-away failed-t-bar",
    "surround": "perished-pointing cracked-stone decayed-timber corroded-iron-frame "
    "loose-glazing-bead sealant-attacking-lead blocked-drain",
    "ventilator": "seized-ventilator leaking-ventilator ventilator-missing-control "
    "loose-ventilator",
    "guard": "loose-guard guard-staining-stone",
    "protective-glazing": "unvented-protective-glazing condensation-protective-glazing "
    "deteriorated-protective-sheet broken-protective-glazing missing-protective-glazing",
    "attached-item": "loose-item item-fixing-failed missing-item bent-item corroded-item "
    "illegible-inscription wrong-inscription",
    "other": "other damaged-electric",
}

# Words that a building committee cannot be expected to know; each one used must be explained.
TRADE_WORDS = """
bar bars bead bench border bow bowed came cames cement cemented clerestory cold-paint
condensation conservator consolidate crate edge-bond edge-bonding fired flux grout guard
heart infill inscription jamb joint joints lancet leaf mullion overhead overpaint panel
panels pitting plaque plaques plated pointed pointing putty quarries quarry racked rebate
releading resin resolder roundel rubbing saddle sealant silicone sill solder soldered
soldering spall springing strap straps tab tabs tarnish tarnishing tie ties tinned tower
tracery transom triforium vent vented ventilator whiting
"""


def read(name: str) -> dict[str, Any]:
    with (FOLDER / f"{name}.toml").open("rb") as file:
        return tomllib.load(file, parse_float=Decimal)


FINDINGS: list[dict[str, Any]] = read("finding_kinds")["kind"]
ACTIONS: list[dict[str, Any]] = read("action_kinds")["kind"]
CAUTIONS: list[dict[str, Any]] = read("cautions")["caution"]
TERMS: list[dict[str, Any]] = read("glossary")["term"]
RATES = read("rate_book")


def codes(rows: list[dict[str, Any]]) -> set[str]:
    return {row["code"] for row in rows}


def explained() -> set[str]:
    """Return every word that some entry of the glossary explains."""
    names = {name.lower() for term in TERMS for name in (term["term"], *term["also"])}
    return names | {word for name in names for word in re.findall(r"[a-z-]+", name)}


def texts() -> Iterator[tuple[str, str]]:
    """Yield each text of the vocabulary that a lay person reads, with where it stands."""
    for kind in (*FINDINGS, *ACTIONS):
        yield f"{kind['code']} name", kind["name"]
        yield f"{kind['code']} plain", kind["plain"]
    for caution in CAUTIONS:
        yield f"{caution['code']} title", caution["title"]
        yield f"{caution['code']} text", caution["text"]
    for term in TERMS:
        yield f"glossary {term['term']}", term["meaning"]


@pytest.mark.parametrize("group", REQUIRED)
def test_every_kind_of_finding_the_trade_needs_is_there(group: str) -> None:
    there = {kind["code"] for kind in FINDINGS if kind["group"] == group}
    assert set(REQUIRED[group].split()) <= there


def test_groups_and_units_of_findings_are_the_known_ones() -> None:
    assert {kind["group"] for kind in FINDINGS} == GROUPS
    for kind in FINDINGS:
        assert kind["units"], kind["code"]
        assert set(kind["units"]) <= FINDING_UNITS, kind["code"]
        assert isinstance(kind["danger"], bool)


@pytest.mark.parametrize("rows", [FINDINGS, ACTIONS, CAUTIONS, RATES["material"]], ids=len)
def test_codes_are_unique_and_are_lower_case_words(rows: list[dict[str, Any]]) -> None:
    found = [row["code"] for row in rows]
    assert len(set(found)) == len(found)
    assert all(re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", code) for code in found)


def test_every_usual_action_exists_and_every_action_is_usual_for_something() -> None:
    usual = {code for kind in FINDINGS for code in kind["actions"]}
    assert usual == codes(ACTIONS)


def test_usual_actions_stand_mildest_first_on_the_repair_ladder() -> None:
    step = {kind["code"]: LADDER.index(kind["step"]) for kind in ACTIONS}
    for kind in FINDINGS:
        rungs = [step[code] for code in kind["actions"]]
        assert rungs, kind["code"]
        assert rungs == sorted(rungs), kind["code"]


def test_every_kind_that_can_drop_something_offers_a_way_to_make_it_safe_or_mend_it() -> None:
    step = {kind["code"]: kind["step"] for kind in ACTIONS}
    dangerous = [kind for kind in FINDINGS if kind["danger"]]
    assert len(dangerous) >= 10
    for kind in dangerous:
        assert {step[code] for code in kind["actions"]} & {"make safe", "in place"}, kind["code"]


def test_actions_have_known_units_steps_trades_and_cautions() -> None:
    for kind in ACTIONS:
        assert kind["unit"] in ACTION_UNITS, kind["code"]
        assert kind["norm"]["trade"] in TRADES, kind["code"]
        assert set(kind["cautions"]) <= codes(CAUTIONS), kind["code"]
    assert {kind["step"] for kind in ACTIONS} == set(LADDER)


def test_every_caution_is_carried_by_some_action() -> None:
    carried = {code for kind in ACTIONS for code in kind["cautions"]}
    assert carried == codes(CAUTIONS)


def test_norms_are_positive_and_use_materials_that_the_rate_book_prices() -> None:
    priced = codes(RATES["material"])
    for kind in ACTIONS:
        norm = kind["norm"]
        assert norm["hours_per_unit"] > 0, kind["code"]
        assert norm["setup_hours"] >= 0, kind["code"]
        for material in norm["materials"]:
            assert material["code"] in priced, kind["code"]
            assert material["quantity_per_unit"] > 0, kind["code"]


def test_solder_never_comes_without_the_caution_for_lead_and_for_hot_work() -> None:
    for kind in ACTIONS:
        used = {material["code"] for material in kind["norm"]["materials"]}
        if "solder-60-40" in used:
            assert {"lead", "hot-work"} <= set(kind["cautions"]), kind["code"]


def test_silicone_never_comes_without_its_caution() -> None:
    for kind in ACTIONS:
        used = {material["code"] for material in kind["norm"]["materials"]}
        if "silicone-neutral-clear" in used:
            assert "silicone-neutral-cure" in kind["cautions"], kind["code"]


# What can hurt people by its nature: common practice, no source.
CAN_HURT = """
hinged-panel loose-bar-end cracked-stone holed-glass missing-glass broken-guard bent-item
decayed-timber loose-ventilator damaged-electric rim-shards
"""


@pytest.mark.parametrize("code", CAN_HURT.split())
def test_of_what_can_hurt_people_it_is_asked(code: str) -> None:
    assert next(kind for kind in FINDINGS if kind["code"] == code)["danger"]


@pytest.mark.parametrize("code", ["broken-tie", "missing-tie"])
def test_of_ties_it_is_asked_where_all_of_them_are_gone(code: str) -> None:
    kind = next(kind for kind in FINDINGS if kind["code"] == code)
    assert (kind["danger"], kind["danger_when_all"]) == (False, True)


def test_electricity_is_never_the_glaziers_to_end() -> None:
    kind = next(kind for kind in FINDINGS if kind["code"] == "damaged-electric")
    assert kind["actions"] == ["have-electrician-make-safe"]


def test_a_kind_that_is_counted_says_what_one_and_several_of_it_are() -> None:
    for kind in FINDINGS:
        assert ("count" in kind["units"]) == (len(kind.get("counted", ())) == 2), kind["code"]


def test_a_loose_plaque_gets_two_independent_fixings_or_straps() -> None:
    loose = next(kind for kind in FINDINGS if kind["code"] == "loose-item")
    assert {"refix-plaque-two-fixings", "strap-plaque-to-bar"} <= set(loose["actions"])
    refix = next(kind for kind in ACTIONS if kind["code"] == "refix-plaque-two-fixings")
    used = {material["code"] for material in refix["norm"]["materials"]}
    assert {"copper-tab", "solder-60-40", "silicone-neutral-clear"} <= used


def test_no_text_of_the_vocabulary_is_empty_or_cut_short() -> None:
    for where, text in texts():
        assert len(text.strip()) >= 3, where
        if not where.endswith(("name", "title")):
            assert text.rstrip().endswith("."), where
    for kind in FINDINGS:
        assert kind["measure"].strip(), kind["code"]
        assert len(kind["measure"]) <= 240, kind["code"]


def test_plain_words_are_one_sentence() -> None:
    for kind in (*FINDINGS, *ACTIONS):
        assert not re.search(r"[.!?] ", kind["plain"]), kind["code"]


def test_every_trade_word_that_is_used_is_in_the_glossary() -> None:
    known, hard_words = explained(), set(TRADE_WORDS.split())
    missing = {
        (word, where)
        for where, text in texts()
        for word in re.findall(r"[a-z]+(?:-[a-z]+)*", text.lower())
        if word in hard_words and word not in known
    }
    assert not missing


def test_glossary_explains_each_term_once() -> None:
    names = [name.lower() for term in TERMS for name in (term["term"], *term["also"])]
    assert len(set(names)) == len(names)
    assert len(TERMS) >= 80


def test_cautions_name_a_source_and_say_who_decides() -> None:
    for caution in CAUTIONS:
        assert caution["source"].strip(), caution["code"]
        assert re.search(
            r"decide|law|authority|leave|rules|sheet gives|no acid", caution["text"].lower()
        ), caution["code"]


@pytest.mark.published("29 CFR 1926.62(b), (c)(1): action level 30, limit 50 µg/m³ over 8 hours")
@pytest.mark.published("40 CFR 745.83: minor work up to 6 ft² a room inside, 20 ft² outside")
def test_caution_for_lead_carries_the_published_limits() -> None:
    lead = next(caution for caution in CAUTIONS if caution["code"] == "lead")
    for figure in ("50 µg/m³", "30 µg/m³", "6 ft²", "20 ft²"):
        assert figure in lead["text"]
    assert "1926.62" in lead["source"]
    assert "745.83" in lead["source"]


@pytest.mark.published("29 CFR 1910.252(a)(2)(iii): fire watch at least 30 minutes, 35 ft")
@pytest.mark.published("29 CFR 1926.501(b)(1): fall protection in construction from 6 ft")
def test_cautions_for_fire_and_falls_carry_the_published_figures() -> None:
    text = {caution["code"]: caution["text"] for caution in CAUTIONS}
    assert "30 minutes" in text["hot-work"]
    assert "35 ft" in text["hot-work"]
    assert "6 ft" in text["work-at-height"]


@pytest.mark.published(
    "29 CFR 1926.1053(b)(1): side rails 3 ft (0.9 m) above the landing; from memory"
)
@pytest.mark.published("29 CFR 1926.1053(b)(5): foot at a quarter of the working length")
def test_caution_for_ladders_carries_the_published_figures() -> None:
    text = next(row["text"] for row in CAUTIONS if row["code"] == "work-at-height")
    assert "3 ft (0.9 m)" in text
    assert "a quarter of its working length" in text


def test_refixing_a_bar_end_carries_the_cautions_of_cutting_into_the_wall() -> None:
    kind = next(row for row in ACTIONS if row["code"] == "refix-bar-end")
    assert {"work-at-height", "lead"} <= set(kind["cautions"])


def test_rate_book_has_a_rate_for_every_trade_and_says_that_it_is_invented() -> None:
    assert {rate["trade"] for rate in RATES["labour"]} == TRADES
    assert all(rate["hourly_rate"] > 0 for rate in RATES["labour"])
    assert "STUDIO DEFAULT" in (FOLDER / "rate_book.toml").read_text(encoding="utf-8")


def test_rate_book_percentages_are_possible_and_payments_make_the_whole() -> None:
    assert sum(stage["percent"] for stage in RATES["payment"]) == 100
    percents = [
        *RATES["percentages"].values(),
        RATES["tax"]["percent"],
        *(material["waste_percent"] for material in RATES["material"]),
    ]
    assert all(0 <= percent <= 100 for percent in percents)
