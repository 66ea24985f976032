"""`crewdesk figure nails` at the command line."""

import json

import pytest

from crewdesk.cli import main

TWO = ["figure", "nails", "--piece", "3/4", "--piece", "3/4"]


def test_lines_and_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(TWO) == 0
    out = capsys.readouterr().out
    assert "nail   1 1/4 in, 18 gauge (0.048 in thick)" in out
    assert "holds  1/2 in in the second piece, 3/16 in left behind it" in out
    assert main(["figure", "nails", "--piece", "3/4", "--framing", "--gauge", "15", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["length"]["exact"] == "5/2"
    assert told["left"] is None
    assert told["warnings"] == ["Look for wires and pipes before you nail into framing."]


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ([*TWO, "--length", "1-1/2"], "comes through a stack of 1 1/2 in"),
        ([*TWO, "--length", "3/4"], "it holds nothing"),
        ([*TWO, "--length", "0"], "more than zero"),
        ([*TWO, "--length", ""], "Type a length, for example"),
        ([*TWO, "--gauge", "thin"], "Type 15, 16, 18 or 23"),
        ([*TWO, "--gauge", "17"], "Known are 15 or 16 or 18 or 23"),
        (["figure", "nails", "--piece", "3/4"], "at least two thicknesses"),
        ([*TWO[:-1], "0"], "more than zero"),
        (["figure", "nails", "--piece", "1/4", "--piece", "1/4"], "No 18 gauge nail as sold"),
    ],
)
def test_bad_input_gets_one_sentence(
    words: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert sentence in captured.err
    assert captured.err.count("\n") == 1


def test_the_longest_nail_is_never_said_too_long(capsys: pytest.CaptureFixture[str]) -> None:
    """1.2 + 0.2 less 1/16 set and 1/8 clear is 1.2125 in: 1 3/16, not 1 7/32."""
    words = ["figure", "nails", "--piece", "1.2", "--piece", "0.2", "--length", "1.3"]
    assert main(words) == 2
    assert "1 3/16" in capsys.readouterr().err
