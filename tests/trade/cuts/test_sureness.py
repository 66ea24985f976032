"""How sure a mark is: readings are shaken by all they may be off, and the marks computed again.

What is shaken are true walls: the reading is what an instrument with an error of its own would
show of them. The bounds come from the rules of JCGM 100:2008 (F.2.2.1, 5.2.2 note 1), the slopes'
derivatives from sympy.
"""

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.errors import BadInput
from crewdesk.trade.cuts.board_end import EdgeProfile
from crewdesk.trade.cuts.instruments import REPEATS, USUAL_INSTRUMENTS, Instrument, apart_off
from crewdesk.trade.cuts.measured import (
    Measured,
    OnSlope,
    at_edges,
    end_ratios,
    in_slope,
    lean_of,
    offset_off,
    room,
    skew_of,
    skew_off,
)
from crewdesk.trade.cuts.pitch import Pitch, pitch_off_by_two, read_pitch, slope
from crewdesk.trade.cuts.side_board import EndReading, side_cut
from crewdesk.trade.cuts.skew import SkewReading
from crewdesk.trade.cuts.sloped_side import end_ratio, lean_ratio, sloped_side
from crewdesk.trade.cuts.sureness import (
    cleat_sureness,
    ends_must_agree,
    flat_board_sureness,
    must_agree,
    short_level,
    side_sureness,
    skew_allowed,
)

F = Fraction
LASER, TAPE = USUAL_INSTRUMENTS.laser, USUAL_INSTRUMENTS.tape
LEVEL, SQUARE = USUAL_INSTRUMENTS.level, USUAL_INSTRUMENTS.square

leans = st.tuples(st.integers(-64, 64), st.sampled_from((9, 16, 24, 48)))


def wall(gap: Fraction, level: int) -> EndReading:
    return EndReading(abs(gap), "in" if gap >= 0 else "out", F(level))


def shaken(reading: EndReading, by: int) -> EndReading:
    """The true wall behind a reading whose gap and whose level are both off one way."""
    ratio = lean_ratio(reading) + by * (LEVEL.step / 2 / reading.level + LEVEL.own)
    return wall(ratio * reading.level, int(reading.level))


@given(st.integers(1600, 6000), st.integers(160, 640), leans, leans, st.sampled_from((LASER, TAPE)))
def test_no_mark_goes_further_than_told_and_some_go_as_far(
    run32: int, height32: int, one: tuple[int, int], two: tuple[int, int], with_: Instrument
) -> None:
    """Every corner of the box of true walls behind run, gap and gap: half a step and the
    instrument's own error either way."""
    run, height = F(run32, 32), F(height32, 32)
    ends = (wall(F(one[0], 32), one[1]), wall(F(two[0], 32), two[1]))
    cut = side_cut(run, height, *ends)
    told = side_sureness(Measured(run, with_.length_off), height, ends)
    most = {"bottom_length": F(0), "top_length": F(0), "blank": F(0), "end1": F(0), "end2": F(0)}
    for run_off, off1, off2 in product((-1, 1), repeat=3):
        again = side_cut(
            run + run_off * (with_.step / 2 + with_.own),
            height,
            shaken(ends[0], off1),
            shaken(ends[1], off2),
        )
        for name in ("bottom_length", "top_length", "blank"):
            most[name] = max(most[name], abs(getattr(again, name) - getattr(cut, name)))
        for name in ("end1", "end2"):
            moved = abs(getattr(again, name).offset - getattr(cut, name).offset)
            most[name] = max(most[name], moved)
    assert most == {name: getattr(told, name) for name in most}


def test_the_usual_instruments() -> None:
    """NIST Handbook 44, section 5.52, table 2: a metal tape from 7 to 30 ft may be off by 1/16 in.
    The others as makers print them (common practice, no source)."""
    assert TAPE.own == F(1, 16)
    assert LASER.own == F(1, 16)
    assert LEVEL.own == SQUARE.own == F("0.0005")
    assert USUAL_INSTRUMENTS.line_laser.own * 30 * 12 == F(1, 8)
    # A level that is off by 0.0005 in per in puts the top of a 10 in side off by 0.005 in, and
    # half of 1/32 over 24 in another 10/24 of 1/64.
    assert offset_off(wall(F(0), 24), F(10)) == F("0.005") + F(10, 24 * 64)


def test_a_9_inch_level_under_a_14_inch_side() -> None:
    """1/64 in at the level is 14/9 of that at the board's top, and the level's own error 0.007
    in: together 0.0313, over 1/32. By 16 in it is 0.0207, under 1/32."""
    assert offset_off(wall(F(5, 32), 9), F(14)) == F(14, 9 * 64) + F("0.007")
    (told,) = short_level(1, wall(F(5, 32), 9), F(14))
    assert told.facts["grows"] == pytest.approx(14 / 9)
    assert (told.facts["off"], told.facts["longer"], told.facts["then"]) == ("3/64", 16, "1/32")
    assert short_level(1, wall(F(5, 32), 16), F(14)) == ()
    assert short_level(1, wall(F(5, 32), 14), F(14)) == ()


@given(
    st.integers(16, 144), leans, leans, st.sampled_from((1, 2)), st.integers(160, 640),
    st.sampled_from((F(1, 192), F(1, 96))),
)  # fmt: skip
def test_no_mark_on_a_slope_goes_further_than_told(
    pitch96: int, one: tuple[int, int], two: tuple[int, int], low: int, height32: int, off: Fraction
) -> None:
    """The true slope and the true walls, both at the ends and in the middle of what they may be."""
    ends = (wall(F(one[0], 64), 24), wall(F(two[0], 64), 24))
    height, pitch = F(height32, 32), Pitch(F(pitch96, 96), off)
    run = Measured(F(150), LASER.length_off)

    def made(by: tuple[int, int, int, int]):
        readings = (shaken(ends[0], by[2]), shaken(ends[1], by[3]))
        first, second = readings if low == 1 else readings[::-1]
        length = run.value + by[0] * run.off
        side = sloped_side(
            slope(Pitch(pitch.tangent + by[1] * off), length=length), height, first, second
        )
        end1, end2 = (side.low, side.high) if low == 1 else (side.high, side.low)
        return float(side.top_length), float(side.blank), float(end1.offset), float(end2.offset)

    nominal = made((0, 0, 0, 0))
    told = side_sureness(run, height, ends, slope=OnSlope(pitch, low))  # type: ignore[arg-type]
    most = [0.0] * 4
    for by in product((-1, 0, 1), repeat=4):
        most = [max(m, abs(a - b)) for m, a, b in zip(most, made(by), nominal, strict=True)]
    told_off = [float(x) for x in (told.top_length, told.blank, told.end1, told.end2)]
    assert all(m <= t + 1e-9 for m, t in zip(most, told_off, strict=True))
    assert most[0] == pytest.approx(told_off[0], rel=1e-9)
    assert most[2:] == pytest.approx(told_off[2:], rel=1e-9)


def test_a_slope_off_in_pitch_by_sympy_s_derivatives() -> None:
    """To first order, offset = h (t + a) / (1 - t a): what is left over is of second order. The
    pitch's part is common to both ends: between plumb walls none of it is left in the top edge."""
    import sympy

    t, a, h = sympy.symbols("t a h")
    offset = h * (t + a) / (1 - t * a)
    at = {t: F(1, 2), a: F(1, 100), h: F(10)}
    by_t, by_a = (
        F(*sympy.fraction(sympy.Rational(sympy.diff(offset, one).subs(at)))) for one in (t, a)
    )
    lean = Measured(F(1, 100), F(1, 10**6))
    found = end_ratios(lean, OnSlope(Pitch(F(1, 2), F(1, 10**5)), 1), 1)
    assert float(found.off * 10) == pytest.approx(
        float(by_t * F(1, 10**5) + by_a * F(1, 10**6)), rel=1e-4
    )
    plumb = (Measured(F(0), F(0)), Measured(F(0), F(0)))
    rough = OnSlope(read_pitch("6/12"), 1)
    assert end_ratios(plumb[0], rough, 1).off > 0
    assert room(Measured(F(120), F(0)), plumb, F(10), rough) == Measured(F(120), F(0))


def test_how_far_a_pitch_can_be_off_as_it_was_typed() -> None:
    """6/12 is read to the nearest 1/8 in 12: 6 1/16 in 12 at most (common practice, no source)."""
    import sympy

    assert read_pitch("6/12").off == F(1, 16) / 12
    assert read_pitch("6 in 12").off == F(1, 16) / 12
    # A digital angle gauge's 26.6 degrees is 26.8 at most; tan from sympy.
    steepest = sympy.tan(sympy.rad(sympy.Rational("26.8")))
    gauge = read_pitch("26.6deg")
    assert float(gauge.tangent + gauge.off) == pytest.approx(float(steepest))
    # By two readings with a tape: each off by 1/32 and 1/16.
    told = read_pitch("12:24").off
    off = F(3, 32)
    worst = max(abs((12 + r * off) / (24 + s * off) - F(1, 2)) for r in (-1, 1) for s in (-1, 1))
    assert told == worst == pitch_off_by_two(F(12), F(24), TAPE)
    # However short the run, a beam of the record opens.
    assert read_pitch("1/64:1/32").off > 0
    with pytest.raises(BadInput):
        pitch_off_by_two(F(12), F(0), TAPE)


BEVEL = F(3, 4) * F(7, 80)
"""The back bevel of 5 degrees over 3/4 in: tan 5 is 0.0875 (handbook tables)."""


@given(
    st.tuples(*[st.floats(-1, 1)] * 4), st.integers(-40, 40), st.integers(-40, 40),
    st.sampled_from((F(1, 4), F(3, 2), F(10))), st.integers(-80, 80),
)  # fmt: skip
def test_a_cleat_and_the_room_up_the_wall(
    by: tuple[float, ...], lean1: int, lean2: int, height: Fraction, behind1000: int
) -> None:
    """The room at a height is a line between both walls' planes, which are shaken; the cleat
    stays clear of both, and of the back bevel or of a wall that comes in more behind."""
    run = Measured(F(147), TAPE.length_off)
    walls = (Measured(F(lean1, 1000), F(1, 800)), Measured(F(lean2, 1000), F(1, 700)))
    behind = (Measured(F(behind1000, 500), F(1, 90)), None)

    def at(shake: tuple[float, ...]) -> tuple[float, float]:
        first, second = (
            float(w.value) + s * float(w.off) for w, s in zip(walls, shake, strict=False)
        )
        back = max(float(BEVEL), float(behind[0].value) + shake[3] * float(behind[0].off))
        start = first * float(height) + back
        length = 147 + shake[2] * float(run.off) - (first + second) * float(height) - back
        return start, length

    told = cleat_sureness(run, walls, height, behind=behind, bevel=BEVEL)
    (start, length), (start0, length0) = at(by), at((0, 0, 0, 0))
    assert abs(start - start0) <= float(told.start) + 1e-9
    assert abs(length - length0) <= float(told.length) + 1e-9
    corners = [at(one) for one in product((-1, 1), repeat=4)]
    assert max(abs(one[0] - start0) for one in corners) == pytest.approx(float(told.start))
    assert max(abs(one[1] - length0) for one in corners) == pytest.approx(float(told.length))
    top = room(run, walls, height)
    assert top.value == 147 - (walls[0].value + walls[1].value) * height
    assert top.off == run.off + (walls[0].off + walls[1].off) * height


RELIEF = EdgeProfile(F(3, 4), F(1, 4), F(15))
SQUARE_EDGE = EdgeProfile(F(3, 4), F(3, 4))
TAPED = (TAPE.length_off, TAPE.length_off)


def test_a_bottom_board_between_gentle_walls_is_as_sure_as_the_tape() -> None:
    """What it is cut short on purpose, 1/32, is more than 1/200 x 1/4 in an end asks for."""
    gentle = (Measured(F(1, 200), F(1, 800)), Measured(F(-1, 200), F(1, 800)))
    told = flat_board_sureness(TAPED, F(0), F(13, 2), RELIEF, gentle, F(1, 32))
    assert told == (F(3, 32), F(3, 32), F(3, 32), F(3, 32), None, None)


@given(
    st.tuples(*[st.floats(-1, 1)] * 2), st.integers(-120, 120), st.integers(-120, 120),
    st.sampled_from((RELIEF, SQUARE_EDGE)), st.sampled_from((F(0), F(1, 64), F(1, 32))),
)  # fmt: skip
def test_what_walls_ask_of_a_flat_board_s_length(
    by: tuple[float, float], in1: int, in2: int, profile: EdgeProfile, undercut: Fraction
) -> None:
    """The board is cut again for shaken walls, its ends by the joints that were chosen."""
    walls = (Measured(F(in1, 1000), F(1, 800)), Measured(F(in2, 1000), F(1, 700)))
    told = flat_board_sureness((F(0), F(0)), F(0), F(13, 2), profile, walls, undercut)
    beveled = [profile.need(one.value) > F(1, 64) for one in walls]

    def made(shake: tuple[float, float]) -> tuple[float, float]:
        at = [float(w.value) + s * float(w.off) for w, s in zip(walls, shake, strict=True)]
        asked = sum(
            0.0 if along else float(profile.need(one))
            for one, along in zip(at, beveled, strict=True)
        )
        edge = 120 - max(float(undercut), asked)
        backs = sum(one * 0.75 for one, along in zip(at, beveled, strict=True) if along)
        return edge, edge - backs

    nominal = made((0, 0))
    for shake in (by, *product((-1.0, 1.0), repeat=2)):
        edge, back = made(shake)
        assert abs(edge - nominal[0]) <= float(told.edge_a) + 1e-9
        assert abs(back - nominal[1]) <= float(told.back_a) + 1e-9
    worst = max(abs(made(one)[0] - nominal[0]) for one in product((-1.0, 1.0), repeat=2))
    assert worst == pytest.approx(float(told.edge_a), abs=1e-9)


def test_how_the_ends_of_a_flat_board_are_slanted() -> None:
    """Both squares s1, s2 and both edges: what is left over, r = EA - EB - (s1 + s2) d, is shared
    by 1/700^2 and 1/900^2, so o1 = s1 d + 49/130 r, o2 = s2 d + 81/130 r. Every corner."""
    across, apart = F(13, 2), F(3, 32)
    plumb = (Measured(F(0), F(0)), Measured(F(0), F(0)))
    squares = (Measured(F(1, 100), F(1, 900)), Measured(F(1, 50), F(1, 700)))

    def told(*read: Measured | None):
        return flat_board_sureness(TAPED, apart, across, RELIEF, plumb, F(1, 32), read)[4:]  # type: ignore[arg-type]

    def made(x: int, y: int, z: int) -> tuple[Fraction, Fraction]:
        one, two = squares[0].value + x * squares[0].off, squares[1].value + y * squares[1].off
        rest = z * apart - (one + two) * across
        return one * across + F(49, 130) * rest, two * across + F(81, 130) * rest

    corners = [made(*by) for by in product((-1, 1), repeat=3)]
    worst = [max(abs(one[at] - made(0, 0, 0)[at]) for one in corners) for at in (0, 1)]
    assert list(told(*squares)) == worst
    alike = (squares[0], squares[1]._replace(off=squares[0].off))
    assert told(*alike) == ((2 * across / 900 + apart) / 2,) * 2
    assert told(squares[0], None) == (across / 900, across / 900 + apart)
    assert told(None, squares[1]) == (across / 700 + apart, across / 700)
    assert told(None, None) == (None, None)


def test_lines_between_both_sides() -> None:
    """Straight walls: the room changes evenly across the beam (similar triangles)."""
    both = (Measured(F(148), F(1, 8)), Measured(F(147), F(1, 16)))
    near, far = at_edges(both, (F(2), F(6)), F(8))
    assert near == Measured(148 - F(2, 8), F(1, 8) * F(6, 8) + F(1, 16) * F(2, 8))
    assert far == Measured(148 - F(6, 8), F(1, 8) * F(2, 8) + F(1, 16) * F(6, 8))
    # By one run and both squares: A longer by 1 in 16 at both ends together, 1/2 in over 8 in.
    squares = (Measured(F(1, 32), F(1, 1000)), Measured(F(1, 32), F(1, 1000)))
    for rooms in ((both[0], None), (None, Measured(both[0].value - F(1, 2), F(1, 8)))):
        near, far = at_edges(rooms, (F(2), F(6)), F(8), squares)
        assert near is not None
        assert far is not None
        assert (near.value, far.value) == (148 - F(2, 16), 148 - F(6, 16))
    assert near.off == F(1, 8) + F(6, 500)
    assert at_edges((both[0], None), (F(2), F(6)), F(8), (squares[0], None)) == (None, None)
    assert at_edges((None, None), (F(2), F(6)), F(8), squares) == (None, None)


@given(st.integers(-30, 30), st.integers(8, 96), st.sampled_from((1, 2)), st.integers(-20, 20))
def test_a_skew_in_the_slope_by_planes(skew: int, pitch96: int, end: int, lean: int) -> None:
    """The wall's plane cut by the board's: unit vectors and a cross product, by sympy. The wall's
    normal is (1, skew, -lean), x away from the wall; the board's plane is tilted by the slope."""
    import sympy

    tangent = F(pitch96, 96)
    theta = sympy.atan(sympy.Rational(pitch96, 96)) * (1 if end == 1 else -1)
    wall_normal = sympy.Matrix([1, sympy.Rational(skew, 100), -sympy.Rational(lean, 200)])
    board = sympy.Matrix([-sympy.sin(theta), 0, sympy.cos(theta)])
    line = wall_normal.cross(board)
    along = line.dot(sympy.Matrix([sympy.cos(theta), 0, sympy.sin(theta)]))
    # x falls by the skew for every inch across: along / across = -skew in the plane.
    expected = -float(along / line[1])
    found = in_slope(
        Measured(F(skew, 100), F(0)), Measured(F(lean, 200), F(0)), OnSlope(Pitch(tangent), 1),
        end,  # type: ignore[arg-type]
    )  # fmt: skip
    assert float(found.value) == pytest.approx(expected, abs=1e-12)
    assert in_slope(Measured(F(1), F(0)), found, None, 1) == Measured(F(1), F(0))


def test_a_skew_by_a_square() -> None:
    """Half of 1/32 over a 12 in leg, and 0.0005 in per in of the square, over 8 in."""
    assert skew_off(F(12), F(8)) == F(1, 96) + F("0.004")
    assert skew_of(SkewReading(F(1, 4), F(12), "B")) == Measured(
        F(-1, 48), F(1, 64 * 12) + F("0.0005")
    )
    with pytest.raises(BadInput):
        skew_off(F(0), F(8))


def test_how_far_squares_and_runs_may_lie_apart() -> None:
    """One laser's own error is in both runs and drops out; two squares' are not common."""
    squares = (Measured(F(0), F(1, 800)), Measured(F(0), F(1, 600)))
    allowed = skew_allowed(F(8), (LASER, LASER), squares)
    assert allowed == F(1, 32) + REPEATS + F(8, 800) + F(8, 600)
    other = skew_allowed(F(8), (LASER, TAPE), squares)
    assert other == F(1, 64) + F(1, 32) + F(1, 16) + F(1, 16) + F(8, 800) + F(8, 600)


@pytest.mark.parametrize(("apart", "agrees"), [(F(3, 32), True), (F(7, 64), False), (F(0), True)])
def test_two_readings_of_one_thing(apart: Fraction, agrees: bool) -> None:
    """With one tape: half of 1/16 twice, and what it is set down otherwise."""
    for second in (F(120) + apart, F(120) - apart):
        if agrees:
            must_agree(F(120), second, apart_off(TAPE, TAPE))
        else:
            with pytest.raises(BadInput) as told:
                must_agree(F(120), second, apart_off(TAPE, TAPE))
            assert told.value.facts["apart"] == apart


@given(
    st.integers(0, 6400), st.sampled_from((16, 32, 64)), st.sampled_from((16, 32, 64)),
    st.floats(-1, 1), st.floats(-1, 1), st.booleans(),
)  # fmt: skip
def test_honest_readings_of_one_length_always_agree(
    true100: int, one: int, two: int, off1: float, off2: float, same: bool
) -> None:
    """Whatever the true length and however far the instruments are off by themselves, their two
    roundings never stop the work."""
    true = F(true100, 100)
    first = LASER._replace(step=F(1, one))
    second = (LASER if same else TAPE)._replace(step=F(1, two))
    own1 = F(off1) * first.own
    own2 = own1 if same else F(off2) * second.own
    read1, read2 = F(round((true + own1) * one), one), F(round((true + own2) * two), two)
    must_agree(read1, read2, apart_off(first, second))


def test_an_instrument_that_nobody_knows_is_none_of_the_known() -> None:
    """It is as coarse as the coarsest, and nothing says that it was the same twice."""
    unknown = USUAL_INSTRUMENTS.for_length("stick")
    assert (unknown.step, unknown.own) == (F(1, 16), F(1, 16))
    assert apart_off(unknown, unknown) == F(1, 16) + F(1, 8)


def test_two_levels_at_one_wall() -> None:
    ends_must_agree(wall(F(1, 4), 24), wall(F(3, 32), 9), F(12))
    # One level turned end for end is off both ways: 0.0005 x 24 twice, and half a step twice.
    most = 2 * (F("0.012") + F(1, 64))
    ends_must_agree(wall(F(1, 4), 24), wall(F(1, 4) + most, 24), F(12))
    with pytest.raises(BadInput):
        ends_must_agree(wall(F(1, 4), 24), wall(F(1, 4) + most + F(1, 1000), 24), F(12))
    with pytest.raises(BadInput) as told:
        ends_must_agree(wall(F(1, 4), 24), wall(F(1, 4), 9), F(12))
    assert "Two readings of one wall put the offset" in str(told.value)
    with pytest.raises(BadInput):
        ends_must_agree(wall(F(1, 4), 24), wall(F(-1, 4), 24), F(12))


@pytest.mark.parametrize("name", ["laser", "tape", "level"])
def test_a_step_is_more_than_zero(name: str) -> None:
    with pytest.raises(BadInput):
        getattr(USUAL_INSTRUMENTS, name)._replace(step=F(0))


def test_end_ratios_are_the_end_cuts() -> None:
    reading = wall(F(1, 4), 24)
    assert end_ratios(lean_of(reading), None, 1).value == lean_ratio(reading)
    pitch = Pitch(F(1, 2))
    for end, way in ((1, "low"), (2, "high")):
        told = end_ratios(lean_of(reading), OnSlope(pitch, 1), end)  # type: ignore[arg-type]
        assert told.value == end_ratio(pitch, lean_ratio(reading), way)  # type: ignore[arg-type]
