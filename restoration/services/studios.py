"""Opening a studio: its kinds of finding and of action, and a starting rate book to edit."""

import tomllib
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db import transaction

from condition.models import ActionCaution, ActionKind, DangerRow, FindingKind, UsualAction
from condition.models.choices import AmountUnit
from condition.services.class_rules import add_shipped_rules
from restoration.models import LabourRate, Material, Norm, NormMaterial, RateBook
from sites.compute.lengths import parse_length
from sites.documents.vocabulary import caution_codes_known
from sites.models import CameProfile, Caution, Studio

Entry = dict[str, Any]
CAME_LENGTHS = ("leaf_width", "leaf_thickness", "heart_height", "heart_thickness", "stick_length")


@transaction.atomic
def open_studio(name: str, *, currency: str = "", **fields: Any) -> Studio:
    """Return the studio of this name, opened now unless it is there, with its vocabulary.

    currency: three letters (ISO 4217) for the starting rate book; that of the vocabulary
        without it. Its figures are not converted: they are there to be replaced.
    fields: further columns of the studio; a studio that is there keeps its own.
    """
    studio, _ = Studio.objects.get_or_create(name=name.strip(), defaults=fields)
    refresh_vocabulary(studio, currency=currency)
    return studio


@transaction.atomic
def refresh_vocabulary(studio: Studio, *, currency: str = "") -> dict[str, int]:
    """Add what the vocabulary has and the studio has not; what the studio has stays as it is.

    The starting rate book is made for a studio that has no rate book at all. The usual hours
    of kinds added afterwards go into the starting book, if it is still there.
    A studio without any came profile gets those to start from.
    Returns how many kinds of finding and of action, rate books, came profiles and rules of the
    classes were added.
    """
    _add_danger_rows(studio)
    findings = _add_finding_kinds(studio)
    actions = _add_action_kinds(studio)
    codes = {kind.code for kind in findings} | {kind.code for kind in actions}
    _add_usual_actions(studio, codes)
    book_is_new = not studio.rate_books.exists()
    starting = _vocabulary("rate_book")
    if book_is_new:
        started = _start_rate_book(studio, starting, currency)
        _add_norms(started, list(studio.action_kinds.all()))
    elif book := studio.rate_books.filter(name=starting["name"]).first():
        _add_norms(book, actions)
    return {
        "finding_kinds": len(findings),
        "action_kinds": len(actions),
        "rate_books": int(book_is_new),
        "came_profiles": len(_add_came_profiles(studio)),
        "class_rules": len(add_shipped_rules(studio)),
    }


def _add_came_profiles(studio: Studio) -> list[CameProfile]:
    """Give a studio without any profile those to start from."""
    if studio.came_profiles.exists():
        return []
    return CameProfile.objects.bulk_create(
        CameProfile(
            studio=studio, name=entry["name"], section=entry["section"], **_lengths_of(entry)
        )
        for entry in _vocabulary("came_profiles")["profile"]
    )


def _lengths_of(entry: Entry) -> dict[str, Any]:
    columns: dict[str, Any] = {}
    for name in CAME_LENGTHS:
        length = parse_length(entry[name], bare_unit="mm")
        columns |= {f"{name}_typed": length.typed, f"{name}_mm": length.mm}
    return columns


def _vocabulary(name: str) -> Entry:
    path = settings.BASE_DIR / "fixtures" / "vocabulary" / f"{name}.toml"
    with path.open("rb") as file:
        return tomllib.load(file, parse_float=Decimal)


def _add_danger_rows(studio: Studio) -> None:
    """Add the rows of the table by kind that the studio has not."""
    there = set(studio.danger_rows.values_list("code", flat=True))
    DangerRow.objects.bulk_create(
        DangerRow(
            studio=studio, order=place, **{name: entry[name] for name in entry if name != "kinds"}
        )
        for place, entry in enumerate(_vocabulary("danger_rows")["row"], start=1)
        if entry["code"] not in there
    )


def _add_finding_kinds(studio: Studio) -> list[FindingKind]:
    there = set(studio.finding_kinds.values_list("code", flat=True))
    rows = dict(studio.danger_rows.values_list("code", "pk"))
    row_of = {
        kind: rows[entry["code"]]
        for entry in _vocabulary("danger_rows")["row"]
        for kind in entry["kinds"]
    }
    return FindingKind.objects.bulk_create(
        FindingKind(
            studio=studio,
            code=entry["code"],
            group=entry["group"],
            name=entry["name"],
            plain=entry["plain"],
            measure=entry["measure"],
            units=[AmountUnit(unit).value for unit in entry["units"]],
            counted=entry.get("counted", []),
            danger=entry["danger"],
            danger_row_id=row_of.get(entry["code"]),
            danger_when_all=entry.get("danger_when_all", False),
            order=place,
        )
        for place, entry in enumerate(_vocabulary("finding_kinds")["kind"], start=1)
        if entry["code"] not in there
    )


def _add_action_kinds(studio: Studio) -> list[ActionKind]:
    there = set(studio.action_kinds.values_list("code", flat=True))
    made = ActionKind.objects.bulk_create(
        ActionKind(
            studio=studio,
            code=entry["code"],
            name=entry["name"],
            plain=entry["plain"],
            unit=entry["unit"],
            step=entry["step"],
            order=place,
        )
        for place, entry in enumerate(_vocabulary("action_kinds")["kind"], start=1)
        if entry["code"] not in there
    )
    by_code = {kind.code: kind for kind in made}
    Caution.objects.bulk_create(
        (Caution(code=code) for code in sorted(caution_codes_known())), ignore_conflicts=True
    )
    ActionCaution.objects.bulk_create(
        ActionCaution(action_kind=by_code[entry["code"]], caution_id=code)
        for entry in _vocabulary("action_kinds")["kind"]
        if entry["code"] in by_code
        for code in entry["cautions"]
    )
    return made


def _add_usual_actions(studio: Studio, added: set[str]) -> None:
    """Say what is usually done about each kind of finding, where either of the two is new."""
    findings = dict(studio.finding_kinds.values_list("code", "pk"))
    actions = dict(studio.action_kinds.values_list("code", "pk"))
    UsualAction.objects.bulk_create(
        UsualAction(
            finding_kind_id=findings[entry["code"]], action_kind_id=actions[code], order=place
        )
        for entry in _vocabulary("finding_kinds")["kind"]
        for place, code in enumerate(entry["actions"])
        if entry["code"] in findings and code in actions and {entry["code"], code} & added
    )


def _start_rate_book(studio: Studio, starting: Entry, currency: str) -> RateBook:
    percentages = starting["percentages"]
    book = RateBook.objects.create(
        studio=studio,
        name=starting["name"],
        currency=currency or starting["currency"],
        valid_from=starting["dated"],
        overhead=percentages["overhead"],
        profit=percentages["profit"],
        contingency=percentages["contingency"],
        tax_name=starting["tax"]["name"],
        tax=starting["tax"]["percent"],
        payment_shares=[[part["name"], str(part["percent"])] for part in starting["payment"]],
    )
    LabourRate.objects.bulk_create(
        LabourRate(rate_book=book, trade=rate["trade"], hourly=rate["hourly_rate"])
        for rate in starting["labour"]
    )
    Material.objects.bulk_create(
        Material(
            rate_book=book,
            code=entry["code"],
            name=entry["name"],
            unit=entry["unit"],
            price=entry["price"],
            waste=entry["waste_percent"],
        )
        for entry in starting["material"]
    )
    return book


def _add_norms(book: RateBook, kinds: list[ActionKind]) -> None:
    """Give `kinds` their usual hours and materials in `book`; a material it lacks is left out.

    A kind of a trade that it has no rate for gets neither, so that nothing is priced without hours.
    """
    by_code = {kind.code: kind for kind in kinds}
    rates = {rate.trade: rate for rate in book.labour_rates.all()}
    materials = {material.code: material for material in book.materials.all()}
    for entry in _vocabulary("action_kinds")["kind"]:
        kind = by_code.get(entry["code"])
        rate = rates.get(entry["norm"]["trade"])
        if kind is not None and rate is not None:
            _add_norm(rate, kind, entry["norm"], materials)


def _add_norm(
    rate: LabourRate, kind: ActionKind, norm: Entry, materials: dict[str, Material]
) -> None:
    Norm.objects.create(
        rate_book_id=rate.rate_book_id,
        action_kind=kind,
        labour_rate=rate,
        hours_per_unit=norm["hours_per_unit"],
        setup_hours=norm["setup_hours"],
    )
    NormMaterial.objects.bulk_create(
        NormMaterial(
            rate_book_id=rate.rate_book_id,
            action_kind=kind,
            material=materials[use["code"]],
            quantity_per_unit=use["quantity_per_unit"],
        )
        for use in norm["materials"]
        if use["code"] in materials
    )
