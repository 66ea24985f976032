"""`crewdesk figure sureness` at the command line."""

import json

import pytest

from crewdesk.cli import main

WORDS = ["figure", "sureness", "--length", "146-3/4", "--height", "14"]
ENDS = ["--end1", "5/32:in", "--end2", "1/8:out"]


def test_lines_and_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*WORDS, *ENDS, "--level", "9"]) == 0
    out = capsys.readouterr().out
    assert "bottom length  146 3/4 in, give or take 1/32" in out
    assert (
        "At end 1 a level of 9 in stands under a side of 14 in: a slip in its gap grows 1.6 times"
        in out
    )
    assert "a level of 16 in would do" in out
    assert main([*WORDS, *ENDS, "--level", "28", "--again", "146-13/16", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["end1"]["off"]["exact"] == "1/128"
    assert told["top_length"]["off"]["exact"] == "3/64"
    assert told["warnings"] == []


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ([*ENDS, "--level", "24", "--again", "146"], "read it again"),
        ([*ENDS, "--level", "24", "--tape-step", "0"], "must be more than zero"),
        ([*ENDS, "--level", "24", "--gap-step", ""], "No length was given"),
        ([*ENDS, "--level", "0"], "must be more than zero"),
        (["--end1", "9:in", "--end2", "0:in", "--level", "8"], "longer than the level"),
    ],
)
def test_bad_input_gets_one_sentence(
    words: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*WORDS, *words]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert sentence in captured.err
    assert captured.err.count("\n") == 1
