"""The dry fit of a marked board, against boards and walls drawn by shapely."""

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon
from shapely.affinity import rotate, translate

from crewdesk.trade.cuts.board_end import EdgeProfile
from crewdesk.trade.cuts.dry_fit import FlatRoom, SideRoom, flat_fit, side_fit

F = Fraction
leans = st.integers(-24, 24).map(lambda n: F(n, 240))
small = st.integers(-8, 8).map(lambda n: F(n, 64))


@given(leans, leans, small, small, small)
@settings(max_examples=100, deadline=None)
def test_a_sides_overlap_is_what_shapely_sees(
    lean1: Fraction, lean2: Fraction, more: Fraction, off1: Fraction, off2: Fraction
) -> None:
    """Pushed from wall to wall, the board never lies in the room by less than `over` tells:
    the widest overlap of a level line is looked for at its best place."""
    length, high = 60 + more, F(10)
    offsets = (lean1 * high + off1, lean2 * high + off2)
    fit = side_fit(SideRoom(F(60), (lean1, lean2), (None, None)), length, offsets, high, F(3, 4))
    board = [(0.0, float(length)), (float(offsets[0]), float(length - offsets[1]))]
    room = [(0.0, 60.0), (float(lean1 * high), float(60 - lean2 * high))]
    over = max((b[1] - b[0]) - (r[1] - r[0]) for b, r in zip(board, room, strict=True))
    assert float(fit.over) == pytest.approx(max(over, 0.0), abs=1e-9)
    assert float(fit.slack) == pytest.approx(-over, abs=1e-9)
    if fit.over:
        assert fit.way == "no way"


@given(leans, leans)
@settings(max_examples=60, deadline=None)
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
    assert (bevel.end, bevel.start, bevel.pare) == (2, 1, True)
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


def test_a_bottom_over_its_reading_does_not_go_in() -> None:
    usual = EdgeProfile(F(3, 4), F(1, 4), F(15))
    room = FlatRoom((F(100), F(100)), (F(0), F(0)), F(13, 2))
    fit = flat_fit(room, (F(801, 8), F(100)), F(13, 2), usual, (False, False), F(1))
    assert (fit.way, fit.over, fit.touches.place) == ("no way", F(1, 8), "edge A")
    wide = flat_fit(room, (F(99), F(99)), F(209, 32), usual, (False, False), F(1))
    assert (wide.way, wide.touches.place, wide.over) == ("no way", "width", F(1, 32))
    good = flat_fit(room, (F(3199, 32), F(3199, 32)), F(13, 2), usual, (False, False), F(1))
    assert (good.way, good.over, good.slack) == ("straight up", 0, F(1, 32))


def test_a_bottom_under_a_plumb_wall_on_a_slope() -> None:
    """Its square flat would enter by 1/8 in and its relieved back by 3/8 - 0.134; cut along
    the wall it enters by nothing."""
    usual = EdgeProfile(F(3, 4), F(1, 4), F(15))
    room = FlatRoom((F(100), F(100)), (F(1, 2), F(-1, 2)), F(13, 2))
    edges = (F(3199, 32), F(3199, 32))
    square = flat_fit(room, edges, F(13, 2), usual, (False, False), F(1))
    assert float(square.over) == pytest.approx(0.375 - 0.5 * math.tan(math.radians(15)) - 1 / 32)
    assert flat_fit(room, edges, F(13, 2), usual, (True, False), F(1)).over == 0


def test_a_wall_that_leans_out_beside_one_that_leans_in_alike_leaves_the_way_straight() -> None:
    """The opening is as wide at every height; it only moves, and the board moves with it."""
    usual = EdgeProfile(F(3, 4), F(1, 4), F(15))
    edges = (F(3199, 32), F(3199, 32))
    alike = FlatRoom((F(100), F(100)), (F(1, 24), F(-1, 24)), F(13, 2))
    assert flat_fit(alike, edges, F(13, 2), usual, (True, False), F(1)).way == "straight up"
    out = FlatRoom((F(100), F(100)), (F(-1, 24), F(-1, 24)), F(13, 2))
    assert flat_fit(out, edges, F(13, 2), usual, (False, False), F(1, 4)).way == "straight up"
    assert flat_fit(out, edges, F(13, 2), usual, (False, False), F(2)).way == "no way"


def test_a_long_bottom_between_walls_that_both_go_out_cannot_be_tilted_in() -> None:
    """Tilted by f between walls out by 1/24, the end that follows has 1/24 x 120 f less room
    and the board is 120 f^2 / 2 shorter: looked for over f, the least is -(1/24)^2 x 60 =
    -0.104 at f = 1/24, more than 1/32 free and 1/32 sprung. 48 in long it goes in."""
    usual = EdgeProfile(F(3, 4), F(1, 4), F(15))
    for length, way in ((120, "no way"), (48, "one end first")):
        worst = min(length * f * f / 2 - length * f / 24 for f in (at / 2400 for at in range(400)))
        assert (worst + 2 / 32 < 0) == (way == "no way")
        room = FlatRoom((F(length), F(length)), (F(-1, 24), F(-1, 24)), F(13, 2))
        edges = (length - F(1, 32), length - F(1, 32))
        assert flat_fit(room, edges, F(13, 2), usual, (False, False), F(2)).way == way


def test_a_tilted_bottom_between_plumb_walls_goes_straight_up() -> None:
    """In its own frame a wall out of square comes in behind its face; brought up it does not."""
    usual = EdgeProfile(F(3, 4), F(1, 4), F(15))
    edges = (F(3199, 32), F(3199, 32))
    lean = (F(-1, 24), F(-1, 24))
    room = FlatRoom((F(100), F(100)), lean, F(13, 2), up=(F(0), F(0)))
    assert flat_fit(room, edges, F(13, 2), usual, (False, False), F(2)).way == "straight up"


def test_a_rigid_bottom_between_walls_that_both_go_out_jams_by_what_a_drawn_stick_lacks() -> None:
    """Drawn as a stick whose one end is in place and whose other hangs lower, where its wall
    has come nearer; sought at every tilt for the one that lacks the most."""
    usual = EdgeProfile(F(3, 4), F(1, 4), F(15))
    out1, out2, long = F(17, 480), F(17, 320), F(218)
    fit = flat_fit(
        FlatRoom((long, long), (-out1, -out2), F(13, 2)),
        (long, long),
        F(13, 2),
        usual,
        (False, False),
        F(2),
    )
    lacks = max(
        float(long) * math.cos(math.radians(n / 100))
        - (float(long) - float(out1) * float(long) * math.sin(math.radians(n / 100)))
        for n in range(1, 600)
    )
    assert fit.way == "no way"
    assert fit.over == 0
    assert float(fit.jams) == pytest.approx(lacks - 1 / 32, abs=0.001)
