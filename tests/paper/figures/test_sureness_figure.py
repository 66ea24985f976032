"""`crewdesk figure sureness` at the command line."""

import json
from fractions import Fraction

import pytest

from crewdesk.cli import main

WORDS = ["figure", "sureness", "--length", "146-3/4", "--height", "14"]
ENDS = ["--end1", "5/32:in", "--end2", "1/8:out"]


def test_lines_and_json(capsys: pytest.CaptureFixture[str]) -> None:
    """A tape's half step and its own error, 1/32 + 1/16 (NIST Handbook 44, 5.52, table 2)."""
    assert main([*WORDS, *ENDS, "--level", "9"]) == 0
    out = capsys.readouterr().out
    assert "bottom length  146 3/4 in, within 3/32" in out
    assert (
        "At end 1 the 9 in level is shorter than the 14 in side, so an error in its gap "
        "grows 1.6 times" in out
    )
    assert "With a 16 in level it would be within 1/32 in." in out
    assert main([*WORDS, *ENDS, "--level", "28", "--again", "146-13/16", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    # Half of 1/32 by 14/28, and 0.0005 an inch of 14 in.
    off = Fraction(1, 128) + Fraction("0.007")
    assert told["end1"]["off"]["exact"] == str(off)
    assert told["top_length"]["off"]["exact"] == str(Fraction(3, 32) + 2 * off)
    assert told["warnings"] == []


def test_an_accuracy_is_never_shown_as_finer_than_it_is(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Up to the next 1/64, in JSON as in lines; a mark never so that the board comes out long."""
    words = [*WORDS, *ENDS, "--level", "28"]
    assert main([*words, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert main(words) == 0
    lines = capsys.readouterr().out.splitlines()
    for name in ("bottom_length", "top_length", "blank", "end1", "end2"):
        off, mark = told[name]["off"], told[name]["mark"]
        shown = Fraction(off["shown"])
        assert 0 <= shown - Fraction(off["exact"]) < Fraction(1, 64)
        line = next(one for one in lines if one.startswith(name.replace("_", " ")))
        assert line.endswith(f"within {off['shown']} in")
        assert f" {mark['shown']} in," in line
    assert told["end1"]["off"]["shown"] == "1/64"  # 0.0148
    # 9391/64 and 2349/16 (similar triangles); an offset of 5/64 is cut back by 3/32.
    assert told["top_length"]["mark"]["shown"] == "146 23/32+"
    assert told["blank"]["mark"]["shown"] == "146 13/16"
    assert told["end1"]["mark"]["shown"] == "3/32-"


def test_instruments_of_other_makes(capsys: pytest.CaptureFixture[str]) -> None:
    more = ["--tape-error", "1/32", "--level-error", "0.5 mm/m", "--tape-step", "1/32"]
    assert main([*WORDS, *ENDS, "--level", "28", *more, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["bottom_length"]["off"]["exact"] == "3/64"
    assert told["end1"]["off"]["exact"] == str(Fraction(1, 128) + Fraction("0.007"))


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ([*ENDS, "--level", "24", "--again", "146"], "Measure it again"),
        ([*ENDS, "--level", "24", "--tape-step", "0"], "must be more than zero"),
        ([*ENDS, "--level", "24", "--gap-step", ""], "Type a length, for example"),
        ([*ENDS, "--level", "24", "--tape-error", "0"], "must be over 0 and up to 1 in"),
        ([*ENDS, "--level", "24", "--level-error", "true"], "Type it like 0.0005"),
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
