"""Whatever the trade refuses or warns of, there is one sentence for it, and it can be filled in.

The trade's own source is read: every `Refusal("name", fact=...)` and `caution("name", ...)`.
"""

import ast
import string
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

import pytest

import crewdesk.trade
from crewdesk.job.sentences import TOPICS, sentence
from crewdesk.trade.refusal import Refusal

TRADE = Path(crewdesk.trade.__file__).parent


def calls() -> Iterator[tuple[str, ast.Call]]:
    for path in sorted(TRADE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
                continue
            if node.func.id in ("Refusal", "caution") and node.args:
                yield f"{path.relative_to(TRADE)}:{node.lineno}", node


def sentences() -> dict[str, str]:
    out: dict[str, str] = {}
    for topic in TOPICS:
        out |= import_module(f"crewdesk.job.sentences.{topic}").SENTENCES
    return out


RAISED = [
    pytest.param(node, id=f"{where}-{node.args[0].value}")
    for where, node in calls()
    if isinstance(node.args[0], ast.Constant)
]


def test_there_are_refusals_to_look_at() -> None:
    assert len(RAISED) > 50


@pytest.mark.parametrize("call", RAISED)
def test_it_has_a_sentence_that_its_facts_fill(call: ast.Call) -> None:
    assert isinstance(call.args[0], ast.Constant)
    name = str(call.args[0].value)
    template = sentences().get(name)
    assert template is not None, f"no sentence for {name}"
    facts = {word.arg for word in call.keywords}
    needed = {field for _, field, _, _ in string.Formatter().parse(template) if field}
    if None not in facts:
        assert needed <= facts
        told = sentence(Refusal(name, **dict.fromkeys((f for f in facts if f), "x")))
        assert told.endswith((".", "..."))
        assert "\n" not in told
