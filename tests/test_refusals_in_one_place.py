"""No form, view or importer refuses a record in words of its own: the rules of records have them.

The words of a refusal stand in `compute/`, once for every path that records; a form shows them at
its boxes and the import of a folder at its cells.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
FOLDERS = (
    "sites/forms",
    "sites/views",
    "condition/forms",
    "condition/views",
    "restoration/forms",
    "restoration/views",
    "restoration/compute/visit_folder",
    "restoration/services/visit_folder",
)
REFUSING = {"ValidationError", "add_error", "Problem", "CellError", "problem"}
FEWEST_WORDS = 3

# What is no rule of a record, file by file: a name of a function, or "" for all of the file.
READS_WHAT_IS_TYPED = {
    "restoration/compute/visit_folder/cells.py": "",
    "sites/forms/drawing.py": "clean_corners",
    # A spreadsheet keeps 35 % as 0.35.
    "restoration/compute/visit_folder/check_findings.py": "_percent_cell",
    # What is out of its usual range is asked about, and confirmed in the column "sure".
    "restoration/compute/visit_folder/check_plausible.py": "_questions",
}
STRUCTURE_OF_A_FOLDER = {
    "restoration/compute/visit_folder/folder.py": "",
    "restoration/compute/visit_folder/workbooks.py": "",
    "restoration/compute/visit_folder/reading.py": "",
    "restoration/services/visit_folder/workbook_reading.py": "_stopped",
    # Which file, survey or finding a name in a row means: "Did you mean ...?"
    "restoration/compute/visit_folder/photograph_places.py": "",
    "restoration/services/visit_folder/pictures.py": "look_at_all",
    "restoration/compute/visit_folder/tables.py": "_match_headings _without_heading",
    # Which row of the folder another row means, and which row it repeats.
    "restoration/compute/visit_folder/subjects.py": "",
    "restoration/compute/visit_folder/check_register.py": "twice",
    # Which building, survey and rate book a folder is about.
    "restoration/services/visit_folder/checking.py": "",
    # Both values are named, and a person decides.
    "restoration/services/visit_folder/agreement.py": "_at_odds",
    "restoration/services/visit_folder/register_merge.py": "_fixings_differ",
}
CHOICES_OF_A_PAGE = {
    "sites/forms/base.py": "_tell_what_changed_meanwhile",
    "sites/views/drawing_editor.py": "try_to_save",
    "restoration/forms/from_findings.py": "clean _chosen",
}
# What one page alone records: its words stand once as they are.
RECORDED_BY_ONE_FORM = {
    "sites/forms/came.py": "clean_cuts",
    "sites/forms/figures.py": "clean_value",
    "sites/views/plan.py": "",
    # A plan on a page has no ends of walls to give: it is drawn from directions and lengths.
    "restoration/compute/visit_folder/check_register.py": "_walls_without_length",
    "condition/forms/areas.py": "clean_name",
    "condition/forms/danger_rows.py": "clean",
    "condition/forms/notices.py": "to_python",
    "condition/forms/supports.py": "clean _check_unit",
    "condition/forms/class_rules.py": "",
    "condition/forms/scales.py": "",
    "restoration/forms/rate_books.py": "",
    "restoration/forms/rates.py": "",
    "restoration/forms/quotes.py": "clean",
}
# Surveys have no service of their own yet: their day is looked at by the form and by the folder.
SURVEYS = {
    "condition/forms/surveys.py": "clean_day _check_before_and_after",
}
FOLDER_ALONE = {
    # Names that are not known, beside the rules; a survey's day.
    "restoration/compute/visit_folder/check_findings.py": (
        "_check_names _check_action _check_shared_costs _check_survey"
    ),
}
ALLOWED = (
    READS_WHAT_IS_TYPED,
    STRUCTURE_OF_A_FOLDER,
    CHOICES_OF_A_PAGE,
    RECORDED_BY_ONE_FORM,
    SURVEYS,
    FOLDER_ALONE,
)

Place = tuple[str, str]


def test_no_form_view_or_importer_refuses_in_words_of_its_own():
    assert [place for place in refusals() if not is_allowed(place)] == []


def test_nothing_is_allowed_that_is_not_there_any_more():
    found = refusals()
    listed = [
        (file, function)
        for allowed in ALLOWED
        for file, functions in allowed.items()
        for function in functions.split() or [""]
    ]
    gone = [
        (file, function)
        for file, function in listed
        if not any(file == there and function in ("", name) for there, name in found)
    ]
    assert gone == []


def test_words_are_found_however_they_are_put_together():
    source = '''
WORDS = "That cannot be here."
def plain(form): form.add_error("x", "It is too wide.")
def translated(): raise ValidationError(_("It is %s too wide.") % 3)
def put_by(row):
    what = f"{row} is far too wide."
    yield row.at.problem("width", what)
def named(form): form.add_error("x", WORDS)
def shown(form, problem): form.add_error(problem.field, problem.message)
def silent(form):
    """It only says this here."""
    form.add_error("x", TOO_WIDE)
'''
    assert list(functions_with_words(source)) == ["plain", "translated", "put_by", "named"]


def is_allowed(place: Place) -> bool:
    file, function = place
    lists = [allowed[file] for allowed in ALLOWED if file in allowed]
    return any(not names or function in names.split() for names in lists)


def refusals() -> list[Place]:
    """Return the functions that refuse something with words that stand in them."""
    return [
        (str(file.relative_to(ROOT)), function)
        for folder in FOLDERS
        for file in sorted((ROOT / folder).rglob("*.py"))
        for function in functions_with_words(file.read_text())
    ]


def functions_with_words(source: str) -> Iterator[str]:
    tree = ast.parse(source)
    constants = {
        target.id
        for node in tree.body
        if isinstance(node, ast.Assign) and has_words(node.value)
        for target in node.targets
        if isinstance(target, ast.Name)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and refuses(node):
            body = node.body[1:] if ast.get_docstring(node) else node.body
            names = {each.id for part in body for each in ast.walk(part) if is_name(each)}
            if names & constants or any(has_words(part) for part in body):
                yield node.name


def is_name(node: ast.AST) -> bool:
    return isinstance(node, ast.Name)


def refuses(function: ast.FunctionDef) -> bool:
    calls = [node.func for node in ast.walk(function) if isinstance(node, ast.Call)]
    return any(getattr(call, "id", getattr(call, "attr", "")) in REFUSING for call in calls)


def has_words(node: ast.AST) -> bool:
    """Whether a sentence, or a part of one, stands in the code."""
    return any(
        isinstance(each, ast.Constant)
        and isinstance(each.value, str)
        and len(each.value.split()) >= FEWEST_WORDS
        for each in ast.walk(node)
    )
