"""`crewdesk figure bottom` at the command line."""

import json
from fractions import Fraction

import pytest

from crewdesk.cli import main
from crewdesk.trade.read_length import read_length

BOTTOM = ["figure", "bottom", "--width", "8"]


def test_lines_and_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*BOTTOM, "--edge-a", "120", "--edge-b", "120-1/8"]) == 0
    out = capsys.readouterr().out
    assert "edge A    119 31/32 in" in out
    assert "edge B    120 3/32 in" in out
    assert main([*BOTTOM, "--reading", "120", "--bevel", "45", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["edge_a"] == told["edge_b"] == {"exact": "3839/32", "shown": "119 31/32"}
    assert told["back_a"]["exact"] == "3807/32"
    assert told["relief"]["exact"] == "1/2"
    assert told["width"]["exact"] == "13/2"
    assert told["back_width"]["exact"] == "11/2"


@pytest.mark.parametrize("mm", range(3040, 3052))
def test_a_cut_is_never_shown_over_its_reading(mm: int, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*BOTTOM, "--reading", f"{mm} mm", "--undercut", "0", "--json"]) == 0
    shown = json.loads(capsys.readouterr().out)["edge_a"]["shown"]
    assert (
        Fraction(mm * 10, 254) - Fraction(1, 32)
        < read_length(shown.rstrip("+"))
        <= Fraction(mm * 10, 254)
    )


def test_a_reason_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    words = [*BOTTOM, "--reading", "120", "--cut", "120-1/8"]
    assert main([*words, "--reason", "drywall is soft"]) == 0
    assert "allowed because: drywall is soft." in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ([], "along one line or along both edges"),
        (["--edge-a", "120"], "along one line or along both edges"),
        (["--reading", "120", "--edge-a", "120"], "along one line or along both edges"),
        (["--reading", ""], "Type a length, for example"),
        (["--reading", "0"], "more than zero"),
        (["--reading", "120", "--cut", "120-1/16"], "wouldn't go up"),
        (["--reading", "120", "--undercut", "1"], "1/32 is usual"),
        (["--edge-a", "120", "--edge-b", "130"], "Measure both again"),
        (["--reading", "120", "--flat", "2"], "more than the bottom board's thickness"),
    ],
)
def test_bad_input_gets_one_sentence(
    words: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*BOTTOM, *words]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert sentence in captured.err
    assert captured.err.count("\n") == 1
