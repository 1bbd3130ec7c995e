"""The table of danger situations is whole: its words, its acts and its expectations can be read."""

import re
import tomllib
from collections import Counter
from pathlib import Path

HERE = Path(__file__).resolve().parent
VOCABULARY = HERE.parents[2] / "fixtures" / "vocabulary" / "finding_kinds.toml"
ADDED_KINDS = {"loose-ventilator", "damaged-electric", "rim-shards"}

ROWS = {
    "plaque": {"loose-item", "item-fixing-failed"},
    "guard": {"loose-guard", "broken-guard"},
    "ventilator": {"loose-ventilator"},
    "loose, slipped or holed glass, shards, came missing": {
        "loose-glass",
        "slipped-glass",
        "holed-glass",
        "missing-glass",
        "rim-shards",
        "missing-came",
        "impact-or-shot-hole",
    },
    "panel": {"broken-tie", "missing-tie", "edge-came-out-of-rebate", "hinged-panel"},
    "bar": {"loose-bar-end", "failed-t-bar"},
    "stone": {"loose-stone-fragment", "corroded-bar-with-stone-damage", "cracked-stone"},
    "frame": {"loose-glazing-bead", "decayed-timber", "corroded-iron-frame"},
    "protective glazing": {"broken-protective-glazing"},
    "electricity": {"damaged-electric"},
    "bent or torn plate": {"bent-item"},
    "own caution": {"suspect-putty", "bird-or-bat-activity"},
}

TRADE = r"(surveyor|glazier|conservator|fixer|mason|engineer|joiner|electrician|laboratory|anyone)"
PLACE = r"(floor|ladder|tower|lift)"
UNDER = r"(people|let in|nobody)"
ANSWERED = rf"(, from the floor)?(, by {TRADE})?(, not knowing of the other)?"
ACTS = {
    "held": r"held, fixed to (bar|frame|stone|lead|fixings|nothing)(, look by day \d+)?",
    "mended on the spot": r"mended on the spot(, cures day \d+)?(, parts carry)?",
    "other measure": r"taken away|covered|kept clear|told|not possible",
    "look": r"holds, seen(, look by day \d+)?|failed, (seen|reported)",
    "answer": rf"falls (now|could|not judged){ANSWERED}",
    "reasoned no": rf"falls no, because \w.*?{ANSWERED}",
    "under": rf"under {UNDER}",
    "end": rf"end (taken away|mended|removed|mistaken|gone) by {TRADE} from {PLACE}"
    r"(, curing until day \d+)?",
    "end taken back": r"ending taken back",
    "no end": r"seen again|not seen again, from the (floor|ladder)|another finding there"
    r"|tick taken off",
    "notice": r"notice issued|area reopened|notice withdrawn",
    "put back": r"put back in place",
}

SIDES = {"inside", "outside", "both", "unknown"}
EXTENTS = {None, "isolated", "grouped", "along one line", "throughout"}
WHO_IS_UNDER = {"people", "let in", "nobody", ""}
FALLS = {"now", "could", "no", "not judged", ""}
LISTED = {"danger", "danger, held", "only people let in", "only people let in, held"}
NOT_LISTED = {"sleeping", "answered no", "ended", "may be lost", "no danger asked"}
REQUIRED = {
    "words",
    "kind",
    "on",
    "side",
    "falls",
    "then",
    "asked",
    "today",
    "page_one",
    "urgency_at_least",
}
OPTIONAL = {
    "extent",
    "failed",
    "of",
    "weight_kg",
    "lower_edge_m",
    "sharp",
    "under",
    "under_inside",
    "under_outside",
    "building_under",
    "no_because",
    "refused",
    "not_answered",
    "look_overdue",
    "shut",
    "why",
}

SITUATIONS = tomllib.loads((HERE / "situations.toml").read_text(encoding="utf-8"))["situation"]


def sorts_of(act: str) -> list[str]:
    """The sorts of act whose grammar fits: none for a slip of the pen."""
    return [sort for sort, grammar in ACTS.items() if re.fullmatch(grammar, act)]


def dated(situation: dict) -> list[tuple[int, str]]:
    """Each act with its day."""
    pairs = [act.split(": ", 1) for act in situation["then"]]
    return [(int(day.removeprefix("day ")), words) for day, words in pairs]


def test_there_are_at_least_120_situations():
    assert len(SITUATIONS) >= 120


def test_no_two_situations_have_the_same_words():
    words = Counter(entry["words"] for entry in SITUATIONS)
    assert [sentence for sentence, times in words.items() if times > 1] == []


def test_each_situation_has_the_fields_it_needs_and_no_others():
    for situation in SITUATIONS:
        sided = {"under"} if situation["side"] in ("inside", "outside") else set()
        sided = sided or {"under_inside", "under_outside"}
        assert REQUIRED | sided <= set(situation) <= REQUIRED | OPTIONAL
        assert {key for key in situation if key.startswith("under")} == sided


def test_each_word_is_one_of_those_allowed():
    for situation in SITUATIONS:
        assert situation["side"] in SIDES
        assert situation.get("extent") in EXTENTS
        assert situation["falls"] in FALLS
        assert situation["today"] in LISTED | NOT_LISTED
        assert situation["urgency_at_least"] in range(4)
        for key in ("under", "under_inside", "under_outside", "building_under"):
            assert situation.get(key, "") in WHO_IS_UNDER
        for key in ("not_answered", "look_overdue", "shut"):
            assert situation.get(key, True) is True, "a mark that does not hold is left out"
        assert "no_because" not in situation or situation["falls"] == "no"


def test_every_act_can_be_read_in_one_way():
    for situation in SITUATIONS:
        for act in situation["then"]:
            assert re.fullmatch(r"day \d+: .+", act)
        for _, act in dated(situation):
            assert len(sorts_of(act)) == 1, act


def test_the_acts_are_in_order_and_before_the_day_it_is_asked():
    for situation in SITUATIONS:
        days = [day for day, _ in dated(situation)]
        assert days == sorted(days)
        assert max(days, default=0) <= situation["asked"]
        assert set(situation.get("refused", [])) <= set(range(1, len(days) + 1))


def test_the_expectations_of_one_situation_agree():
    for situation in SITUATIONS:
        lowest = situation["urgency_at_least"]
        assert (lowest >= 2) == (situation["today"] in LISTED)
        assert lowest < 3 or situation["today"] == "danger"
        assert situation["page_one"].startswith("listed first") == (lowest == 3)
        assert "not listed" in situation["page_one"] or situation["today"] in LISTED
        assert "not_answered" not in situation or situation["today"] in {*LISTED, "sleeping"}
        assert "look_overdue" not in situation or not situation["today"].endswith("held")
        assert ("shut now" in situation["page_one"]) == ("shut" in situation)


def test_every_kind_is_in_the_vocabulary_or_is_one_of_the_added():
    known = {kind["code"] for kind in tomllib.loads(VOCABULARY.read_text())["kind"]}
    assert {entry["kind"] for entry in SITUATIONS} <= known | ADDED_KINDS


def test_every_row_by_kind_is_told_with_every_kind_it_names():
    seen = {entry["kind"] for entry in SITUATIONS}
    assert {row: kinds - seen for row, kinds in ROWS.items() if kinds - seen} == {}


def test_every_answer_is_told_with_every_who_is_under_it():
    pairs = {(entry["falls"], entry.get("under")) for entry in SITUATIONS}
    assert {(falls, under) for falls in FALLS for under in WHO_IS_UNDER} <= pairs


def test_every_sort_of_act_and_every_state_occurs():
    acts = {sort for entry in SITUATIONS for _, act in dated(entry) for sort in sorts_of(act)}
    assert acts == set(ACTS)
    assert {entry["today"] for entry in SITUATIONS} == LISTED | NOT_LISTED
    sides = {entry["side"] for entry in SITUATIONS}
    assert sides == SIDES


def test_every_row_that_can_end_is_told_with_an_end_that_is_refused():
    endings = {
        row
        for row, kinds in ROWS.items()
        for entry in SITUATIONS
        for number in entry.get("refused", [])
        if entry["kind"] in kinds and dated(entry)[number - 1][1].startswith("end ")
    }
    # Whoever dressed a plate may say so, and a caution of its own has nothing to end.
    assert set(ROWS) - endings == {"bent or torn plate", "own caution"}
