"""How accuracies are shown: never as finer than they are."""

from fractions import Fraction as Fr

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.job.beams.uncertainty import Sureness
from crewdesk.length import STEPS
from crewdesk.paper.text.mark_text import uncertainty_line, uncertainty_lines, within, within_json

MM = STEPS["mm"]


@pytest.mark.parametrize(
    ("off", "inches", "millimeters"),
    [
        # An inch is 25.4 mm (NIST SP 811, appendix B).
        (Fr(1, 64), "1/64 in", "0.5 mm"),
        (Fr(1, 64) + Fr(1, 10**9), "1/32 in", "0.5 mm"),
        (Fr(5, 64), "5/64 in", "2 mm"),
        (Fr(1, 16), "1/16 in", "2 mm"),
        (1 / Fr("25.4"), "3/64 in", "1 mm"),
        (Fr(0), "0 in", "0 mm"),
    ],
)
def test_an_accuracy_is_rounded_up(off: Fr, inches: str, millimeters: str) -> None:
    assert within(off) == inches
    assert within(off, MM) == millimeters


@given(st.fractions(0, 2, max_denominator=10**6))
def test_never_finer_and_never_a_step_coarser(off: Fr) -> None:
    told = within_json(off)
    whole, _, part = told["shown"].rpartition(" ")
    shown = Fr(whole or 0) + Fr(part)
    assert 0 <= shown - off < Fr(1, 64)
    assert told["exact"] == str(off)
    shown_mm = Fr(within_json(off, MM)["shown"].removesuffix(" mm"))
    assert 0 <= shown_mm - off * Fr("25.4") < Fr(1, 2)


def test_one_line_for_all_marks_of_a_piece() -> None:
    side = Sureness(
        {
            "bottom_length": Fr(5, 64),
            "top_length": Fr("0.123"),
            "blank": Fr(5, 64),
            "end1": Fr("0.0224"),
            "end2": Fr("0.0224"),
            "relief2": Fr(1, 100),
        }
    )
    assert uncertainty_lines(side) == [
        "within (in): bottom edge 5/64, top edge 1/8, blank 5/64, offsets 1/32, back at end 2 1/64"
    ]
    bottom = {"edge_a": Fr(3, 32), "edge_b": Fr(3, 32), "back_a": Fr(1, 8), "cut2": Fr(1, 100)}
    assert uncertainty_line(Sureness(bottom)) == "within (in): length 3/32, slant at end 2 1/64"
    assert uncertainty_line(Sureness(bottom), MM) == "within (mm): length 2.5, slant at end 2 0.5"
    apart = Sureness({"edge_a": Fr(3, 32), "edge_b": Fr(1, 8)})
    assert uncertainty_line(apart) == "within (in): edge A 3/32, edge B 1/8"
    cleats = Sureness({"start_A": Fr(1, 64), "length_A": Fr(1, 8), "length_wall": Fr(3, 32)})
    assert (
        uncertainty_line(cleats)
        == "within (in): start on side A 1/64, length on side A 1/8, length on the wall 3/32"
    )
    assert uncertainty_lines(Sureness({})) == []
