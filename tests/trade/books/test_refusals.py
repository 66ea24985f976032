"""Every refusal of the books has its sentence, and every sentence its refusal."""

import ast
import subprocess
import sys
from pathlib import Path
from string import Formatter

import crewdesk.trade.books
from crewdesk.job.sentences.books import SENTENCES

_FOLDER = Path(crewdesk.trade.books.__file__).parent


def _refusals():
    """(name, names of its facts) of every Refusal that is made in the books."""
    for path in sorted(_FOLDER.glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Refusal":
                assert isinstance(node.args[0], ast.Constant), f"{path.name}:{node.lineno}"
                yield node.args[0].value, {keyword.arg for keyword in node.keywords}


def test_refusals_and_sentences_are_the_same_set():
    assert {name for name, _ in _refusals()} == set(SENTENCES)


def test_every_refusal_brings_the_facts_of_its_sentence():
    for name, facts in _refusals():
        wanted = {field for _, field, _, _ in Formatter().parse(SENTENCES[name]) if field}
        assert wanted <= facts, name


def test_dateutil_is_loaded_only_for_a_day_that_needs_it():
    code = """
import sys
from datetime import UTC, datetime
from crewdesk.trade.books.read_time import read_time
now = datetime(2026, 3, 9, 18, tzinfo=UTC)
read_time("2026-03-08 7:30-11:45", now, UTC)
print("dateutil" in sys.modules)
read_time("mar 8 7:30-11:45", now, UTC)
print("dateutil" in sys.modules)
"""
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=_FOLDER.parents[2],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.split() == ["False", "True"]
