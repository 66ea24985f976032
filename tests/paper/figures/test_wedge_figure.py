"""`crewdesk figure wedge` at the command line."""

import json

import pytest

from crewdesk.cli import main


def test_lines_and_json(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["figure", "wedge", "--stock", "3/4", "--bevel", "5", "--gap", "1/16"]
    assert main(words) == 0
    assert "back thickness   1/8" in capsys.readouterr().out
    assert main([*words, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["included_deg"] == 10
    assert float(told["back_thickness"]["exact"]) == pytest.approx(0.131233, abs=1e-6)
    assert float(told["seats_at"]["exact"]) == pytest.approx(0.357189, abs=1e-6)


def test_without_a_gap_it_seats_nowhere(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["figure", "wedge", "--stock", "¾”", "--bevel", "5", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["seats_at"] is None


@pytest.mark.parametrize(
    ("stock", "bevel", "gap", "told"),
    [
        ("3/4", "5", "1/4", "a bevel of 9.5 degrees, or stock 1 7/16 in thick"),
        ("0", "5", "1/16", "more than zero"),
        ("3/4", "0", "1/16", "About 5 is usual"),
        ("3/4", "95", "1/16", "isn't an angle"),
        ("3/4", "", "1/16", "isn't an angle"),
        ("", "5", "1/16", "Type a length, for example"),
        ("3/4", "5", "0", "more than zero"),
    ],
)
def test_bad_input_gets_one_sentence(
    stock: str, bevel: str, gap: str, told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["figure", "wedge", "--stock", stock, "--bevel", bevel, "--gap", gap]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert told in captured.err
    assert captured.err.count("\n") == 1
