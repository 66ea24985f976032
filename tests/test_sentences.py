"""Every sentence that a person is refused or warned with, in one list.

`tests/sentences.txt` is that list, so that all rewording is read in one place:
`python -m tests.test_sentences` writes it anew.
"""

import ast
import string
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import crewdesk

PACKAGE = Path(crewdesk.__file__).parent
SNAPSHOT = Path(__file__).with_name("sentences.txt")


@cache
def trees() -> dict[Path, ast.Module]:
    """Return what every file of crewdesk holds; read once, and not where only collected."""
    paths = sorted(PACKAGE.rglob("*.py"))
    return {path: ast.parse(path.read_text(encoding="utf-8")) for path in paths}


def kinds() -> set[str]:
    """Return the names of all errors, and of what makes a caution."""
    found = {"caution", "CrewdeskError"}
    classes = [
        (node.name, {ast.unparse(base) for base in node.bases})
        for tree in trees().values()
        for node in ast.walk(tree)
        if isinstance(node, ast.ClassDef)
    ]
    while more := {name for name, bases in classes if bases & found} - found:
        found |= more
    return found


@cache
def raised() -> list[tuple[str, ast.Call]]:
    """Return where each error and caution is made with a text of its own."""
    return list(_raised())


def _raised() -> Iterator[tuple[str, ast.Call]]:
    made = kinds()
    for path, tree in trees().items():
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.args:
                text = node.args[0]
                if node.func.id in made and isinstance(text, ast.Constant | ast.JoinedStr):
                    yield f"{path.relative_to(PACKAGE.parent).as_posix()}:{node.lineno}", node


def text_of(node: ast.expr) -> str:
    if isinstance(node, ast.Constant):
        return str(node.value)
    assert isinstance(node, ast.JoinedStr)
    return "".join(
        f"<{ast.unparse(part.value)}>" if isinstance(part, ast.FormattedValue) else text_of(part)
        for part in node.values
    )


def listed() -> str:
    return "".join(sorted({f"{text_of(call.args[0])}\n" for _, call in raised()}))


def test_the_list_of_sentences_is_up_to_date() -> None:
    assert listed() == SNAPSHOT.read_text(encoding="utf-8"), __doc__


def test_each_sentence_is_one_line_and_its_facts_fill_it() -> None:
    wrong = []
    for where, call in raised():
        text, facts = text_of(call.args[0]), {word.arg for word in call.keywords}
        if "\n" in text or not text.endswith((".", "!", "?", ">", ")", "...", '"')):
            wrong.append(f"{where}: {text!r} is no sentence")
        if None in facts or not facts - {"field", "line"}:
            continue
        needed = {field for _, field, _, _ in string.Formatter().parse(text) if field}
        if needed != facts - {"field"}:
            wrong.append(f"{where}: {text!r} names other facts than {sorted(map(str, facts))}")
    assert not wrong, "\n".join(wrong)


if __name__ == "__main__":
    SNAPSHOT.write_text(listed(), encoding="utf-8")
