"""The figures `length`, `end` and `section`, through the command that prints them."""

import json
from fractions import Fraction as Fr
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from crewdesk.cli import main

END = {
    "--length": "147",
    "--height": "8",
    "--end1": "5/32:in",
    "--end2": "1/8:out",
    "--level": "24",
}
SECTION = {
    "--width": "6",
    "--side-thickness": "3/4",
    "--bottom-thickness": "3/4",
    "--reveal": "1/4",
    "--flat": "1/4",
    "--bevel": "15",
}


def words(name: str, options: dict[str, str], *more: str) -> list[str]:
    return ["figure", name, *(f"{option}={value}" for option, value in options.items()), *more]


def status(argv: list[str]) -> int:
    """The exit status, whether returned or, as argparse does, raised."""
    try:
        return main(argv)
    except SystemExit as stop:
        return int(stop.code or 0)


def values(capsys: pytest.CaptureFixture[str], argv: list[str]) -> Any:
    assert status([*argv, "--json"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert out.count("\n") == 1
    return json.loads(out)


def told(capsys: pytest.CaptureFixture[str], argv: list[str]) -> list[str]:
    assert status(argv) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out.splitlines()


def test_length(capsys: pytest.CaptureFixture[str]) -> None:
    assert values(capsys, ["figure", "length", "146.75"])["length"] == {
        "exact": "587/4",
        "shown": "146 3/4",
    }
    # 3738 / 25.4 = 147.165..., and 147 5/32 = 147.15625 hides .0091 in, over 1/128.
    assert values(capsys, ["figure", "length", "3738 mm"]) == {
        "length": {"exact": "18690/127", "shown": "147 5/32+"},
        "mm": "3738 mm",
    }


def test_length_of_several_words(capsys: pytest.CaptureFixture[str]) -> None:
    lines = told(capsys, ["figure", "length", "12'", '3-5/16"'])
    # 147.3125 x 25.4 = 3741.7375 mm, told as 3742 with 0.2625 mm, about 1/97 in, hidden.
    assert lines == ["147 5/16 in", "12' 3 5/16\"", "3742- mm"]


def test_end(capsys: pytest.CaptureFixture[str]) -> None:
    # By hand: offsets 5/32 x 8/24 = 5/96 and 1/8 x 8/24 = 1/24 in; angles of natural
    # tangents .0065104 and .0052083, which is .37301 and .29841 degrees (x 57.29578).
    got = values(capsys, words("end", END))
    assert got["bottom_length"] == {"exact": "147", "shown": "147"}
    assert got["top_length"]["exact"] == str(147 - Fr(5, 96) + Fr(1, 24))
    assert got["blank"]["exact"] == str(147 + Fr(1, 24))
    assert got["end1"]["offset"]["exact"] == "5/96"
    assert got["end2"]["offset"]["exact"] == "-1/24"
    assert got["end1"]["angle_deg"] == pytest.approx(0.37301, abs=0.00001)
    assert got["end2"]["angle_deg"] == pytest.approx(-0.29841, abs=0.00001)
    lines = told(capsys, words("end", END))
    assert any("back from" in line and "0.37" in line for line in lines)
    assert any("out past" in line and "0.30" in line for line in lines)


def test_end_of_plumb_walls_is_square(capsys: pytest.CaptureFixture[str]) -> None:
    plumb = END | {"--end1": "0:in", "--end2": "0:OUT"}
    got = values(capsys, words("end", plumb))
    assert got["bottom_length"] == got["top_length"] == got["blank"]
    assert got["end1"] == got["end2"] == {"offset": {"exact": "0", "shown": "0"}, "angle_deg": 0.0}
    assert [line.split()[-1] for line in told(capsys, words("end", plumb))[-2:]] == ["square"] * 2


def test_swapping_ends_mirrors(capsys: pytest.CaptureFixture[str]) -> None:
    one = values(capsys, words("end", END))
    other = values(capsys, words("end", END | {"--end1": END["--end2"], "--end2": END["--end1"]}))
    assert (one["end1"], one["end2"]) == (other["end2"], other["end1"])
    assert (one["blank"], one["top_length"]) == (other["blank"], other["top_length"])


def test_section(capsys: pytest.CaptureFixture[str]) -> None:
    got = values(capsys, words("section", SECTION))
    assert got["bottom_width"] == {"exact": "9/2", "shown": "4 1/2"}
    # Common practice, no source: 3/4 in bottom and 1/4 in reveal make a 1 in cleat line.
    assert got["cleat_line"] == {"exact": "1", "shown": "1"}
    # 4.5 - 2 x 1/2 x tan 15, and tan 15 = 2 - sqrt(3) = .267949192431.
    whole, decimals = got["bottom_back_width"]["exact"].split(".")
    assert whole == "4"
    assert len(decimals) >= 9
    assert f"{whole}.{decimals}".startswith("4.232050807")
    assert got["bottom_back_width"]["shown"] == "4 7/32+"  # 4.21875, .0133 hidden


def test_section_of_an_exact_tangent_and_a_fit(capsys: pytest.CaptureFixture[str]) -> None:
    got = values(capsys, words("section", SECTION | {"--bevel": "45", "--fit": "1/32"}))
    assert got["bottom_width"]["exact"] == "143/32"
    assert got["bottom_back_width"]["exact"] == "111/32"
    lines = told(capsys, words("section", SECTION))
    assert [line.split()[-2] for line in lines] == ["1/2", "7/32+", "1"]


def refusal(capsys: pytest.CaptureFixture[str], argv: list[str]) -> str:
    assert status(argv) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("crewdesk: ")
    assert err.count("\n") == 1
    assert "Traceback" not in err
    return err


@pytest.mark.parametrize(
    ("argv", "says"),
    [
        (["figure", "length", "12", "3"], '12\' 3" or 12.3"'),
        (["figure", "length", "-3"], "zero or more"),
        (["figure", "length", "3/0"], "zero under its fraction"),
        (["figure", "length", "x" * 500], "at most 64 characters"),
        (["figure", "length", ""], "Type a length, for example"),
        (["figure", "length"], "required"),
        (["figure", "length", "{x}%s{0}"], "{x}%s{0} isn't a length"),
        (["figure", "length", "a\x1b[31m\nb\udcff"], "a?[31m?b? isn't a length"),
        (words("end", END | {"--end1": "5/32"}), "GAP:in or GAP:out"),
        (words("end", END | {"--end1": "5/32:"}), "GAP:in or GAP:out"),
        (words("end", END | {"--end1": ":in"}), "Type a length, for example"),
        (words("end", END | {"--end1": "5/32:up"}), "out of plumb up. Type in"),
        (words("end", END | {"--end1": "25:in"}), "longer than the level"),
        (words("end", END | {"--end1": "10:in"}), "out of plumb; the limit"),
        (words("end", END | {"--level": "0"}), "more than zero"),
        (words("end", END | {"--length": "0"}), "more than zero"),
        (words("end", END | {"--height": "0"}), "more than zero"),
        ([*words("end", END), "--length", "-5"], "-5 is below zero"),
        ([*words("end", END), "--length", "-5/8"], "argument --length: expected one argument"),
        (words("section", SECTION | {"--bevel": "46"}), "the limit is 45"),
        (words("section", SECTION | {"--bevel": "90"}), "isn't an angle"),
        (words("section", SECTION | {"--flat": "1"}), "more than the bottom board's thickness"),
        (words("section", SECTION | {"--width": "1 1/2"}), "no room for a bottom board"),
        (words("section", SECTION | {"--fit": "5"}), "no room for a bottom board"),
        (words("section", SECTION | {"--width": "0"}), "more than zero"),
        (words("section", SECTION | {"--reveal": "deep"}), "isn't a length"),
    ],
)
def test_a_refusal_is_one_sentence(
    capsys: pytest.CaptureFixture[str], argv: list[str], says: str
) -> None:
    assert says in refusal(capsys, argv)
    if "--json" not in argv:
        assert says in refusal(capsys, [*argv, "--json"])


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.sampled_from([("length", {}), ("end", END), ("section", SECTION)]),
    st.integers(0, 5),
    st.one_of(st.text(max_size=70), st.text("0123456789./:'\" -,inoutm", max_size=12)),
)
@example(("end", END), 2, "0:in:in")
@example(("end", END), 4, "999999")
@example(("section", SECTION), 5, "\u0661\u0665")
def test_no_argument_value_makes_a_traceback(
    capsys: pytest.CaptureFixture[str], figure: tuple[str, dict[str, str]], at: int, text: str
) -> None:
    name, options = figure
    if options:
        option = list(options)[at % len(options)]
        argv = words(name, options | {option: text}, "--json")
    else:
        argv = ["figure", name, "--json", "--", text]
    got = status(argv)
    out, err = capsys.readouterr()
    assert got in (0, 2)
    if got:
        assert out == ""
        assert err.startswith("crewdesk: ")
    else:
        assert err == ""
        assert isinstance(json.loads(out), dict)
