"""Whatever the trade refuses or warns of, there is one sentence for it, and it can be filled in.

The trade's own source is read: every `Refusal("name", fact=...)` and `caution("name", ...)`.
"""

import ast
import string
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

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


def test_each_has_a_sentence_that_its_facts_fill() -> None:
    told, wrong = sentences(), []
    raised = [(where, one) for where, one in calls() if isinstance(one.args[0], ast.Constant)]
    assert len(raised) > 50
    for where, call in raised:
        if why := wrong_with(call, told):
            wrong.append(f"{where}: {why}")
    assert not wrong, "\n".join(wrong)


def wrong_with(call: ast.Call, told: dict[str, str]) -> str:
    """What is wrong with the sentence of a refusal, if anything."""
    assert isinstance(call.args[0], ast.Constant)
    name = str(call.args[0].value)
    if name not in told:
        return f"no sentence for {name}"
    facts = {word.arg for word in call.keywords}
    if None in facts:
        return ""
    needed = {field for _, field, _, _ in string.Formatter().parse(told[name]) if field}
    if not needed <= facts:
        return f"{name} lacks {', '.join(needed - facts)}"
    line = sentence(Refusal(name, **dict.fromkeys((f for f in facts if f), "x")))
    return "" if line.endswith((".", "...")) and "\n" not in line else f"{name}: {line!r}"
