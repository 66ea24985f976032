"""`crewdesk figure form` and `crewdesk figure settings` at the command line."""

import json

import pytest

from crewdesk.cli import main

FORM = ["figure", "form", "--width", "8", "--height", "10"]
SETTINGS = ["figure", "settings"]


def test_a_mitred_beam(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*FORM, "--form", "mitred"]) == 0
    out = capsys.readouterr().out
    assert "side A  10 in wide, 9 1/4 in at the back; bottom edge mitered at 45.00°, top" in out
    assert "bottom  8 in wide, 6 1/2 in at the back; both edges mitered at 45.00°" in out
    assert main([*FORM, "--form", "mitred", "--corner", "135", "--json"]) == 0
    board = json.loads(capsys.readouterr().out)["boards"][0]
    assert board["first_edge"] == {"joint": "mitre", "blade_deg": 22.5}


@pytest.mark.parametrize(
    ("form", "names"),
    [
        ("three-board", ["side A", "side B", "bottom"]),
        ("against-wall", ["side A", "bottom"]),
        ("mitred", ["side A", "side B", "bottom"]),
        ("four-sided", ["side A", "side B", "bottom", "top"]),
        ("four-sided-mitred", ["side A", "side B", "bottom", "top"]),
    ],
)
def test_the_boards_of_each_form(
    form: str, names: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*FORM, "--form", form, "--json"]) == 0
    assert [b["name"] for b in json.loads(capsys.readouterr().out)["boards"]] == names


def test_sides_of_two_heights(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*FORM, "--height-b", "12"]) == 0
    assert "side B  12 in wide; both edges square" in capsys.readouterr().out


def test_either_spelling_is_taken_and_json_keeps_its_own(
    capsys: pytest.CaptureFixture[str],
) -> None:
    for form in ("mitered", "mitred"):
        assert main([*FORM, "--form", form, "--json"]) == 0
        assert json.loads(capsys.readouterr().out)["form"] == "mitred"


@pytest.mark.parametrize("form", ["mitered", "four-sided-mitered"])
def test_mitered_boards_are_of_one_thickness(form: str, capsys: pytest.CaptureFixture[str]) -> None:
    """At half the corner's angle miters of 3/4 in and 1/2 in are of unlike length."""
    words = [*FORM, "--form", form, "--side-thickness", "3/4"]
    assert main([*words, "--bottom-thickness", "3/4"]) == 0
    assert main([*words, "--bottom-thickness", "1/2"]) == 2
    assert "sides are 3/4 in and the bottom 1/2 in. Set both" in capsys.readouterr().err


def test_a_width_is_never_shown_over(capsys: pytest.CaptureFixture[str]) -> None:
    """8 - 3/2 - 1/64 is 6 31/64: at 1/32 that is 6 15/32, at 1/16 it is 6 7/16, in mm 164."""
    for step, shown in (("1/32", "6 15/32+"), ("1/16", "6 7/16+"), ("mm", "164+ mm")):
        assert main([*FORM, "--fit", "1/64", "--step", step, "--json"]) == 0
        board = json.loads(capsys.readouterr().out)["boards"][2]
        assert board["width"] == {"exact": "415/64", "shown": shown}


NEEDS = [
    word
    for need in (
        "1 side:saw:120:tilt=0,fence=10",
        "1 bottom:saw:119:tilt=15,fence=6-1/2",
        "2 side:saw:144:tilt=0,fence=10",
        "2 bottom:saw:143:tilt=15,fence=6-1/2",
    )
    for word in ("--need", need)
]


def test_a_sheet_of_settings(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*SETTINGS, *NEEDS]) == 0
    out = capsys.readouterr().out
    assert "saw: tilt 15, fence 6 1/2\n  143         2 bottom\n  119         1 bottom" in out
    assert "set 2 times; beam by beam it would be 4" in out
    assert main([*SETTINGS, *NEEDS, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["times_set"], told["beam_by_beam"]) == (2, 4)
    assert told["groups"][1]["setting"]["fence"]["exact"] == "10"


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ([*FORM, "--form", "round"], "isn't a beam type"),
        ([*FORM, "--form", "mitred", "--corner", "60"], "from 90 to below 180"),
        ([*FORM, "--form", "mitred", "--corner", "180"], "below 180"),
        ([*FORM, "--form", "four-sided-mitered", "--corner", "120"], "has square corners"),
        ([*FORM, "--bottom-thickness", ""], "Type a length, for example"),
        ([*FORM, "--form", "mitred", "--height-b", "9"], "only with three-board"),
        ([*FORM, "--form", "mitred", "--side-thickness", "4"], "has no room"),
        ([*FORM, "--bevel", "95"], "below 90"),
        ([*FORM[:-1], "0"], "more than zero"),
        ([*FORM[:-1], "1-3/4", "--form", "four-sided"], "no room for a top board"),
        ([*SETTINGS, "--need", "1 side"], "Type PIECE:MACHINE:LENGTH:PART=VALUE"),
        ([*SETTINGS, "--need", "a:saw:12:fence"], "Type PIECE:MACHINE:LENGTH:PART=VALUE"),
        ([*SETTINGS, "--need", "a:saw:12:fence=-1"], "below zero"),
        ([*SETTINGS, "--need", "a:saw::fence=1"], "Type PIECE:MACHINE:LENGTH:PART=VALUE"),
        ([*SETTINGS, *NEEDS, "--need", "3:saw:9:stop=1"], "has other settings"),
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
