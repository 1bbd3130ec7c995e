"""Defects drawn by a seed over the lines of the services and the computation."""

import ast
import copy
import random
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from tests.mutants.planting import ROOT, Defect

ROOMS: Final = ("sites", "condition", "restoration")
FOLDERS: Final = ("compute", "services")
OTHERWISE: Final[dict[type[ast.AST], type[ast.AST]]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq, ast.NotEq: ast.Eq, ast.In: ast.NotIn, ast.NotIn: ast.In,
    ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.And: ast.Or, ast.Or: ast.And,
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
}  # fmt: skip


def draw(number: int, seed: int) -> Iterator[Defect]:
    """Yield `number` defects, the same for the same seed and the same sources."""
    chance = random.Random(seed)
    files = sorted(
        file
        for room in ROOMS
        for folder in FOLDERS
        for file in (ROOT / room / folder).rglob("*.py")
    )
    while number > 0:
        file = chance.choice(files)
        source = file.read_text()
        chances = list(changes(source))
        if not chances:
            continue
        node, changed, within = chance.choice(chances)
        defect = _defect(file, source, node, changed, within)
        if defect is not None:
            number -= 1
            yield defect


def changes(source: str) -> Iterator[tuple[ast.AST, ast.AST, str]]:
    """Yield each expression that can be turned, as it would be, and the function it stands in."""
    tree = ast.parse(source)
    for function in ast.walk(tree):
        if not isinstance(function, ast.FunctionDef):
            continue
        for node in ast.walk(function):
            turned = _turned(node)
            if turned is not None:
                yield node, turned, function.name


def _turned(node: ast.AST) -> ast.AST | None:
    changed = copy.deepcopy(node)
    match changed:
        case ast.Compare(ops=[op]) if type(op) in OTHERWISE:
            changed.ops = [OTHERWISE[type(op)]()]  # type: ignore[list-item]
        case ast.BoolOp(op=op) | ast.BinOp(op=op) if type(op) in OTHERWISE:
            changed.op = OTHERWISE[type(op)]()  # type: ignore[assignment]
        case ast.UnaryOp(op=ast.Not(), operand=operand):
            changed = operand
        case ast.Constant(value=bool() as value):
            changed.value = not value
        case ast.Constant(value=int() as value):
            changed.value = value + 1
        case _:
            return None
    return changed


def _defect(file: Path, source: str, node: ast.AST, changed: ast.AST, within: str) -> Defect | None:
    """The change as whole lines, which stand in the file once; None where they do not."""
    segment = ast.get_source_segment(source, node)
    first, last = node.lineno - 1, node.end_lineno  # type: ignore[attr-defined]
    lines = source.splitlines(keepends=True)
    before = "".join(lines[first:last])
    if segment is None or source.count(before) != 1 or before.count(segment) != 1:
        return None
    after = before.replace(segment, f"({ast.unparse(changed)})")
    name = file.relative_to(ROOT).as_posix()
    what = f"line {node.lineno} in {within}: {segment} -> {ast.unparse(changed)}"  # type: ignore[attr-defined]
    return Defect(" ".join(what.split()), name, before, after, _tests_of(name, within))


def _tests_of(name: str, within: str) -> tuple[str, ...]:
    """The tests that name the module or the function come first, then the room's and the rest."""
    module = name.removesuffix(".py").replace("/", ".")
    named = subprocess.run(
        ["git", "grep", "-lE", rf"{module}\b|\b{within}\b", "--", "tests/**/test_*.py"],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    room = name.partition("/")[0]
    near = [file for file in named.stdout.split() if "/browser/" not in file]
    return (*near, f"tests/{room}", *(f"tests/{other}" for other in ROOMS if other != room))
