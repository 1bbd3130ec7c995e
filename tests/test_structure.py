"""The shape of the code: sizes, layers of templates, and nothing inline that the policy forbids."""

import ast
import functools
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
ROOMS = ("sites", "condition", "restoration")
TOP = re.compile(
    r"README\.md|DEVELOPERS\.md|manage\.py|pyproject\.toml|Makefile|requirements[\w.-]*"
    r"|sites|condition|restoration|templates|static|tests|fixtures|\..*"
)
PYTHON = [
    file
    for room in (*ROOMS, "tests")
    for file in (ROOT / room).rglob("*.py")
    if "migrations" not in file.parts
]
TEMPLATES = list((ROOT / "templates").rglob("*.html"))
STATIC = [file for file in (ROOT / "static").rglob("*") if file.suffix in (".css", ".js")]


def name(file: Path) -> str:
    return str(file.relative_to(ROOT))


def lines(file: Path) -> int:
    return len(file.read_text().splitlines())


@functools.cache
def tree(file: Path) -> ast.Module:
    return ast.parse(file.read_text())


def test_the_top_level_holds_what_was_agreed():
    assert [file.name for file in ROOT.iterdir() if not TOP.fullmatch(file.name)] == []


def test_no_module_is_longer_than_400_lines():
    assert [name(file) for file in PYTHON if lines(file) > 400] == []


def test_no_template_script_or_sheet_is_longer_than_300_lines():
    assert [name(file) for file in (*TEMPLATES, *STATIC) if lines(file) > 300] == []


def test_no_function_is_longer_than_50_lines():
    long = [
        f"{name(file)}: {node.name}"
        for file in PYTHON
        for node in ast.walk(tree(file))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and node.end_lineno - node.lineno >= 50
    ]
    assert long == []


def test_every_module_opens_by_saying_what_it_is_for():
    bare = [name(file) for file in PYTHON if not ast.get_docstring(tree(file))]
    assert [file for file in bare if not file.endswith("migrations/__init__.py")] == []


def test_every_function_of_the_rooms_is_typed():
    untyped = [
        f"{name(file)}: {node.name}"
        for file in PYTHON
        if file.relative_to(ROOT).parts[0] in ROOMS
        for node in ast.walk(tree(file))
        if isinstance(node, ast.FunctionDef)
        and (
            node.returns is None
            or any(
                argument.annotation is None and argument.arg not in ("self", "cls")
                for argument in (*node.args.args, *node.args.kwonlyargs)
            )
        )
    ]
    assert untyped == []


@pytest.mark.parametrize(
    ("what", "pattern"),
    [
        ("an inline style", r"\sstyle="),
        ("an inline style sheet", r"<style"),
        ("an inline script", r"<script(?![^>]*\ssrc=)"),
        ("an inline handler", r"\son[a-z]+="),
        ("an htmx handler that needs eval", r"hx-on|js:"),
        ("an address of another host", r"(src|href)=\"(https?:)?//"),
    ],
)
def test_no_page_holds(what, pattern):
    pages = [file for file in TEMPLATES if "documents" not in file.parts]
    assert [name(file) for file in pages if re.search(pattern, file.read_text())] == []


def test_custom_properties_are_set_in_the_tokens_alone():
    sheets = [
        file
        for file in STATIC
        if file.suffix == ".css" and file.name != "tokens.css" and "documents" not in file.parts
    ]
    colours = re.compile(r"#[0-9a-fA-F]{3,8}\b|rgba?\(|hsla?\(|oklch\(")
    assert [name(file) for file in sheets if colours.search(file.read_text())] == []


def test_no_sheet_shouts_or_names_a_single_element():
    assert [
        name(file)
        for file in STATIC
        if file.suffix == ".css"
        and re.search(r"!important|^\s*#[a-z]", file.read_text(), re.MULTILINE)
    ] == []
