"""The dry fit of a marked board, against boards and walls drawn by shapely."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon
from shapely.affinity import rotate, translate

from crewdesk.trade.cuts.board_end import EdgeProfile
from crewdesk.trade.cuts.dry_fit import (
    BackCut,
    FlatBoard,
    FlatEnd,
    FlatRoom,
    SideRoom,
    flat_fit,
    side_fit,
)
from crewdesk.trade.cuts.frame_fit import FrameWay, WallPlane, frame_way

F = Fraction
leans = st.integers(-24, 24).map(lambda n: F(n, 240))
small = st.integers(-8, 8).map(lambda n: F(n, 64))


def entered(
    board: list[tuple[float, float]], room: list[tuple[float, float]], slid: float
) -> float:
    """How deep a board's ends are in the walls at the worse one, at the worst height, slid on by
    so much; `board` and `room` are where their ends are, at some heights."""
    return max(
        max(wall1 - end1 - slid, end2 + slid - wall2)
        for (end1, end2), (wall1, wall2) in zip(board, room, strict=True)
    )


def least_entered(board: list[tuple[float, float]], room: list[tuple[float, float]]) -> float:
    """The same at the best place: a convex function, a third cut off its range each time."""
    low, high = -5.0, 5.0
    while high - low > 1e-11:
        third = (high - low) / 3
        if entered(board, room, low + third) < entered(board, room, high - third):
            high -= third
        else:
            low += third
    return entered(board, room, low)


@given(leans, leans, small, small, small)
def test_a_side_is_slid_along_as_one_rigid_board(
    lean1: Fraction, lean2: Fraction, more: Fraction, off1: Fraction, off2: Fraction
) -> None:
    """What it enters both walls by where that is least, at one place for all heights; there
    shapely finds no more of it in the walls than that."""
    length, high = 60 + more, F(10)
    offsets = (lean1 * high + off1, lean2 * high + off2)
    fit = side_fit(SideRoom(F(60), (lean1, lean2), (None, None)), length, offsets, high, F(3, 4))
    parts = [F(one, 10) for one in range(11)]
    board = [(float(offsets[0] * p), float(length - offsets[1] * p)) for p in parts]
    room = [(float(lean1 * high * p), float(60 - lean2 * high * p)) for p in parts]
    over = 2 * least_entered(board, room)
    assert float(fit.over) == pytest.approx(max(over, 0.0), abs=1e-8)
    assert float(fit.slack) == pytest.approx(-over, abs=1e-8)
    if fit.over:
        assert fit.way == "no way"
        assert min(one.gap for one in fit.touching) == fit.touches.gap == fit.slack / 2
    outline = Polygon([(board[0][0], 0), (board[0][1], 0), (board[-1][1], 10), (board[-1][0], 10)])
    near = min(b - r for (b, _), (r, _) in zip(board, room, strict=True))
    outline = translate(outline, -near + float(fit.slack) / 2)
    wider = max(0.0, over / 2) + 1e-7
    walls = [(-wider, 0), (60 + wider, 0), (room[-1][1] + wider, 10), (room[-1][0] - wider, 10)]
    assert Polygon(walls).covers(outline.buffer(-1e-9))


def test_two_ends_that_run_the_same_way_against_their_walls_add_up() -> None:
    """Cut 120 x 10 with square ends, between walls that come in by 1/2 over 24 at end 1 and go
    out by as much at end 2: end 1's top must go 10/48 in toward end 2, and end 2's bottom
    corner stands at its wall already."""
    walls = (F(1, 48), F(-1, 48))
    fit = side_fit(SideRoom(F(120), walls, (None, None)), F(120), (F(0), F(0)), F(10), F(3, 4))
    assert (fit.way, fit.over) == ("no way", F(10, 48))
    assert [(one.end, one.place) for one in fit.touching] == [(1, "top"), (2, "bottom")]


@given(st.integers(-12, 12), st.integers(-12, 12), small, small, small)
def test_a_back_as_it_was_beveled_counts_like_the_show_face(
    turn1: int, turn2: int, more: Fraction, below: Fraction, above: Fraction
) -> None:
    """A wall that comes in by n / 96 per inch behind the show face enters a 3/4 in board's back
    by 3/4 n / 96, less what was taken off it, from 1 in up and below that."""
    behind, thick = (F(turn1, 96), F(turn2, 96)), F(3, 4)
    pared = abs(below)
    backs = (BackCut(pared, pared + abs(above)), None)
    room = SideRoom(F(60), (F(0), F(0)), behind)
    fit = side_fit(room, 60 + more, (F(0), F(0)), F(10), thick, backs=backs)
    in_wall = max(F(0), behind[0] * thick - pared)  # end 2's back is still to be relieved
    in_wall = F(0) if in_wall <= F(1, 128) else in_wall
    assert fit.slack == -more - in_wall
    assert fit.touching[0].place == ("back" if in_wall else "bottom")
    assert fit.opens.gap == max(fit.slack / 2 + in_wall, fit.slack / 2)
    assert fit.opens.place != "back"


@given(leans, leans)
def test_straight_up_is_what_shapely_finds_on_the_way(lean1: Fraction, lean2: Fraction) -> None:
    """Lowered by half its width and by all of it, the board still finds a place between the
    walls (which go on downward) just where the fit says that it slides straight up."""
    high = F(10)
    offsets = (lean1 * high, lean2 * high)
    fit = side_fit(SideRoom(F(60), (lean1, lean2), (None, None)), F(60), offsets, high, F(3, 4))
    board = Polygon([(0, 0), (60, 0), (60 - float(offsets[1]), 10), (float(offsets[0]), 10)])
    walls = Polygon(
        [
            (float(lean1) * -30, -30),
            (60 + float(lean2) * 30, -30),
            (60 - float(lean2) * 30, 30),
            (float(lean1) * 30, 30),
        ]
    ).buffer(1e-6)
    goes = all(walls.covers(translate(board, -float(lean1) * down, -down)) for down in (5.0, 10.0))
    assert (fit.way == "straight up") == goes


def test_a_side_between_walls_out_at_the_top_swings_in_with_its_back_beveled() -> None:
    """Swung in plan about end 1, the back corner of a 3/4 in board 60 in long sweeps
    (3/4)^2 / 120 = 0.0047 in past its length: drawn turned by the angle of the worst."""
    room = SideRoom(F(60), (F(-1, 24), F(-1, 24)), (F(0), F(0)))
    fit = side_fit(room, F(60), (F(-10, 24), F(-10, 24)), F(10), F(3, 4))
    assert fit.way == "one end first"
    (bevel,) = fit.bevels
    assert (bevel.end, bevel.start, bevel.pare) == (2, 1, False)
    plan = Polygon([(0, 0), (60, 0), (60, 0.75), (0, 0.75)])
    worst = max(
        rotate(plan, -math.degrees(angle), origin=(0, 0)).bounds[2] - 60
        for angle in (step * 0.75 / 60 / 50 for step in range(101))
    )
    assert float(bevel.by) == pytest.approx(worst, abs=1e-6)
    assert bevel.deg == 5


def test_where_the_show_face_has_more_room_the_back_must_be_relieved() -> None:
    """1/6 over a 3/4 in board is 1/8 in, 9.5 degrees, more than the usual 5."""
    room = SideRoom(F(60), (F(0), F(0)), (F(1, 6), F(-1, 6)))
    fit = side_fit(room, F(60), (F(0), F(0)), F(10), F(3, 4))
    (bevel,) = fit.bevels
    assert (bevel.end, bevel.by) == (1, F(1, 8))
    assert bevel.deg == pytest.approx(math.degrees(math.atan(1 / 6)))


USUAL = EdgeProfile(F(3, 4), F(1, 4), F(15))
WIDE = F(13, 2)
SQUARE = (F(0), F(0))


def room(long, walls=SQUARE, *, slants=SQUARE, up=None) -> FlatRoom:
    """A room for a bottom: `long` along edge A, between walls that come in by `walls`."""
    return FlatRoom(F(long), slants, walls, WIDE, up)


def flat(long, *, offsets=SQUARE, beveled=SQUARE, wide=WIDE) -> FlatBoard:
    """A usual bottom: its back is relieved, or cut along a wall that comes in by `beveled`."""
    ends = tuple(
        FlatEnd(offset, F(0), along * F(3, 4)) if along else FlatEnd(offset, F(1, 4), USUAL.relief)
        for offset, along in zip(offsets, beveled, strict=True)
    )
    return FlatBoard(F(long), wide, F(3, 4), ends, (USUAL.relief, USUAL.relief))


def test_a_bottom_over_its_reading_does_not_go_in() -> None:
    fit = flat_fit(room(100), flat(F(801, 8)))
    assert (fit.way, fit.over, fit.touches.end) == ("no way", F(1, 8), 1)
    wide = flat_fit(room(100), flat(99, wide=F(209, 32)))
    assert (wide.way, wide.touches.place, wide.over) == ("no way", "width", F(1, 32))
    good = flat_fit(room(100), flat(F(3199, 32)))
    assert (good.way, good.over, good.slack) == ("straight up", 0, F(1, 32))


@given(small, small, small, small, small)
def test_a_flat_boards_outline_stands_between_its_walls_as_shapely_draws_it(
    more: Fraction, wall1: Fraction, wall2: Fraction, cut1: Fraction, cut2: Fraction
) -> None:
    """Seen from below: slid along, the board lies in the room by as much as the fit has free,
    and out of it if it is moved on by any more; its gaps are what is between the outlines."""
    fit = flat_fit(room(60, slants=(wall1, wall2)), flat(60 - more - F(1, 4), offsets=(cut1, cut2)))
    high = float(WIDE)
    walls = Polygon([(0, 0), (60, 0), (60 - float(wall2), high), (float(wall1), high)])
    long = float(60 - more - F(1, 4))
    board = Polygon([(0, 0), (long, 0), (long - float(cut2), high), (float(cut1), high)])
    at = max(0.0, float(wall1 - cut1))  # as far toward end 1 as it goes
    free = float(fit.slack)
    if free < 1e-6:
        assert fit.over == -fit.slack or free > -1e-6
        return
    for on, inside in ((1e-7, True), (free - 1e-7, True), (free + 1e-4, False)):
        assert walls.buffer(1e-6).covers(translate(board, at + on)) == inside
    middle = at + free / 2
    drawn = [
        middle,
        middle + float(cut1 - wall1),
        60 - long - middle,
        60 - float(wall2) - (long - float(cut2)) - middle,
    ]
    assert [float(one.gap) for one in fit.shows] == pytest.approx(drawn, abs=1e-9)
    assert float(fit.opens.gap) == pytest.approx(max(drawn), abs=1e-9)


def test_a_bottom_with_square_ends_in_a_parallelogram_room_is_too_long() -> None:
    """Both walls turned the same way by 1 in 24: over 6 1/2 in each is 13/48 in off square. A
    square board as long as the edges takes that much more room, however it is slid."""
    turned = room(120, slants=(WIDE / 24, -WIDE / 24))
    square = flat_fit(turned, flat(120 - F(1, 32)))
    assert square.way == "no way"
    assert square.over == F(13, 48) - F(1, 32)
    assert [(one.end, one.place) for one in square.touching] == [(1, "edge B"), (2, "edge A")]
    right = flat_fit(turned, flat(120 - F(1, 32), offsets=(WIDE / 24, -WIDE / 24)))
    assert (right.way, right.slack) == ("straight up", F(1, 32))
    wrong = flat_fit(turned, flat(120 - F(1, 32), offsets=(-WIDE / 24, WIDE / 24)))
    assert wrong.over == 2 * F(13, 48) - F(1, 32)


def test_a_bottom_that_rises_across_needs_more_room_to_come_up_one_end_first() -> None:
    """Turned degree by degree: both edges' corners at the show face, one edge 1 in higher, about
    one end's corner; the walls go out by 0.056 and 0.064 per inch up, 122 1/2 in apart."""
    out, long, rise = (0.056, 0.064), 122.5, 1.0
    walls = (F(-7, 125), F(-8, 125))

    def turned(about: float, angle: float) -> float:
        """What the board lacks, its end 2 or 1 low by the angle about the other end."""
        low = -1 if about == 0 else 1
        cos, sin = math.cos(angle), low * math.sin(angle)
        ends = []
        for x, wall, sign in ((0.0, out[0], 1), (long, out[1], -1)):
            at = [(about + (x - about) * cos - z * sin, (x - about) * sin + z * cos)
                  for z in (0.0, rise)]  # fmt: skip
            place = 0.0 if sign == 1 else long
            ends.append(
                min(sign * (x1 - place) + wall * (z1 - z)
                    for (x1, z1), z in zip(at, (0.0, rise), strict=True))
            )  # fmt: skip
        return -sum(ends)

    lacks = min(
        max(turned(about, math.radians(one / 100)) for one in range(1, 1500))
        for about in (0.0, long)
    )
    fit = flat_fit(room(F(245, 2), walls)._replace(rise=1), flat(F(245, 2)))
    assert float(fit.jams) == pytest.approx(lacks - 1 / 32, abs=0.004)
    level = flat_fit(room(F(245, 2), walls), flat(F(245, 2)))
    assert float(fit.jams) - float(level.jams) > 0.05


def test_a_bottom_under_a_plumb_wall_on_a_slope() -> None:
    """Its square flat would enter by 1/8 in and its relieved back by 3/8 - 0.134; cut along
    the wall it enters by nothing."""
    sloped = room(100, (F(1, 2), F(-1, 2)))
    square = flat_fit(sloped, flat(F(3199, 32)))
    assert float(square.over) == pytest.approx(0.375 - 0.5 * math.tan(math.radians(15)) - 1 / 32)
    assert flat_fit(sloped, flat(F(3199, 32), beveled=(F(1, 2), F(0)))).over == 0


def test_a_wall_that_leans_out_beside_one_that_leans_in_alike_leaves_the_way_straight() -> None:
    """The opening is as wide at every height; it only moves, and the board moves with it."""
    alike = room(100, (F(1, 24), F(-1, 24)))
    assert flat_fit(alike, flat(F(3199, 32), beveled=(F(1, 24), F(0)))).way == "straight up"


def test_a_bottom_comes_up_from_below_between_walls_that_go_on_narrowing() -> None:
    """Both out by 0.01: 24 in below its place the room is 0.48 in too short for it, though
    over the inch of its reveal and thickness it is short by no more than 0.02."""
    lean = F(1, 100)
    fit = flat_fit(room(120, (-lean, -lean)), flat(120 - F(1, 32)))
    assert (fit.way, fit.jams) == ("one end first", 0)
    little = F(1, 1000)
    assert flat_fit(room(120, (-little, -little)), flat(120 - F(1, 32))).way == "straight up"


def test_a_long_bottom_between_walls_that_both_go_out_cannot_be_tilted_in() -> None:
    """Tilted by f between walls out by 1/24, the end that follows has 1/24 x 120 f less room
    and the board is 120 f^2 / 2 shorter: looked for over f, the least is -(1/24)^2 x 60 =
    -0.104 at f = 1/24, more than 1/32 free and 1/32 sprung. 48 in long it goes in."""
    for length, way in ((120, "no way"), (48, "one end first")):
        worst = min(length * f * f / 2 - length * f / 24 for f in (at / 2400 for at in range(400)))
        assert (worst + 2 / 32 < 0) == (way == "no way")
        out = room(length, (F(-1, 24), F(-1, 24)))
        assert flat_fit(out, flat(length - F(1, 32))).way == way


def test_a_tilted_bottom_between_plumb_walls_goes_straight_up() -> None:
    """In its own frame a wall out of square comes in behind its face; brought up it does not."""
    tilted = room(100, (F(-1, 24), F(-1, 24)), up=(F(0), F(0)))
    assert flat_fit(tilted, flat(F(3199, 32))).way == "straight up"


def test_a_rigid_bottom_between_walls_that_both_go_out_jams_by_what_a_drawn_stick_lacks() -> None:
    """Drawn as a stick whose one end is in place and whose other hangs lower, where its wall
    has come nearer; sought at every tilt for the one that lacks the most."""
    out1, out2, long = F(17, 480), F(17, 320), F(218)
    fit = flat_fit(room(long, (-out1, -out2)), flat(long))
    lacks = max(
        float(long) * math.cos(math.radians(n / 100))
        - (float(long) - float(out1) * float(long) * math.sin(math.radians(n / 100)))
        for n in range(1, 600)
    )
    assert fit.way == "no way"
    assert fit.over == 0
    assert float(fit.jams) == pytest.approx(lacks - 1 / 32, abs=0.001)


def _box(long: float, wide: float, high: float, out: float) -> tuple[FrameWay, tuple[float, ...]]:
    """A box between walls that both go out: how its sides and top go up."""
    ends = tuple(
        [(x, y, z) for y in (0.0, wide) for x, z in ((at, 0.0), (at + way * out * high, high))]
        for at, way in ((0.0, -1), (long, 1))
    )
    wall = WallPlane(0.0, (-out, -out), wide)
    return frame_way((ends[0], ends[1]), (wall, wall), long), (long, wide, high)


@pytest.mark.parametrize(("high", "wide"), [(10.0, 8.0), (4.0, 8.0), (12.0, 5.0)])
def test_a_box_between_walls_out_at_the_top_jams_by_what_its_diagonals_take(
    high: float, wide: float
) -> None:
    """Turned in plan its longest boards' corners take the diagonal, sqrt(long^2 + wide^2) - long;
    on edge the low end's wall comes nearer too. The least of both, less what it springs."""
    way, (long, *_) = _box(120.0, wide, high, 0.03)
    across = math.hypot(long + 2 * 0.03 * high, wide) - (long + 2 * 0.03 * high)
    on_edge = max(
        long * math.cos(f) + high * math.sin(f) + 0.03 * long * math.sin(f) - long
        for f in (at / 10000 for at in range(4000))
    )
    assert way.way == "no way"
    assert way.jams == pytest.approx(min(across, on_edge) - 1 / 32, abs=0.02)


def test_a_box_between_plumb_walls_goes_straight_up_and_a_flat_one_swings_in() -> None:
    assert _box(120.0, 8.0, 10.0, 0.0)[0].way == "straight up"
    assert _box(120.0, 8.0, 10.0, -0.03)[0].way == "straight up"
    assert _box(240.0, 2.0, 3.0, 0.01)[0].way == "one end first"
