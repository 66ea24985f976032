"""`crewdesk figure slope`, `ridge`, `compound` and `skew` at the command line."""

import json
from fractions import Fraction
from typing import Any

import pytest

from crewdesk.cli import main
from crewdesk.job.beams.forms import boards
from crewdesk.trade.cuts.pitch import read_pitch
from crewdesk.trade.cuts.section import Section


def told(capsys: pytest.CaptureFixture[str], *words: str) -> Any:
    assert main(["figure", *words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_slope_json(capsys: pytest.CaptureFixture[str]) -> None:
    made = told(capsys, "slope", "--pitch", "9/12", "--run", "120", "--height", "8")
    assert made["angle_deg"] == pytest.approx(36.8699, abs=1e-4)
    assert made["run"]["exact"] == "120"
    assert made["rise"]["exact"] == "90"
    assert made["slope_length"] == {"exact": "150", "shown": "150"}
    assert made["low"]["offset"]["exact"] == "6"
    assert made["high"]["offset"]["exact"] == "-6"
    assert made["low"]["angle_deg"] == -made["high"]["angle_deg"]
    assert made["top_length"]["exact"] == "150"
    assert made["blank"]["exact"] == "156"


def test_slope_by_degrees_and_by_two_lengths(capsys: pytest.CaptureFixture[str]) -> None:
    by_degrees = told(capsys, "slope", "--pitch", "26.565deg", "--run", "120", "--height", "10")
    by_legs = told(capsys, "slope", "--rise", "60", "--run", "120", "--height", "10")
    assert float(by_degrees["rise"]["exact"]) == pytest.approx(60, abs=1e-3)
    assert by_legs["low"]["offset"]["exact"] == "5"
    assert len(by_degrees["slope_length"]["exact"].split(".")[1]) >= 9


def test_slope_with_walls_that_lean(capsys: pytest.CaptureFixture[str]) -> None:
    words = ("--pitch", "6/12", "--run", "120", "--height", "10", "--level", "24")
    made = told(capsys, "slope", *words, "--low", "1/4:in", "--high", "1/4:in")
    square = told(capsys, "slope", *words)
    assert made["low"]["angle_deg"] > square["low"]["angle_deg"]
    assert made["high"]["angle_deg"] > square["high"]["angle_deg"]


def test_slope_lines(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["--pitch", "6/12", "--run", "120", "--height", "10", "--ridge", "8:10"]
    assert main(["figure", "slope", *words]) == 0
    out = capsys.readouterr().out
    assert "run            116 in" in out
    assert "low end        top 5 in back from the square line (26.57°)" in out
    assert "high end       top 5 in out past the square line (26.57°)" in out
    assert "it hangs 1 3/16 in below" in out


def test_ridge(capsys: pytest.CaptureFixture[str]) -> None:
    words = ("--width", "8", "--drop", "12", "--pitch", "6/12", "--pitch-b", "3/12")
    made = told(capsys, "ridge", *words, "--toward-b", "1")
    assert made["side_a"]["show_height"]["exact"] == "21/2"
    assert made["side_b"]["show_height"]["exact"] == "43/4"
    assert main(["figure", "ridge", *words]) == 0
    assert "side A        rip to 10 3/8 in" in capsys.readouterr().out


def test_the_bottom_of_a_ridge_beam_with_unequal_drops(capsys: pytest.CaptureFixture[str]) -> None:
    """Worked by hand: the inner faces are 6 1/2 in apart and side B's edge hangs 1 in lower, so
    the board tilts by atan(1 / 6 1/2) = 8.75 degrees along sqrt(6.5^2 + 1) = 6.5765 in
    (Pythagoras). Its 1/4 in flat, square to it, leans 1/4 x 1/6.5 = 0.0385 in into side A: the
    board is 6.5380 in (6 17/32), and with a fit of 1/32 in 6.5068 in, 6 1/2 rounded down."""
    words = ("--width", "8", "--drop", "10", "--drop-b", "11", "--pitch", "6/12")
    bottom = told(capsys, "ridge", *words)["bottom"]
    assert bottom["rip"]["shown"] == "6 17/32"
    made = told(capsys, "ridge", *words, "--fit", "1/32")
    bottom = made["bottom"]
    assert float(bottom["rip"]["exact"]) == pytest.approx(6.506762, abs=1e-6)
    assert bottom["rip"]["shown"] == "6 1/2"
    assert bottom["flat_loss"]["exact"] == "1/26"
    assert bottom["slant"]["shown"] == "6 9/16+"
    assert (bottom["lower_side"], made["bottom_tilt_deg"]) == (
        "B",
        pytest.approx(-8.7462, abs=1e-4),
    )
    assert main(["figure", "ridge", *words, "--fit", "1/32"]) == 0
    out = capsys.readouterr().out
    assert "rip to 6 1/2 in; it tilts 8.75°, down toward side B" in out
    assert "6 9/16+ in between the sides' inner faces, along the tilt, less 1/16- in" in out


def test_a_ridge_beams_bottom_is_that_of_a_job(capsys: pytest.CaptureFixture[str]) -> None:
    section = Section(width=Fraction(8), height=Fraction(10), fit=Fraction(1, 32))
    board = boards("ridge", section, Fraction(11), (read_pitch("6/12"), None))["bottom"]
    words = ("--width", "8", "--drop", "10", "--drop-b", "11", "--pitch", "6/12", "--fit", "1/32")
    bottom = told(capsys, "ridge", *words)["bottom"]
    assert float(bottom["rip"]["exact"]) == pytest.approx(float(board.width), abs=1e-11)
    assert float(bottom["back_width"]["exact"]) == pytest.approx(float(board.back_width), abs=1e-11)


def test_compound(capsys: pytest.CaptureFixture[str]) -> None:
    words = ("--pitch", "6/12", "--end", "low", "--skew", "1:12:A")
    made = told(capsys, "compound", *words)
    assert made["side_a"]["blade_deg"] == pytest.approx(4.7636, abs=1e-4)
    assert made["side_b"]["blade_deg"] == pytest.approx(-4.7636, abs=1e-4)
    assert main(["figure", "compound", *words, "--wall", "1/8:in", "--level", "24"]) == 0
    assert "edge A longer" in capsys.readouterr().out


def test_skew(capsys: pytest.CaptureFixture[str]) -> None:
    words = ("--width", "8", "--end1", "3/8:12:A", "--length-a", "120", "--length-b", "119-3/4")
    made = told(capsys, "skew", *words)
    assert made["off"] is None  # a wall without a square is known by the lengths alone
    assert made["ends"][0] == {
        "side": "A",
        "end": 1,
        "long_face": "show",
        "by": {"exact": "3/128", "shown": "1/32"},
        "hidden": True,
    }
    assert main(["figure", "skew", *words, "--back-bevel", "1"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith(
        "side A, end 1: the show face has 1/32 in more room; back-bevel it 1.79° or more"
    )
    assert "side B, end 1: the back has 1/32 in more room; a square cut hides the gap" in lines[1]


def test_a_parallelogram_says_how_its_ends_slant(capsys: pytest.CaptureFixture[str]) -> None:
    """1:24 over 6 1/2 in is 13/48 in and 2.39 degrees, A past B at the one end, B past A at the
    other; the edges are equal."""
    words = ("--width", "8", "--end1", "1/2:12:A", "--end2", "1/2:12:B")
    made = told(capsys, "skew", *words, "--length-a", "120", "--length-b", "120")
    assert made["edge_a"] == made["edge_b"] == {"exact": "120", "shown": "120"}
    assert [(e["known"], e["longer"], e["offset"]["exact"]) for e in made["bottom_ends"]] == [
        (True, "A", "13/48"),
        (True, "B", "-13/48"),
    ]
    assert main(["figure", "skew", *words]) == 0
    out = capsys.readouterr().out
    assert "bottom board: both edges are equally long" in out
    assert "bottom board, end 1: edge A runs past edge B by 9/32- in, miter 2.39°" in out
    assert "bottom board, end 2: edge B runs past edge A by 9/32- in, miter 2.39°" in out


def test_no_slant_is_said_where_no_square_was_held(capsys: pytest.CaptureFixture[str]) -> None:
    """Equal lengths don't say that the walls are square: both may be turned the same way."""
    for length_b in ("120", "119-3/4"):
        words = ("--width", "8", "--length-a", "120", "--length-b", length_b)
        made = told(capsys, "skew", *words)
        assert made["ends"] == []
        assert [e["known"] for e in made["bottom_ends"]] == [False, False]
        assert main(["figure", "skew", *words]) == 0
        assert (
            "end 2: its slant isn't known; measure that wall with the square"
            in capsys.readouterr().out
        )
    one = told(capsys, "skew", *words, "--end2", "0:12:A")
    assert [e["longer"] for e in one["bottom_ends"]] == ["A", None]
    alone = told(capsys, "skew", "--width", "8", "--end2", "1/4:12:B")
    assert [e["known"] for e in alone["bottom_ends"]] == [False, True]


SLOPE = ["slope", "--height", "10"]
SKEW = ["skew", "--width", "8"]
COMPOUND = ["compound", "--pitch", "6/12", "--end", "low"]
RIDGE = ["ridge", "--width", "8", "--drop", "12"]


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ([*SLOPE, "--pitch", "6/12"], "needs exactly two of pitch, run, rise and length"),
        ([*SLOPE, "--pitch", "6", "--run", "12"], "isn't a pitch"),
        ([*SLOPE, "--pitch", "", "--run", "12"], "isn't a pitch"),
        ([*SLOPE, "--pitch", "6/12", "--run", "0"], "more than zero"),
        ([*SLOPE, "--pitch", "85deg", "--run", "9"], "the limit is 75"),
        ([*SLOPE, "--run", "12", "--length", "10"], "Measure both again"),
        ([*SLOPE, "--pitch", "6/12", "--run", "12", "--low", "1/4:in"], "Add --level"),
        (
            [*SLOPE, "--pitch", "6/12", "--run", "12", "--low", "9:in", "--level", "24"],
            "degrees out of plumb",
        ),
        (
            [*SLOPE, "--pitch", "6/12", "--run", "12", "--low", "1/4:in", "--level", "0"],
            "more than zero",
        ),
        ([*SLOPE, "--pitch", "6/12", "--run", "99", "--ridge", "8"], "Type WIDTH:SIDE_HEIGHT"),
        ([*SLOPE, "--pitch", "6/12", "--run", "3", "--ridge", "8:10"], "center line"),
        (
            [*SLOPE, "--pitch", "6/12", "--run", "99", "--ridge", "8:10", "--high", "0:in"],
            "Leave that wall out",
        ),
        ([*RIDGE, "--pitch", "60/12"], "the limit is 75"),
        ([*RIDGE, "--pitch", "6/12", "--toward-a", "4"], "are under it only up to"),
        ([*RIDGE[:3], "--drop", "1", "--pitch", "6/12"], "has no width left"),
        ([*COMPOUND, "--skew", "1:12"], "GAP:LEG:A or GAP:LEG:B"),
        ([*COMPOUND, "--skew", "1:12:C"], "Type A or B"),
        ([*COMPOUND, "--skew", "1:12:A", "--wall", "1/4:in"], "Add --level"),
        ([*SKEW], "How the walls run"),
        ([*SKEW, "--length-a", "120"], "Only one side's length"),
        ([*SKEW, "--length-a", "120", "--length-b", "110"], "Measure both again"),
        ([*SKEW, "--end1", "6:12:A"], "degrees out of square"),
        ([*SKEW, "--end1", "1/8:0:A"], "more than zero"),
        ([*SKEW, "--end1", "1/8:12:"], "GAP:LEG:A or GAP:LEG:B"),
        (["skew", "--width", "1", "--end1", "1/8:12:A"], "more than zero"),
    ],
)
def test_bad_input_gets_one_sentence(
    words: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["figure", *words]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert sentence in captured.err
    assert captured.err.count("\n") == 1


def test_no_length_is_shown_over_and_no_blank_under(capsys: pytest.CaptureFixture[str]) -> None:
    """96 x sqrt 2 + 10 = 145.7645 for the blank; (100 - 4) x sqrt 1.25 = 107.3313 to the face
    of a ridge beam 8 in wide (Pythagoras)."""
    steep = told(capsys, "slope", "--pitch", "12/12", "--run", "96", "--height", "10")
    assert steep["blank"]["shown"] == "145 25/32-"
    words = ("--pitch", "6/12", "--run", "100", "--height", "10", "--ridge", "8:10")
    assert main(["figure", "slope", *words]) == 0
    assert "bottom length  107 5/16+ in" in capsys.readouterr().out
