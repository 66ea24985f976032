"""Marks in rooms that aren't plain: slopes, ridges, walls out of square, along one wall.

Every expected value is derived by hand in the test, from planes and similar triangles.
"""

import math
from fractions import Fraction as Fr

import pytest

from crewdesk.errors import BadInput
from crewdesk.job.beams import beams, take
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.beams.piece import Spot
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import BottomMarks, CleatMarks, SideMarks, marks
from crewdesk.job.cuts.scribing import read_ceiling, scribe_of
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.trade.cuts.ceiling import DROP_SHORT, Station
from crewdesk.trade.cuts.forms import TO_SCRIBE
from crewdesk.trade.cuts.section import Section

LEVEL = "24"


@pytest.fixture
def beam_of(record, now):
    """Adds a beam and returns its row."""

    def add(**more) -> str:
        record.make(beams.add_beam(record, "new", "Attic", now, **more))
        return beams.find_beam(record, "Attic new").row

    return add


@pytest.fixture
def read(record, now):
    def go(row: str, key: str, **readings: str) -> None:
        for what, text in readings.items():
            gap, _, lean = text.partition(":")
            one = take.typed_reading(record, what, gap, now, lean=lean, level=LEVEL)
            record.make(take.take(record, Spot(row, key), what, one))

    return go


def made(record, row: str, key: str):
    beam = record.beam(row)
    return marks(beam, beam.piece(key))


def stations(*heights: tuple[Fr, Fr]) -> tuple[Station, ...]:
    return tuple(Station(Fr(60) * at, a, b) for at, (a, b) in enumerate(heights))


def test_a_pair_along_a_ridge_with_unequal_drops_is_scribed_as_one(record, beam_of) -> None:
    """Width 8, drops 10 and 11, 6/12 over A and 4/12 over B, the ceiling true: over the show
    faces it stands 2 and 4/3 below the ridge. Nothing needs cutting but the margin, 1/8;
    side A's show face is 10 - 2 = 8 and side B's 11 - 4/3, so B's bottom edge hangs 1 lower."""
    row = beam_of(
        form="ridge", section=Section(Fr(8), Fr(10)), height_b=Fr(11), pitch="6/12", pitch_b="4/12"
    )
    high = Fr(12)
    true = stations(*[(high - 2, high - Fr(4, 3))] * 3)
    scribe = scribe_of(record.beam(row), true)
    assert scribe is not None
    assert scribe.setting == Fr(1, 8)
    bottoms = {
        mark.side: c - mark.finished_height
        for mark, c in zip(scribe.marks, [high - 2] * 3 + [high - Fr(4, 3)] * 3, strict=True)
    }
    assert bottoms["A"] - bottoms["B"] == 1


def test_the_bottom_of_unequal_drops_lies_tilted_between_the_inner_faces(record, beam_of) -> None:
    """Drops 10 and 11 over 6 1/2 in between the sides: down 1 in 6 1/2 toward B, 6.576 along
    the tilt; the square flat of 1/4 takes 1/4 x 1/6.5 of it. The back stands 3/4 / cos over
    the show face, and the square cleat on the lower side is raised by 3/4 x 1/6.5."""
    row = beam_of(
        form="ridge",
        section=Section(Fr(8), Fr(10), fit=Fr(1, 32)),
        height_b=Fr(11),
        pitch="6/12",
        pitch_b="4/12",
    )
    bottom = made(record, row, "bottom")
    assert isinstance(bottom, BottomMarks)
    tilt = 1 / 6.5
    wide = math.hypot(6.5, 1) - 1 / 32 - 0.25 * tilt
    assert float(bottom.width) == pytest.approx(wide)
    assert bottom.tilt == pytest.approx(-math.degrees(math.atan(tilt)))
    told = next(one for one in mark_list(bottom, "bottom") if one.id == "tilt")
    assert "edge B lower" in told.name
    side_a, side_b = (made(record, row, key) for key in "AB")
    line = 0.25 + 0.75 * math.hypot(1, tilt)
    # On the higher side the back's corner lies a relief in and a thickness square to the face.
    angle, relief = math.atan(tilt), 0.5 * math.tan(math.radians(15))
    corner = 0.25 - relief * math.sin(angle) + 0.75 * math.cos(angle)
    assert float(side_a.cleat_line) == pytest.approx(corner)
    assert float(side_b.cleat_line) == pytest.approx(line + 0.75 * tilt)


def test_with_equal_drops_the_bottom_lies_flat(record, beam_of) -> None:
    """8 - 2 x 3/4 - 1/32 = 6 15/32."""
    row = beam_of(form="ridge", section=Section(Fr(8), Fr(10), fit=Fr(1, 32)), pitch="6/12")
    bottom = made(record, row, "bottom")
    assert (bottom.width, bottom.tilt) == (Fr("207/32"), 0)


def test_heights_over_a_slope_are_those_off_the_slope(record, now, beam_of) -> None:
    """At 1/12 a level line sees the ceiling climb 120 x sin(atan(1/12)), about 9 61/64 in.
    That is the slope, not the ceiling's error, and is refused; off a line parallel to the
    slope the setting is what the ceiling is out, 1/8 in, and the margin, 1/8."""
    row = beam_of(ceiling="sloped", pitch="1/12")
    climb = Fr(120 * math.sin(math.atan(1 / 12))).limit_denominator(32)
    level = stations(*[(Fr(5) + climb * at / 2,) * 2 for at in range(3)])
    with pytest.raises(BadInput, match="parallel to the slope"):
        read_ceiling(record, row, level, now)
    true = stations((Fr(5), Fr(5)), (Fr(41, 8), Fr(5)), (Fr(5), Fr(5)))
    scribe = scribe_of(record.beam(row), true)
    assert scribe is not None
    assert scribe.setting == Fr(1, 4)
    # With the low end named wrongly, or the places counted from the other end, too.
    with pytest.raises(BadInput, match="lower end is set to end 1"):
        scribe_of(record.beam(row), tuple(one._replace(at=120 - one.at) for one in reversed(level)))
    other = beam_of_low_end_2(record, now)
    falling = tuple(one._replace(at=120 - one.at) for one in reversed(level))
    with pytest.raises(BadInput, match="parallel to the slope"):
        scribe_of(record.beam(other), falling)


def beam_of_low_end_2(record, now) -> str:
    record.make(beams.add_beam(record, "2", "Attic", now, ceiling="sloped", pitch="1/12", low=2))
    return beams.find_beam(record, "Attic 2").row


def test_the_lowest_finished_side_is_taken_over_both(record, beam_of) -> None:
    """Side A 10 in, side B 8 in under a ceiling 2 in lower: both lose the margin alone, and
    B finishes at 7 7/8 in. A wanted drop of 8 is out of its reach."""
    row = beam_of(form="uneven", height_b=Fr(8), drop=Fr(8))
    scribe = scribe_of(record.beam(row), stations(*[(Fr(12), Fr(10))] * 3))
    assert scribe is not None
    assert (scribe.setting, scribe.lowest_drop, scribe.meets_drop) == (
        Fr(1, 8),
        Fr("63/8"),
        False,
    )
    assert DROP_SHORT in [one.text for one in scribe.cautions]


def test_cleats_under_a_slope_stay_inside_their_sides(record, read, beam_of) -> None:
    """At 6/12 the low end's plumb cut takes 1/2 per inch up: 7/8 at the cleat's top edge,
    1 3/4 up; the high end's gives 1/2 at its lower edge. So the cleat is 3/8 shorter than the
    side, besides the back bevels and the clearance."""
    row = beam_of(ceiling="sloped", pitch="6/12")
    read(row, "A", run="100", end1="0:in", end2="0:in")
    cleats = made(record, row, "cleats")
    assert isinstance(cleats, CleatMarks)
    off = 2 * (0.75 * math.tan(math.radians(5)) + 1 / 16)
    assert float(cleats.lengths[0]) == pytest.approx(100 - 0.375 - off)
    assert float(cleats.cleats[0].start) == pytest.approx(0.875 + off / 2)
    assert cleats.lengths[1] is None


def test_the_side_whose_show_face_has_more_room_needs_its_back_relieved(
    record, read, now, beam_of
) -> None:
    row = beam_of()
    record.make(
        read_squares(
            record, row, (TypedSquare(1, "1", "12", "A"), TypedSquare(2, "1", "24", "B")), now
        )
    )
    a, b = made(record, row, "A"), made(record, row, "B")
    assert isinstance(a, SideMarks)
    assert a.reliefs[0] is not None
    assert (a.reliefs[0].by, a.reliefs[1]) == (Fr(1, 16), None)
    assert b.reliefs[1] is not None
    assert (b.reliefs[0], b.reliefs[1].by) == (None, Fr(1, 32))


def test_a_top_board_is_cut_to_the_sides_at_its_own_height(record, read, now, beam_of) -> None:
    """A box 10 in deep, 8 in wide: both walls come in by 1/48 per inch up, so at the upper
    face of the top they are 100 - 2 x 10/48 apart; 1/32 off for going in."""
    row = beam_of(form="box")
    assert made(record, row, "top").length is None
    for key in "AB":
        read(row, key, run="100", end1="1/2:in", end2="1/2:in")
    top = made(record, row, "top")
    assert isinstance(top, BottomMarks)
    assert top.length == 100 - Fr(20, 48) - Fr(1, 32)
    assert top.cut is not None
    assert [end.joint for end in top.cut.ends] == ["square", "square"]


def test_the_bottom_along_a_wall_has_stock_to_scribe(record, beam_of) -> None:
    row = beam_of(form="wall")
    bottom = made(record, row, "bottom")
    assert bottom.width == 8 - Fr(3, 4) + TO_SCRIBE
    assert bottom.joints == ("relief", "scribed")
    names = [(one.id, one.note) for one in mark_list(bottom, "bottom")]
    assert ("width", "with stock to scribe to the wall") in names


def test_mitered_boards_are_of_one_thickness(record, now, beam_of) -> None:
    thin = Section(Fr(8), Fr(10), bottom_thickness=Fr(1, 2))
    with pytest.raises(BadInput, match="one thickness"):
        beam_of(form="mitred", section=thin)
    row = beam_of(form="mitred box")
    with pytest.raises(BadInput, match="one thickness"):
        beams.change_beam(record, row, {"section": thin}, now)


def test_a_mitered_boxs_sides_are_mitered_at_both_edges_and_its_ends_are_square(
    record, read, now, beam_of
) -> None:
    row = beam_of(form="mitred box")
    for key in "AB":
        read(row, key, run="100", end1="0:in", end2="0:in")
    read(row, "bottom", opening="100")
    ids = [one.id for one in mark_list(made(record, row, "A"), "A")]
    assert {"bottom_edge", "top_edge"} <= set(ids)
    for key in ("bottom", "top"):
        board = made(record, row, key)
        assert board.cut is not None
        assert [end.joint for end in board.cut.ends] == ["square", "square"]
    lines = cut_list("id", record, "Attic new").lines
    assert any("top edge mitered, blade 45\u00b0" in line for line in lines)


def test_a_flat_of_nothing_is_a_relief_to_a_knife_edge(record, beam_of) -> None:
    row = beam_of(section=Section(Fr(8), Fr(10), flat=Fr(0)))
    (edges,) = (
        one for one in mark_list(made(record, row, "bottom"), "bottom") if one.id == "edges"
    )
    assert edges.name.startswith("relief bevel")
    assert "knife edge" in edges.note


def test_each_depth_along_a_ridge_says_what_it_is(record, beam_of) -> None:
    beam_of(form="ridge", height_b=Fr(11), pitch="6/12")
    lines = "\n".join(cut_list("id", record, "Attic new").lines)
    assert "drop from the ridge side A 10 in, side B 11 in" in lines
    assert "side width 8 in at the show face" in lines
    assert "top edge along the ridge: width at the back 8 3/8 in" in lines


def test_a_blank_is_shown_rounded_up_and_what_goes_in_rounded_down(record, now, read) -> None:
    """At a step of 1/16: 6 15/32 shows as 6 7/16+, and a run of 147 5/32 as 147 1/8+."""
    fit = Section(Fr(8), Fr(10), fit=Fr(1, 32))
    record.make(beams.change_job(record, {"step": "1/16"}, now))
    record.make(beams.change_beam(record, "1", {"section": fit}, now))
    read("1", "A", run="147-5/32", end1="1/8:out", end2="1/8:out")
    pieces = cut_list("id", record, "Ridge").values["beams"][0]["pieces"]
    side = next(one for one in pieces if one["piece"] == "A")["marks"]
    bottom = next(one for one in pieces if one["piece"] == "bottom")["marks"]
    assert bottom["width"]["shown"] == "6 7/16+"
    assert side["bottom_length"]["shown"] == "147 1/8+"
    assert side["blank"]["exact"] == str(Fr(147) + Fr(5, 32) + 2 * Fr(1, 8) * 10 / 24)
    assert side["blank"]["shown"] == "147 5/16-"


def test_a_tilted_bottom_meets_leaning_walls_in_its_own_plane(record, read, beam_of) -> None:
    """Tilted down toward B by atan(1/6.5); a wall that comes in by 1/12 per inch up meets it
    as -1/12 x sin across (edge B, the lower, reaches farther) and 1/12 x cos behind."""
    row = beam_of(
        form="ridge", section=Section(Fr(8), Fr(10)), height_b=Fr(11), pitch="6/12", pitch_b="4/12"
    )
    for key in "AB":
        read(row, key, run="100", end1="2:in", end2="0:in")
    read(row, "bottom", opening="100")
    bottom = made(record, row, "bottom")
    assert bottom.cut is not None
    first = bottom.cut.ends[0]
    across = math.sin(math.atan(1 / 6.5)) / 12 * float(bottom.width)
    assert first.longer == "B"
    assert float(first.offset) == pytest.approx(-across)
    assert first.joint == "bevel"
    assert float(first.back_short) == pytest.approx(0.75 * math.cos(math.atan(1 / 6.5)) / 12)
