"""Whatever is pasted into a figure, it answers, or says one sentence and no more."""

import contextlib
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewdesk.cli import main

GOOD = {
    "ceiling": "--height 14 --station 0:12:12 --station 72:12-1/4:12 --station 144:12:12 "
    "--length 144 --margin 1/16 --tape 1 --drop 12",
    "wedge": "--stock 3/4 --bevel 5 --gap 1/16",
    "slope": "--pitch 6/12 --run 120 --height 10 --low 1/4:in --high 1/8:out --level 24",
    "ridge": "--width 8 --drop 12 --drop-b 13 --pitch 6/12 --pitch-b 4/12 --toward-a 1 "
    "--side-thickness 3/4",
    "compound": "--pitch 6/12 --end low --skew 1:12:A --wall 1/4:in --level 24",
    "skew": "--width 8 --end1 1/8:12:A --end2 1/8:12:B --length-a 120 --length-b 120 "
    "--back-bevel 5 --fit 0 --side-thickness 3/4",
    "bottom": "--width 8 --edge-a 120 --edge-b 120 --cut 119 --undercut 0 --bevel 15 --flat 1/4",
    "sureness": "--length 120 --again 120 --height 14 --end1 1/8:in --end2 0:out --level 9 "
    "--tape-step 1/16 --gap-step 1/32",
    "nails": "--piece 3/4 --piece 3/4 --gauge 18 --length 1",
    "form": "--form mitred --width 8 --height 10 --corner 90 --bevel 15 --side-thickness 3/4",
    "settings": "--need 1A:saw:120:tilt=15,fence=6 --need 2A:saw:90:tilt=0,fence=6",
}
JUNK = st.one_of(
    st.text(max_size=12),
    st.text("0123456789/:-.'\" inABdeg,=", max_size=12),
    st.sampled_from(
        ["", "0", "-1", "--", "-", "1/0", "999999", "9999999", "nan", "inf", "1e9", "89.9", "0:0"]
    ),
    st.sampled_from(
        ["1:1:A", "5’ 3”", "１２", "\x00", "{width}", "%s", "0.000000001", "75deg", ":::"]
    ),
)


@pytest.mark.parametrize("name", sorted(GOOD))
@given(data=st.data())
@settings(max_examples=20, deadline=None)
def test_no_value_makes_a_traceback(name: str, data: st.DataObject) -> None:
    words = GOOD[name].split()
    at = data.draw(st.sampled_from([i for i in range(len(words)) if not words[i].startswith("--")]))
    words[at - 1 : at + 1] = [f"{words[at - 1]}={data.draw(JUNK)}"]
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            status = main(["figure", name, *words])
        except SystemExit as left:
            status = int(str(left.code))
    assert status in (0, 2)
    assert bool(out.getvalue()) == (status == 0)
    assert err.getvalue().count("\n") == (1 if status == 2 else 0)


@pytest.mark.parametrize("name", sorted(GOOD))
def test_two_dashes_are_no_value(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    words = GOOD[name].split()
    with pytest.raises(SystemExit) as left:
        main(["figure", name, *words[:-2], f"{words[-2]}=--"])
    assert left.value.code == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert "expected one argument" in captured.err


@pytest.mark.parametrize("name", sorted(GOOD))
def test_the_good_words_are_good(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["figure", name, *GOOD[name].split()]) == 0
    assert capsys.readouterr().err == ""
