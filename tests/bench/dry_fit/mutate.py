"""Faults drawn at random: one node of a module's syntax tree put another way.

Only lines that a cut list runs through are touched, and none that only refuse something: a
fault anywhere else makes no other board.
"""

import ast
import random
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

FOLDER = "crewdesk/trade/cuts"
SHAPING = (
    "board_end",
    "bottom_cut",
    "ceiling",
    "cleat",
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


class Place(NamedTuple):
    """A node that can be put another way: its file, its place in a walk of the file's tree, its
    line, and which of its ways."""

    file: str
    at: int
    line: int
    way: int


Ways = Callable[[ast.AST], Iterator[ast.AST]]
"""Puts a node another way, once for each way there is."""


def drawn(root: Path, lines: dict[str, set[int]], seed: int, count: int) -> list[Mutant]:
    """That many mutants of the files in `FOLDER`, of the lines that were run, by their file."""
    every = [
        place
        for name in SHAPING
        for place in places(root, f"{FOLDER}/{name}.py", changed, _refusing)
        if place.line in lines.get(place.file, set())
    ]
    chosen = random.Random(seed).sample(every, min(count, len(every)))
    return [mutant(root, place, changed) for place in chosen]


def places(
    root: Path, file: str, ways: Ways, left_out: Callable[[ast.AST], Iterable[ast.AST]]
) -> Iterator[Place]:
    """Every place in a file that can be changed. `left_out` gives the parts of a node that are
    left as they are, with all that is in them."""
    tree = ast.parse((root / file).read_text("utf-8"))
    out = {id(node) for top in ast.walk(tree) for part in left_out(top) for node in ast.walk(part)}
    for at, node in enumerate(ast.walk(tree)):
        line = getattr(node, "lineno", 0)
        if line and id(node) not in out:
            yield from (Place(file, at, line, way) for way, _ in enumerate(ways(node)))


def mutant(root: Path, place: Place, ways: Ways) -> Mutant:
    """The mutant of a file that is changed at a place."""
    tree = ast.parse((root / place.file).read_text("utf-8"))
    node = next(node for at, node in enumerate(ast.walk(tree)) if at == place.at)
    new = ast.copy_location(list(ways(node))[place.way], node)
    was, now = ast.unparse(node), ast.unparse(new)
    made = _Replace(node, new).visit(tree)
    return Mutant(place.file, place.line, was, now, ast.unparse(ast.fix_missing_locations(made)))


def _refusing(node: ast.AST) -> tuple[ast.AST, ...]:
    return (node,) if _refuses(node) else ()


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


def changed(node: ast.AST) -> Iterator[ast.AST]:
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
