"""Visit folders for tests: workbooks from plain tables, photographs from a few bytes.

Every building, person and window here is invented.
"""

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import openpyxl
import pytest
from django.apps import apps

from condition.compute.recording.facts import KnownKind
from restoration.compute.visit_folder.folder import list_folder
from restoration.compute.visit_folder.known import Known, Vocabulary
from restoration.compute.visit_folder.plan import make_plan
from restoration.compute.visit_folder.reading import read_rows
from restoration.compute.visit_folder.workbooks import read_workbook
from restoration.services.visit_folder.bringing_in import BroughtIn, bring_in
from restoration.services.visit_folder.checking import FolderProblemsError
from sites.models import Studio, User
from tests.condition.pictures import heic, jpeg, orientation_exif, quarters, rgb_png, taken_exif
from tests.factories import MembershipFactory

Table = Sequence[Sequence[object]]
Book = Mapping[str, Table]


def write_workbook(path: Path, sheets: Book) -> Path:
    """Write a workbook of one sheet a table; the first row of each is its heading."""
    workbook = openpyxl.Workbook()
    workbook.remove(workbook.active)
    for name, rows in sheets.items():
        sheet = workbook.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
    path.parent.mkdir(parents=True, exist_ok=True)
    workbook.save(path)
    return path


def write_folder(
    root: Path, register: Book, findings: Book, photographs: Mapping[str, bytes]
) -> Path:
    write_workbook(root / "register.xlsx", register)
    write_workbook(root / "findings.xlsx", findings)
    for name, data in photographs.items():
        path = root / "photographs" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return root


def picture(number: int, size: tuple[int, int] = (240, 160)) -> bytes:
    """Return a JPEG that no other number gives."""
    shade = (number * 37 % 256, number * 91 % 256, number * 53 % 256)
    return jpeg(quarters((shade, (20, 40, number % 256), (200, 180, 40), (90, 90, 90)), size=size))


SMALL_REGISTER: Book = {
    "Building": [
        ["name", "place", "currency", "time zone"],
        ["St Wenfric", "Marlow Fen", "USD", "America/New_York"],
    ],
    "Openings": [
        ["number", "title", "width", "height", "lights", "rows", "made", "under inside"],
        ["I", "The Sower", '34 3/8"', "2' 10 3/8\"", 2, 2, "c. 1931", ""],
        ["nII", "The Lamp", "873", "1524 mm", 1, 3, 1908, ""],
        ["sII", "", "", "", "", "", "", ""],
    ],
    "Attached items": [
        ["opening", "number", "panel", "kind", "material", "width", "inscription", "installed"],
        ["nII", "P1", "2a", "plaque", "brass", "150 mm", "IN MEMORY\nOF A FRIEND", "1931"],
    ],
    "Fixings": [
        ["opening", "item", "kind", "count", "state", "holds on to", "host state"],
        ["nII", "P1", "soldered tab", 3, "failed", "lead", "sound"],
        ["nII", "P1", "soldered tab", 1, "sound", "lead", "sound"],
    ],
}

SMALL_FINDINGS: Book = {
    "Surveys": [
        ["survey", "date", "surveyors"],
        ["2015", dt.date(2015, 6, 1), "A. Verrier"],
        ["2026", "2026-05-04", "A. Verrier, B. Glass"],
    ],
    "Findings": [
        ["finding", "survey", "opening", "panel", "item", "kind", "amount", "unit", "of",
         "can it come down", "because", "from", "measure", "urgency class", "continues"],
        ["2015-003", 2015, "I", "1a", "", "failed-solder-joint", 4, "count", 30, "", "", "", "", 1,
         ""],
        ["2026-001", 2026, "I", "1a", "", "failed solder joint", 9, "count", 30, "no",
         "pushed, firm", "ladder", "", 2, "2015-003"],
        ["2026-002", 2026, "nII", "2a", "P1", "item-fixing-failed", 3, "count", 4, "now", "", "",
         "told", 3, ""],
    ],
    "Looked at": [
        ["survey", "opening", "side", "outcome", "from", "reason"],
        [2026, "sII", "inside", "nothing found", "ladder", ""],
        [2026, "sII", "outside", "not inspected", "floor", "behind the yew"],
    ],
    "Photographs": [
        ["file", "finding", "survey", "opening", "caption"],
        ["porch.jpg", "", 2026, "sII", "from the porch"],
        ["tab.jpg", "2026-002", "", "", "the lower tab"],
    ],
    "Actions": [
        ["finding", "kind", "quantity", "option", "phase", "scope"],
        ["2026-001", "resolder-joint-in-place", 9, "advised", 1, "Both faces."],
        ["2026-002", "refix-plaque-two-fixings", 1, "must", 1, "On new copper tabs."],
    ],
    "Shared costs": [
        ["kind", "description", "amount", "phase"],
        ["access", "Tower in the chancel", 640.5, 2],
        ["Making safe", "Board over the opening", 90, ""],
    ],
}  # fmt: skip

SMALL_PHOTOGRAPHS = {
    "porch.jpg": picture(1),
    "tab.jpg": picture(2),
    "2026-001 a.jpg": picture(3),
    "nave/2026-001_detail.JPG": picture(4),
}


def small_folder(root: Path, **changes: object) -> Path:
    """A folder of three windows in which nothing is wrong.

    changes: `register`, `findings` and `photographs` to use in place of the usual ones.
    """
    usual = {
        "register": SMALL_REGISTER,
        "findings": SMALL_FINDINGS,
        "photographs": SMALL_PHOTOGRAPHS,
    }
    return write_folder(root, **(usual | changes))


def changed(book: Book, sheet: str, row: int, column: str, value: object) -> Book:
    """Return a workbook with one cell changed; `row` counts as the spreadsheet does, from 1."""
    rows = [list(each) for each in book[sheet]]
    rows[row - 1][list(book[sheet][0]).index(column)] = value
    return {**book, sheet: rows}


CHAPEL_REGISTER: Book = {
    "BUILDING": [
        ["Time zone", "Currency", "Place", "Name", "Country", "Kind", "Language", "Units",
         "Paper", "Dedication"],
        ["europe/paris", "eur", "Val-d’Érinte", "Chapelle Sainte-Éloline", "fr", "Chapel",
         "fr", "Metric", "a4", "Éloline de l’Étang"],
    ],
    "openings": [
        [" Rows ", "NUMBER", "Lights", "Head", "Sill_Height", "Height", "Width", "Title",
         "Wall", "Made", "Under inside", "Older-Numbers", "Access"],
        [],
        [4, "I", 3, "Two-Centred", "2,4 m", "312 cm", "1,86 m", "L’Arbre et la Source",
         "East", "1890s", "Nobody", "Baie 0: relevé de 1974; A: carnet du curé", ""],
        [3, "nII", 2, "two centred", "2,4 m", 2600, 1240, "Le Moissonneur", "north",
         "12 May 1931", "People", "", ""],
        [None, "w1", None, "Roundel", None, "90 cm", "90 cm", "Rose des Vents",
         "tribune de l’orgue", None, None, None, "échelle de la tribune"],
    ],
    "people": [
        ["role", "name", "phone"],
        ["trésorière", "Maëlle Fontcouverte", 33555010203],
    ],
}  # fmt: skip

CHAPEL_FINDINGS: Book = {
    "Surveys": [
        ["Survey", "Surveyors", "Date", "Purpose", "Limits"],
        ["V1", "Zoé Ferrand", dt.datetime(2026, 5, 20, 9, 30), "Après l’orage",
         "Rien vu de l’extérieur."],
    ],
    "Findings": [
        ["Kind", "Finding", "Survey", "Opening", "Panel", "Amount", "Unit", "Note",
         "Can it come down", "Condition class", "Urgency class", "Extent"],
        ["Bowed_Panel", "V1-01", "V1", "I", "2b", 41.5, "mm out of plane",
         "Ventre vers l’intérieur", "Could", 3, 3, "Isolated"],
        ["cracked glass", "V1-02", "V1", "nII", "3a", 12.5, "percent of pieces", "", None, 2,
         1, "along one line"],
        ["broken tie", "V1-03", "V1", "nII", None, 5, "Count", "", None, 1, 1,
         "grouped"],
    ],
    "looked at": [
        ["Outcome", "Survey", "Opening", "From", "Reason"],
        ["Not inspected", "V1", "w1", "Floor", "l’échelle était prise"],
    ],
    "photographs": [
        ["Caption", "File", "Finding", "Opening", "Survey"],
        ["La rose", "Façade\\rose.png", "", "w1", "V1"],
        ["Le ventre", "photographs/ventre.heic", "V1-01", "", ""],
    ],
    "actions": [
        ["Kind", "Finding", "Quantity", "Option", "Phase", "Difficulty", "Lump sum",
         "Lump sum reason"],
        ["tape and support panel", "V1-01", 1, "Must", 1, 1.5, None, None],
        ["replace tie", "V1-03", 5, "If funds allow", 2, None, None, None],
        ["edge bond on bench", "V1-02", None, "advised", 2, None, 480.5,
         "Verre peint, au prix de l’atelier"],
    ],
}  # fmt: skip


def chapel_folder(root: Path) -> Path:
    """A folder of another shape: metric, French, no plaques and no sheet of panels.

    Headings stand in another order and spelling, photographs are HEIC, PNG and turned by the
    camera, and the operating systems it passed through have left their files.
    """
    write_workbook(root / "Register chapelle.xlsx", CHAPEL_REGISTER)
    write_workbook(root / "FINDINGS mai 2026.xlsx", CHAPEL_FINDINGS)
    upright = quarters(size=(400, 300))
    photographs = {
        "ventre.heic": heic(upright, exif=orientation_exif(6)),
        "Façade/rose.png": rgb_png(picture=quarters(((9, 9, 200),) * 4, size=(300, 200))),
        "V1-02 a.JPG": jpeg(upright, exif=orientation_exif(8)),
        "V1-03_attache.jpeg": jpeg(
            quarters(size=(320, 200)), exif=taken_exif(b"2026:05:20 10:05:00", b"+02:00")
        ),
    }
    for name, data in photographs.items():
        path = root / "Photographs" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    for name in (".DS_Store", "~$Register chapelle.xlsx", "Photographs/Thumbs.db",
                 "Photographs/._ventre.heic", "__MACOSX/x.jpg"):  # fmt: skip
        (root / name).parent.mkdir(exist_ok=True)
        (root / name).write_bytes(b"left behind")
    return root


def ten_mistakes_folder(root: Path) -> Path:
    """The small folder with ten things wrong in it, one of each sort."""
    register = changed(SMALL_REGISTER, "Openings", 3, "width", "3 cubits")
    register = changed(register, "Building", 2, "time zone", "New York")
    register = changed(register, "Fixings", 3, "item", "P7")
    findings = changed(SMALL_FINDINGS, "Findings", 3, "kind", "failed-solder-joynt")
    findings = changed(findings, "Findings", 3, "amount", 31)
    findings = changed(findings, "Findings", 4, "urgency class", 4)
    findings = changed(findings, "Looked at", 3, "reason", "")
    findings = changed(findings, "Surveys", 2, "date", "31/02/2015")
    findings = changed(findings, "Photographs", 3, "file", "tabs.jpg")
    findings = changed(findings, "Actions", 3, "quantity", -1)
    photographs = dict(SMALL_PHOTOGRAPHS)
    photographs["2026-002 lower tab.jpg"] = photographs.pop("tab.jpg")
    return write_folder(root, register, findings, photographs)


VOCABULARY = Vocabulary(
    {
        "failed-solder-joint": KnownKind("failed-solder-joint", ("count",)),
        "item-fixing-failed": KnownKind("item-fixing-failed", ("count",), danger=True),
        "surface-deposit": KnownKind("surface-deposit", ("percent of area", "mm")),
        "other": KnownKind("other"),
    },
    {"resolder-joint-in-place": "joint", "refix-plaque-two-fixings": "item"},
)
TODAY = dt.date(2026, 6, 1)


def problems_in(root: Path, known: Known = Known()) -> list[str]:  # noqa: B008 (frozen)
    """Return the problems of a folder taken by itself, photographs unopened."""
    files = list_folder(root)
    read = {kind: read_workbook(file.path, file.name) for kind, file in files.workbooks.items()}
    rows, wrong = read_rows(read)
    _, more = make_plan(files, rows, wrong, known, VOCABULARY, TODAY)
    return [str(problem) for problem in sorted({*files.problems, *wrong, *more})]


def quietly(studio: Studio, user: User) -> Callable[..., BroughtIn]:
    """Return a function that takes a folder in without telling how far it is.

    The user is made an owner of the whole studio, as the command asks for.
    """
    MembershipFactory(studio=studio, user=user, building=None, role="owner")

    def take_in(root: Path, *, check_only: bool = False) -> BroughtIn:
        return bring_in(root, studio, user, lambda line: None, check_only=check_only)

    return take_in


def problems_of(take_in: Callable[[Path], object], root: Path) -> list[str]:
    """Return the problems for which a folder is not taken in."""
    with pytest.raises(FolderProblemsError) as caught:
        take_in(root)
    return [str(problem) for problem in caught.value.problems]


def state_of_everything(files: Path) -> dict[str, object]:
    """Return how many rows each table has, and every stored file's bytes."""
    counts = {model._meta.label: model._default_manager.count() for model in apps.get_models()}
    stored = {str(path): path.read_bytes() for path in files.rglob("*") if path.is_file()}
    return counts | stored
