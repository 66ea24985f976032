"""Faults drawn at random: one node of a module's syntax tree put another way.

Only lines that a cut list runs through are touched, and none that only refuse something: a
fault anywhere else makes no other board.
"""

import ast
import copy
import random
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

FOLDER = "crewdesk/trade/cuts"
SHAPING = (
    "board_end",
    "bottom_board",
    "bottom_cut",
    "ceiling",
    "cleat",
    "compound",
    "forms",
    "pitch",
    "ridge",
    "section",
    "side_board",
    "skew",
    "sloped_side",
)
"""The modules whose arithmetic makes the figures of boards; others draw, warn or tell how far
a mark can be off."""
_SWAPPED: dict[type[ast.AST], type[ast.AST]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.Lt: ast.Gt,
    ast.Gt: ast.Lt,
    ast.LtE: ast.GtE,
    ast.GtE: ast.LtE,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.And: ast.Or,
    ast.Or: ast.And,
}
_NAMES = {"min": "max", "max": "min", "sin": "cos", "cos": "sin", "rounded_up": "rounded_down"}
_TEXTS = {"A": "B", "B": "A", "low": "high", "high": "low", "in": "out", "out": "in"}


class Mutant(NamedTuple):
    """A file with one node changed: where, what it was, what it is, and the whole text."""

    file: str
    line: int
    was: str
    now: str
    text: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.was}  ->  {self.now}"


def drawn(root: Path, lines: dict[str, set[int]], seed: int, count: int) -> list[Mutant]:
    """That many mutants of the files in `FOLDER`, of the lines that were run, by their file."""
    every = [one for name in SHAPING for one in _mutants(root, root / FOLDER / f"{name}.py", lines)]
    return random.Random(seed).sample(every, min(count, len(every)))


def _mutants(root: Path, path: Path, lines: dict[str, set[int]]) -> Iterator[Mutant]:
    file = path.relative_to(root).as_posix()
    run = lines.get(file, set())
    tree = ast.parse(path.read_text("utf-8"))
    refusing = {id(node) for top in ast.walk(tree) if _refuses(top) for node in ast.walk(top)}
    for at, node in enumerate(ast.walk(tree)):
        if getattr(node, "lineno", 0) not in run or id(node) in refusing:
            continue
        for changed in _changed(node):
            other = copy.deepcopy(tree)
            for place, target in enumerate(ast.walk(other)):
                if place == at:
                    new = ast.copy_location(changed, target)
                    made = _Replace(target, new).visit(other)
                    text = ast.unparse(ast.fix_missing_locations(made))
                    yield Mutant(file, node.lineno, ast.unparse(node), ast.unparse(changed), text)  # type: ignore[attr-defined]
                    break


def _refuses(node: ast.AST) -> bool:
    """Whether a statement only refuses or warns, or is a docstring."""
    if isinstance(node, ast.Raise | ast.Assert | ast.AnnAssign):
        return True
    if isinstance(node, ast.If):
        return all(isinstance(one, ast.Raise) for one in node.body) and not node.orelse
    if isinstance(node, ast.For):
        return all(_refuses(one) for one in node.body)
    if isinstance(node, ast.Call):
        return "caution" in ast.unparse(node.func)
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def _changed(node: ast.AST) -> Iterator[ast.AST]:
    """A node put another way, once for each way there is."""
    if isinstance(node, ast.BinOp) and type(node.op) in _SWAPPED:
        yield ast.BinOp(node.left, _SWAPPED[type(node.op)](), node.right)  # type: ignore[arg-type]
    elif isinstance(node, ast.Compare) and type(node.ops[0]) in _SWAPPED:
        ops = [_SWAPPED[type(node.ops[0])](), *node.ops[1:]]
        yield ast.Compare(node.left, ops, node.comparators)  # type: ignore[arg-type]
    elif isinstance(node, ast.BoolOp):
        yield ast.BoolOp(_SWAPPED[type(node.op)](), node.values)  # type: ignore[arg-type]
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        yield node.operand
    elif isinstance(node, ast.IfExp):
        yield ast.IfExp(node.test, node.orelse, node.body)
    elif isinstance(node, ast.Name) and node.id in _NAMES:
        yield ast.Name(_NAMES[node.id], node.ctx)
    elif isinstance(node, ast.Attribute) and node.attr in _NAMES:
        yield ast.Attribute(node.value, _NAMES[node.attr], node.ctx)
    elif isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value in _TEXTS:
        yield ast.Constant(_TEXTS[node.value])
    elif isinstance(node, ast.Constant) and type(node.value) in (int, float):
        yield ast.Constant(node.value + 1)
    elif isinstance(node, ast.Tuple) and len(node.elts) == 2 and isinstance(node.ctx, ast.Load):
        yield ast.Tuple(node.elts[::-1], node.ctx)


class _Replace(ast.NodeTransformer):
    def __init__(self, old: ast.AST, new: ast.AST) -> None:
        self.old, self.new = old, new

    def visit(self, node: ast.AST) -> ast.AST:
        return self.new if node is self.old else self.generic_visit(node)
