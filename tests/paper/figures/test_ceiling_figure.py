"""`crewdesk figure ceiling` at the command line."""

import json
import math
from fractions import Fraction

import pytest

from crewdesk.cli import main

STATIONS = ["--station", "0:12:12-1/4", "--station", "72:11-3/4:12", "--station", "144:12-1/8:12"]


def test_the_lines(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["--height", "14", "--margin", "1/16", *STATIONS, "--drop", "13.5"]
    assert main(["figure", "ceiling", *words]) == 0
    out = capsys.readouterr().out
    assert "set the scriber to 9/16 in, for both sides, within 3/32 in" in out
    assert "The margin of 1/16 in is less than the setting can be off by, 3/32 in." in out
    assert "set the scriber 1/32 in wider" in out
    assert "A     72          0          9/16       13 7/16" in out
    assert "side A pushed up touches at 72 in, and rocks there" in out
    assert "side B pushed up touches at 72 in and 144 in" in out
    assert "side B: pry end 2 down 1/4 in" in out
    assert "sides 14 1/16 in wide." in out


def test_the_json(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["figure", "ceiling", "--height", "14", "--tape", "1/2", *STATIONS, "--margin", "1/16"]
    words.append("--json")
    assert main(words) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["setting"] == {"exact": "9/16", "shown": "9/16"}
    assert len(told["stations"]) == 6
    first = told["stations"][0]
    assert (first["side"], first["at"]["exact"], first["gap"]["exact"]) == ("A", "0", "1/4")
    assert first["cut_depth"]["exact"] == "5/16"
    assert first["finished_height"]["exact"] == "219/16"
    assert [(t["side"], t["at"]["exact"]) for t in told["touches"]] == [
        ("A", "72"),
        ("B", "72"),
        ("B", "144"),
    ]
    assert told["pry_down"][0] == {"side": "B", "end": 1, "by": {"exact": "1/4", "shown": "1/4"}}
    assert told["lowest_drop"]["exact"] == "215/16"
    assert told["meets_drop"] is None
    assert "tape. Tape 1 in wide takes the whole line" in told["warnings"][0]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--height", "14", "--station", "0:12"], "Type AT:HEIGHT_A:HEIGHT_B"),
        (["--height", "14", "--station", ""], "Type AT:HEIGHT_A:HEIGHT_B"),
        (["--height", "14", "--station", "0::12"], "Type a length, for example"),
        (["--height", "14", *STATIONS[:4]], "both ends and the center"),
        (["--height", "0", *STATIONS], "more than zero"),
        (["--height", "-14", *STATIONS], "below zero"),
        (["--height=-14", *STATIONS], "below zero"),
        (["--height", "tall", *STATIONS], "isn't a length"),
        (["--height", "1/2", *STATIONS], "start with wider sides"),
        (["--height", "14", *STATIONS, "--length", "100"], "is past the beam's end"),
        (["--height", "14", *STATIONS[:4], "--station", "60:12:12"], "in order"),
        (["--height", "14", *STATIONS[:4], "--station", "72:12:12"], "typed twice"),
    ],
)
def test_bad_input_gets_one_sentence(
    words: list[str], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    try:
        status = main(["figure", "ceiling", *words])
    except SystemExit as left:
        status = int(str(left.code))
    captured = capsys.readouterr()
    assert status == 2
    assert captured.out == ""
    assert told in captured.err
    assert captured.err.count("\n") == 1


def test_curly_quotes_are_read(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["0:12”:12 1/4”", "6’:11¾″:12″", "12’:12 1⁄8”:12”"]
    stations = [w for word in words for w in ("--station", word)]
    assert main(["figure", "ceiling", "--height", "1’ 2”", *stations]) == 0
    assert "set the scriber to 5/8 in" in capsys.readouterr().out


def test_the_usual_margin_covers_what_the_readings_can_be_off(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Two heights to 1/32 in, 1/32 from one reading to the next, and a line laser's 1/8 in at
    30 ft over 144 in: 1/16 + 144/2880 in is over 1/16 and under 1/8."""
    flat = [w for at in (0, 72, 144) for w in ("--station", f"{at}:12:12")]
    assert main(["figure", "ceiling", "--height", "14", *flat, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["setting"]["exact"] == "1/8"
    assert told["warnings"] == []
    off = Fraction(told["within"]["exact"])
    assert abs(float(off) - (1 / 16 + math.hypot(144, 8) / 2880)) < 1e-9
