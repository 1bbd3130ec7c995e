"""The table of danger situations read into acts, each asked by the rules and then reckoned with."""

import re
import tomllib
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from condition.compute.danger.acts import ActData, KnownDanger, act_problems
from condition.compute.danger.asking import must_be_asked
from condition.compute.danger.facts import (
    ANYTHING_ELSE,
    Act,
    ActFacts,
    DangerFacts,
    DangerRow,
    EndKind,
    Falls,
    FixedTo,
    MeasureKind,
    TakersEnd,
    Trade,
    Under,
    sides_of,
)
from condition.compute.danger.state import DangerState, state_of

HERE = Path(__file__).resolve().parent
VOCABULARY = HERE.parents[2] / "fixtures" / "vocabulary"
DAY_0 = date(2026, 5, 12)
LIGHT_KG, LOW_M = 0.5, 1.2
LONG_AGO = datetime(2026, 1, 1)


def rows_by_kind() -> dict[str, DangerRow]:
    rows = tomllib.loads((VOCABULARY / "danger_rows.toml").read_text("utf-8"))["row"]
    return {
        kind: DangerRow(
            code=row["code"],
            held_by=frozenset(MeasureKind(each) for each in row["held_by"]),
            holds_on=frozenset(FixedTo(each) for each in row["holds_on"]),
            judges=frozenset(Trade(each) for each in row["judges"]),
            takers_end=TakersEnd(row.get("takers_end", "always")),
            floor_ends=frozenset(EndKind(e) for e in row.get("floor_ends", ["gone", "taken away"])),
            falls=row.get("falls", True),
        )
        for row in rows
        for kind in row["kinds"]
    }


ROWS = rows_by_kind()
KINDS = {
    kind["code"]: kind
    for kind in tomllib.loads((VOCABULARY / "finding_kinds.toml").read_text("utf-8"))["kind"]
}


def day(number: int | str | None) -> date | None:
    return None if number is None else DAY_0 + timedelta(days=int(number))


@dataclass
class Told:
    """One situation as it goes on, act by act."""

    situation: dict[str, Any]
    acts: list[ActFacts] = field(default_factory=list)
    under: dict[str, str] = field(default_factory=dict)
    notices: int = 0
    refused: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        told = self.situation
        for side in sides_of(told["side"]):
            own = told.get("under", told.get(f"under_{side}", ""))
            self.under[side] = own or told.get("building_under", "")
        answer = Falls(told["falls"])
        if answer == Falls.NO and not told.get("no_because"):
            answer = Falls.NOT_ANSWERED
        self._add(act=Act.ANSWER, day=DAY_0, answer=answer, because=told.get("no_because", ""))
        for number, text in enumerate(told["then"], start=1):
            when, _colon, words = text.partition(": ")
            if not self.take(day(when.removeprefix("day ")), words):
                self.refused.append(number)

    @property
    def is_asked(self) -> bool:
        """Whether it is a danger at all: somebody answered, or must."""
        told, kind = self.situation, KINDS[self.situation["kind"]]
        edge = told.get("lower_edge_m")
        return bool(told["falls"]) or must_be_asked(
            told["kind"],
            kind["danger"],
            kind.get("danger_when_all", False),
            None if told.get("failed") is None else Decimal(told["failed"]),
            told.get("of"),
            weight_kg=told.get("weight_kg"),
            lower_edge_mm=None if edge is None else edge * 1000,
        )

    @property
    def row(self) -> DangerRow:
        return ROWS.get(self.situation["kind"], ANYTHING_ELSE)

    @property
    def facts(self) -> DangerFacts:
        return DangerFacts(
            row=self.row,
            under=tuple(Under(each) for each in self.under.values()),
            acts=tuple(self.acts),
            light_and_low=self._is_light_and_low(),
            is_single=self._is_single(),
        )

    def state(self, on: date | None = None) -> DangerState:
        return state_of(self.facts, on or day(self.situation["asked"]))

    def take(self, on: date, words: str) -> bool:
        """Ask the rules about an act and keep it; False where they refuse it."""
        if words.startswith("under "):
            self.under = dict.fromkeys(self.under, words.removeprefix("under "))
            return True
        if words in ("notice issued", "area reopened", "notice withdrawn"):
            self.notices += 1 if words == "notice issued" else -1
            return True
        if words == "put back in place":
            self._add(act=Act.PUT_BACK, day=on)
            return True
        data = self._data(on, words)
        if data is None:
            return True
        known = KnownDanger(
            self.row, self.state(on), DAY_0, on, self.notices > 0, self._is_single()
        )
        if list(act_problems(data, known)):
            return False
        self._keep(data, not_knowing=words.endswith("not knowing of the other"))
        return True

    def _data(self, on: date, words: str) -> ActData | None:
        """The act; None for what is no act about the danger."""
        start = words.split(",")[0]
        common: dict[str, Any] = {"danger": 1, "day": on}
        if start in ("held", "covered", "kept clear", "told", "not possible", "mended on the spot"):
            fixed = (_found(r"fixed to (\w+)", words) or "").replace("nothing", "other")
            return ActData(
                act=Act.MEASURE, measure=start, fixed_to=fixed, cures_on=_day_of("cures", words),
                look_by=_day_of("look by", words), parts_carry="parts carry" in words, **common,
            )  # fmt: skip
        if start == "taken away":
            placed = {"placed": "in the vestry", "holder": "the warden"}
            return ActData(act=Act.MEASURE, measure=start, **placed, **common)
        if start in ("holds", "failed"):
            return ActData(
                act=Act.LOOK, of=self._latest(Act.MEASURE), holds=start == "holds",
                is_reported="reported" in words, look_by=_day_of("look by", words), **common,
            )  # fmt: skip
        if start.startswith("falls "):
            return self._answer(words, common)
        if start.startswith("end "):
            return self._end(words, common)
        if start == "ending taken back":
            end = self.state(on).end
            of = end.key if end else None
            return ActData(act=Act.TAKEN_BACK, of=of, because="it moves again", **common)
        return None

    def _answer(self, words: str, common: dict[str, Any]) -> ActData:
        return ActData(
            act=Act.ANSWER,
            answer=_found(r"falls (now|could|not judged|no)\b", words),
            because=_found(r"because (.*?)(?:, from the floor|, by \w+|, not knowing|$)", words),
            judged_from="floor" if "from the floor" in words else "ladder",
            by_trade=_found(r", by (\w+)", words) or "surveyor",
            **common,
        )

    def _end(self, words: str, common: dict[str, Any]) -> ActData:
        how = _found(r"end (taken away|mended|removed|mistaken|gone) by", words)
        return ActData(
            act=Act.END, end=how, by_trade=_found(r" by (\w+)", words),
            judged_from=_found(r"from (\w+)", words), cures_on=_day_of("curing until", words),
            because="it fell; nobody knows who has it", tried="pulled by hand",
            placed="in the vestry", holder="the warden", **common,
        )  # fmt: skip

    def _keep(self, data: ActData, *, not_knowing: bool) -> None:
        self._add(
            act=Act(data.act),
            day=data.day,
            answer=Falls(data.answer),
            because=data.because or "",
            measure=MeasureKind(data.measure) if data.measure else None,
            fixed_to=FixedTo(data.fixed_to),
            look_by=data.look_by,
            cures_on=data.cures_on,
            parts_carry=data.parts_carry,
            of=data.of,
            holds=data.holds is not False,
            end=EndKind(data.end) if data.end else None,
        )
        if not_knowing:
            self.acts[-1] = replace(self.acts[-1], knew_until=LONG_AGO)

    def _add(self, **values: Any) -> None:
        number = len(self.acts)
        at = datetime.combine(values["day"], datetime.min.time()) + timedelta(seconds=number)
        knew = at if values["act"] == Act.ANSWER else None
        self.acts.append(ActFacts(key=number, at=at, knew_until=knew, **values))

    def _latest(self, act: Act) -> object:
        return next((each.key for each in reversed(self.acts) if each.act == act), None)

    def _is_single(self) -> bool:
        told = self.situation
        return told.get("extent", "isolated") == "isolated" and told.get("failed", 1) <= 1

    def _is_light_and_low(self) -> bool:
        told = self.situation
        weight, edge = told.get("weight_kg"), told.get("lower_edge_m")
        return (
            self.row.code == "plaque"
            and told.get("sharp") is False
            and weight is not None
            and edge is not None
            and weight < LIGHT_KG
            and edge < LOW_M
        )


def _found(pattern: str, words: str) -> str:
    match = re.search(pattern, words)
    return match.group(1) if match else ""


def _day_of(name: str, words: str) -> date | None:
    return day(_found(rf"{name} day (\d+)", words) or None)
