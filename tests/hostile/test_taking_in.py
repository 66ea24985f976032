"""What a file may hold: every text of it is held to the rules, and its depth and size too."""

import json
import time
from collections.abc import Callable, Iterator
from copy import deepcopy
from typing import Any

import pytest

from crewdesk.cli import main
from crewdesk.job.beams.piece import KIND_OF
from crewdesk.job.sync.exchange import (
    DEEPEST,
    LARGEST_NUMBER,
    LONGEST_TEXT,
    MOST_ROWS,
    from_document,
)
from tests.hostile.strings import CONTROLS, NOT_TAKEN, hostile_job


def places(here: Any, at: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The path of each text in a document; of rows and lists that are alike, the first."""
    if isinstance(here, str):
        yield at
    elif isinstance(here, dict):
        for key, value in here.items():
            yield from places(value, (*at, key))
    elif isinstance(here, list):
        for place, value in enumerate(here[:1]):
            yield from places(value, (*at, place))


def test_no_text_of_a_file_may_hold_what_a_name_may_not(refusing: Callable[..., str]) -> None:
    whole = hostile_job()
    for table in ("entries", "materials", "orders", "accepted"):
        whole[table] = dict(list(whole[table].items())[:1])
    whole["beams"] = {row: whole["beams"][row] for row in ("1", "8")}
    from_document(deepcopy(whole))
    kinds = {}
    for path in places(whole):
        kind = tuple(one for one in path if not str(one).isdigit() and one not in KIND_OF)
        kinds.setdefault(kind, path)
    assert len(kinds) > 60
    for number, path in enumerate(kinds.values()):
        here = whole
        for key in path[:-1]:
            here = here[key]
        before, here[path[-1]] = here[path[-1]], NOT_TAKEN[number % len(NOT_TAKEN)]
        said = refusing(from_document, whole)
        assert not set(said) & set(CONTROLS), path
        here[path[-1]] = before


@pytest.fixture
def wrong(tmp_path: Any, capsys: pytest.CaptureFixture[str]) -> Callable[[str, Any], str]:
    """The sentence with which a file is refused."""

    def take(command: str, document: Any) -> str:
        path = tmp_path / "given.json"
        path.write_text(document if isinstance(document, str) else json.dumps(document))
        words = {"import": ["import"], "stock": ["stock", "--take"]}[command]
        began = time.process_time()
        assert main([*words, str(path), "--data", str(tmp_path / "data")]) == 2
        assert time.process_time() - began < 5
        out, err = capsys.readouterr()
        assert (out, err.count("\n")) == ("", 1)
        assert err[:-1].isprintable()
        assert len(err) < 600
        return err

    return take


def nested(levels: int) -> Any:
    inner: Any = "x"
    for level in range(levels):
        inner = [inner] if level % 2 else {"x": inner}
    return inner


def test_the_limits_of_a_file_are_told(wrong: Callable[[str, Any], str]) -> None:
    job = {"crewdesk": "job", "schema": 1}
    assert f"over {DEEPEST} levels" in wrong("import", {**job, "x": nested(DEEPEST)})
    assert "deeply" in wrong("import", '{"a":' * 50_000)
    assert f"{LONGEST_TEXT} characters" in wrong("import", {**job, "x": "A" * 100_000})
    assert "too large" in wrong("import", {**job, "x": LARGEST_NUMBER + 1})
    rows = {str(n): {} for n in range(MOST_ROWS + 1)}
    assert f"more than {MOST_ROWS}" in wrong("import", {**job, "job": {}, "beams": rows})
    assert "A board of that stock list is damaged" in wrong(
        "stock", {"crewdesk": "stock", "stock": [nested(900)]}
    )
    assert "deeply" in wrong("stock", "[" * 100_000)
    board = {"species": "Oak", "size": "1x12", "price": "30", "per": "foot"}
    for lengths in ("8'," * 100_000, "9" * 100_000, "8' x " + "9" * 5000):
        wrong("stock", {"crewdesk": "stock", "stock": [{**board, "lengths": lengths}]})
    hand = {"species": "Oak", "size": "1x12", "length": "9'", "bad": "1..2," * 100_000}
    assert "characters" in wrong("stock", {"crewdesk": "stock", "on_hand": [hand]})
