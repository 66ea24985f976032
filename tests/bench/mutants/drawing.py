"""The faults that are drawn: what the dry fit's faults change, and what guards go by."""

import ast
import random
from collections.abc import Iterator

from tests.bench.dry_fit.mutate import Mutant, Place, changed, mutant, places
from tests.bench.mutants.covering import PACKAGES, ROOT

_TYPES = {"Callable", "Iterable", "Iterator", "Literal", "Mapping", "Sequence"}
_TYPES |= {"dict", "frozenset", "list", "set", "tuple", "type"}


def drawn(seed: int, count: int, folder: str = "") -> list[Place]:
    """So many places, drawn over all of the packages, or over one `folder` of crewdesk."""
    folders = (folder,) if folder else PACKAGES
    files = sorted(path for one in folders for path in (ROOT / "crewdesk" / one).rglob("*.py"))
    every = [
        place
        for path in files
        for place in places(ROOT, path.relative_to(ROOT).as_posix(), ways, _left_out)
    ]
    return random.Random(seed).sample(every, min(count, len(every)))


def made(place: Place) -> Mutant:
    """The mutant at a place."""
    return mutant(ROOT, place, ways)


def ways(node: ast.AST) -> Iterator[ast.AST]:
    """A node put another way, once for each way there is: as in the dry fit, and besides `not`
    taken away, `in` turned round, a truth value turned round, a call for its effect left out."""
    yield from changed(node)
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield node.operand
    elif isinstance(node, ast.Compare) and isinstance(node.ops[0], ast.In | ast.NotIn):
        other = ast.NotIn() if isinstance(node.ops[0], ast.In) else ast.In()
        yield ast.Compare(node.left, [other, *node.ops[1:]], node.comparators)
    elif isinstance(node, ast.Constant) and isinstance(node.value, bool):
        yield ast.Constant(not node.value)
    elif isinstance(node, ast.Expr) and isinstance(node.value, ast.Call):
        yield ast.Pass()


def _left_out(node: ast.AST) -> Iterator[ast.AST]:
    """Types, decorators, and the words of a refusal: a change there makes nothing wrong."""
    if isinstance(node, ast.Raise | ast.Assert):
        yield node
    elif isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
        yield from node.decorator_list
        if not isinstance(node, ast.ClassDef) and node.returns is not None:
            yield node.returns
    elif isinstance(node, ast.arg | ast.AnnAssign):
        if node.annotation is not None:
            yield node.annotation
    elif isinstance(node, ast.Subscript) and ast.unparse(node.value) in _TYPES:
        yield node.slice
