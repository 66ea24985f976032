"""The simulator itself, by hand: before it measures anybody's boards it must be right."""

import math
import re
from fractions import Fraction as Fr
from typing import Any

import pytest
from shapely import Polygon

from tests.dry_fit.cut_list import (
    Beam,
    BoardEnd,
    BoardFigures,
    Cleat,
    Edge,
    SideEnd,
    SideFigures,
    beam_of,
)
from tests.dry_fit.fit import misfits
from tests.dry_fit.fit_bottom import measure_bottom, measure_shares, need, relief
from tests.dry_fit.fit_sides import relief_needed
from tests.dry_fit.hang import between_walls, hung_bottom, hung_sides
from tests.dry_fit.measure import STEP_SIZES, Allowed
from tests.dry_fit.overlap import overlap
from tests.dry_fit.random_rooms import random_room
from tests.dry_fit.readings import bottom_edges_at, read
from tests.dry_fit.reference import FAULTS, reference_beam
from tests.dry_fit.room import Ridge, Room, Section, Wall
from tests.dry_fit.saw import fence, flat_board, scribed, side_board
from tests.dry_fit.shown import shown_length
from tests.dry_fit.way_in import way_in

PLAIN = Section(Fr(8), Fr(10))
PLUMB = Wall()
approx = pytest.approx
Two = tuple[float, float]
SQUARE = Edge("square", 0.0)
RELIEF = Edge("relief", 15.0, 0.25)


def room(one: Wall = PLUMB, two: Wall = PLUMB, **more: Any) -> Room:
    """A usual beam, 8 by 10 and 100 in long, its bottom 6 1/2 in wide between the sides."""
    return Room(0, "usual", PLAIN, Fr(100), (one, two))._replace(**more)


def side(length: float, offsets: Two = (0, 0), reliefs: Two = (0, 0)) -> SideFigures:
    """Side A, 10 in wide; its left end is end 1."""
    left, right = (SideEnd(n + 1, offsets[n], 0.0, reliefs[n], 0.0) for n in (0, 1))
    top = length - sum(offsets)
    return SideFigures(10.0, 10.0, length, top, length, left, right, SQUARE, SQUARE, 1.0)


def bottom(
    edge_a: float, slants: Two = (0, 0), joint: str = "relief", blade: float = 15
) -> BoardFigures:
    """A bottom 6 1/2 in wide with relief on its edges; slants are edge A past edge B, in
    inches; `joint` and `blade` are end 1's, and end 2 has its relief."""
    one, two = (
        BoardEnd(n + 1, slants[n], math.degrees(math.atan(slants[n] / 6.5)), *cut, 0.25, 0.0)
        for n, cut in enumerate(((joint, blade), ("relief", 15.0)))
    )
    edge_b = edge_a - sum(slants)
    edges = (max(edge_a, edge_b), edge_a, edge_b, edge_a, edge_b)
    return BoardFigures(6.5, 6.232, *edges, (one, two), (RELIEF, RELIEF), 0.0, None)


def beam(one: SideFigures, board: BoardFigures | None = None) -> Beam:
    """A beam with that side A and that bottom, which lies on cleats 1 in up."""
    cleats = tuple(Cleat(on, 1.0, 0.2, 99.0, 0.75, 0.75) for on in "AB")
    other = one._replace(left=one.right, right=one.left)
    return Beam({"A": one, "B": other}, board, None, cleats, None, {}, {})


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("146 3/4", Fr(587, 4)),
        ("212 5/32+", Fr(6789, 32)),
        ("-3/32-", Fr(-3, 32)),
        ("27/64", Fr(27, 64)),
        ("0+", Fr(0)),
        ("254 mm", Fr(10)),
        ("-127- mm", Fr(-5)),
        ("12 3/16 in", Fr(195, 16)),
    ],
)
def test_a_shown_length_is_read(text: str, inches: Fr) -> None:
    assert shown_length(text) == inches


@pytest.mark.parametrize("text", ["", "about 3", "1475/", "3 1/2 5/8"])
def test_what_is_no_length_is_not_read(text: str) -> None:
    with pytest.raises(ValueError, match="not a shown length"):
        shown_length(text)


def test_between_walls_turned_the_same_way_a_parallelogram_fits() -> None:
    """Walls turned by 1/20 the same way: x = y/20 and x = 100 + y/20. Both of the bottom's
    edges are 100 in. Over its 6 1/2 in each end runs 13/40 in askew: edge A first at end 1
    (A past B), edge B at end 2. A rectangle may be no longer than 100 - 13/40."""
    skewed = room(Wall(turn=Fr(1, 20)), Wall(turn=Fr(-1, 20)))
    (y1, _), (y2, _) = bottom_edges_at(skewed)
    assert (y1, y2) == (0.75, 7.25)
    assert skewed.between(y1, 0.25) == skewed.between(y2, 0.25) == 100
    fits = beam(side(100), bottom(100, (0.325, -0.325)))
    stand = between_walls(skewed, hung_bottom(skewed, fits))
    assert stand.over == approx(0)
    assert stand.gaps == approx((0, 0))
    square = beam(side(100), bottom(100))
    assert between_walls(skewed, hung_bottom(skewed, square)).over == approx(0.325)
    mirrored = beam(side(100), bottom(100, (-0.325, 0.325)))
    assert between_walls(skewed, hung_bottom(skewed, mirrored)).over == approx(0.65)


def test_between_walls_turned_opposite_ways_edge_b_is_the_shorter() -> None:
    """x = y/20 and x = 100 - y/20: along edge A, 3/4 in from the side's face, 100 - 3/40; along
    edge B, 7 1/4 in from it, 100 - 29/40."""
    wedge = room(Wall(turn=Fr(1, 20)), Wall(turn=Fr(1, 20)))
    assert wedge.between(0.75, 0.25) == approx(100 - 3 / 40)
    assert wedge.between(7.25, 0.25) == approx(100 - 29 / 40)
    cut = beam(side(100), bottom(99.925, (0.325, 0.325)))
    assert between_walls(wedge, hung_bottom(wedge, cut)).over == approx(0)


@pytest.mark.parametrize(
    ("turns", "short", "beyond"),
    [
        ((1, -1), 0.0065, set()),
        ((1, -1), 0.0, {"too long"}),
        ((1, 1), 0.0145, set()),
        ((1, 1), 0.0, {"too long"}),
        ((1, -1), 0.0273, {"edge A not within", "edge B not within"}),
        ((2, -2), 0.013, {"open at the show face"}),
    ],
)
def test_an_end_cut_square_stands_open_by_a_slant_too_small_to_cut(
    turns: Two, short: float, beyond: set[str]
) -> None:
    """Turned by 1/1000 a wall runs 0.0065 in askew over the bottom's 6 1/2 in: under 1/128 in, so
    the end may be cut square. Walls turned the same way leave a rectangle 100 - 0.0065; turned
    opposite ways 100 - 0.0145 along edge B, 7 1/4 in from side A's face.
    By 1/500 it is 0.013 in: that is to be cut."""
    one, two = (Wall(turn=Fr(turn, 1000)) for turn in turns)
    turned = room(one, two, section=PLAIN._replace(undercut=Fr(0)))
    cut = beam(side(100), bottom(100 - short))
    found = {
        re.sub(r",? end \d$", "", made.what.removesuffix(", by offset"))
        for made in measure_bottom(turned, cut, Allowed(STEP_SIZES["1/64"]))
        if made.beyond > 0
    }
    told = ("too long", "open at the show face", "not within")
    assert {one for one in found if any(word in one for word in told)} == beyond


@pytest.mark.parametrize(
    ("legs", "slants", "beyond"),
    [
        ((24, 24), (0.15, 0.15), False),
        ((24, 24), (0.17, 0.13), True),
        ((24, 24), (0.13, 0.17), True),
        ((8, 24), (0.1628, 0.1372), False),
        ((8, 24), (0.15, 0.15), True),
        ((8, 24), (0.1372, 0.1628), True),
    ],
)
def test_what_the_squares_leave_over_is_shared_by_how_sure_they_are(
    legs: Two, slants: Two, beyond: bool
) -> None:
    """Squares of 1/50 at both walls make 0.13 in over 6 1/2 in at each end. Edges that are read
    0.3 in apart leave 0.04 in over: 0.02 in for each end by squares of one leg. By one of 8 in,
    off by 0.0005 + (1/64)/8 = 0.00245, and one of 24 in, off by 0.00115, 0.82 of it is the first's:
    0.0328 in."""
    turned = room(Wall(turn=Fr(1, 50)), Wall(turn=Fr(1, 50)), legs=tuple(map(Fr, legs)))
    readings = read(turned)._replace(opening=Fr(100), edge_b=Fr(997, 10))
    made = measure_shares(turned, readings, beam(side(100), bottom(100, slants)))
    assert [one.beyond > 0 for one in made] == [beyond]


def test_a_square_end_stands_open_where_its_back_touches() -> None:
    """End 1 turned by 1/16, side A the longer: over 3/4 in its back must lose 3/64 in, side B's
    nothing. Cut square it is 3/64 in too long."""
    turned = room(Wall(turn=Fr(1, 16)))
    assert relief_needed(turned, "A", 1) == approx(3 / 64)
    assert relief_needed(turned, "B", 1) == 0
    assert relief_needed(turned, "A", 2) == 0
    for given, over in ((0.0, 3 / 64), (3 / 64, 0.0), (1 / 16, 0.0)):
        cut = hung_sides(turned, beam(side(100, reliefs=(given, 0))))["A"]
        assert between_walls(turned, cut).over == approx(over)


def test_out_of_plumb_walls_want_a_leaning_board() -> None:
    """Both walls lean to the right by 1/40: at end 1 the top comes in by 1/4 in over 10 in, at
    end 2 it goes away. A rectangle is 1/4 in too long."""
    leaning = room(Wall(out=Fr(1, 40)), Wall(out=Fr(-1, 40)))
    fits = between_walls(leaning, hung_sides(leaning, beam(side(100, (0.25, -0.25))))["A"])
    assert fits.over == approx(0)
    assert fits.gaps == approx((0, 0))
    square = between_walls(leaning, hung_sides(leaning, beam(side(100)))["A"])
    assert square.over == approx(0.25)
    assert max(square.gaps) == approx(0.125)


def test_a_slope_of_6_in_12_has_a_plumb_cut_at_its_low_end() -> None:
    """tan = 1/2 both ends: into the board at the low end, out of it at the high one. A bottom
    3/4 in thick, cut at atan(1/2) = 26.565 degrees, is 3/8 in shorter at its back; left with a
    flat of 1/4 in and a relief of 15 degrees it goes in only 0.241 in short: at its back,
    3/8 - (1/2) tan 15 = 3/8 - 0.13397."""
    sloped = room(pitch=Fr(1, 2), low=1)
    assert sloped.lean(1) == approx(0.5)
    assert sloped.lean(2) == approx(-0.5)
    assert need(sloped, 0.5) == approx(0.375 - 0.5 * math.tan(math.radians(15)))
    plumb = math.degrees(math.atan(0.5))
    cut = beam(side(100, (5, -5)), bottom(100, (0, 0), "bevel", plumb))
    made = between_walls(sloped, hung_bottom(sloped, cut))
    assert made.over == approx(0)
    assert made.gaps == approx((0, 0))
    blunt = beam(side(100), bottom(100))
    assert between_walls(sloped, hung_bottom(sloped, blunt)).over == approx(0.24103, abs=1e-5)
    made = between_walls(sloped, hung_sides(sloped, cut)["A"])
    assert made.over == approx(0)
    turned_round = room(pitch=Fr(1, 2), low=2)
    assert between_walls(turned_round, hung_sides(turned_round, cut)["A"]).over == approx(10)


def test_a_wall_turned_in_plan_meets_a_slope_at_a_steeper_slant() -> None:
    """On 12/12 the beam is sqrt(2) times as long as its plan, so a turn of 1/20 is sqrt(2)/20
    along it."""
    steep = room(Wall(turn=Fr(1, 20)), pitch=Fr(1))
    assert steep.turn(1) == approx(math.sqrt(2) / 20)


def test_a_relief_of_15_degrees_leaves_the_flat() -> None:
    """3/4 in less 1/4 in flat, times tan 15 = 0.26795: 0.13397 an edge; 6 1/2 in then is 6.232
    at the back. The fence stands 6.366 in off the blade with the back down, and with the show
    face down at 6 1/2 + 1/4 tan 15 = 6.567 in."""
    assert relief(room()) == approx(0.133975, abs=1e-6)
    made = flat_board(bottom(100), 0.75)
    corners = [(0, 0), (6.5, 0), (6.5, 0.25), (6.366025, 0.75), (0.133975, 0.75), (0, 0.25)]
    assert Polygon(made.section).equals_exact(Polygon(corners), 1e-6, normalize=True)
    left = sorted({(round(u, 6), round(w, 6)) for u, _, w in made.corners("left")})
    assert left == [(0.0, 0.0), (0.0, 0.25), (0.133975, 0.75)]
    assert fence(6.5, RELIEF, 0.75, face_down="back") == approx(6.366, abs=5e-4)
    assert fence(6.5, RELIEF, 0.75, face_down="show") == approx(6.567, abs=5e-4)


def test_mitred_edges_meet_without_reaching_into_one_another() -> None:
    """Sides 1 in thick with mitres of 45 degrees, and a bottom 8 in wide: its mitres touch
    both. An eighth wider it reaches into each by 1/16 in times sqrt(1/2)."""
    mitre = Edge("mitre", 45.0)
    figures = side(100)._replace(bottom_edge=mitre, back_height=9.0)
    section = PLAIN._replace(side_thickness=Fr(1), bottom_thickness=Fr(1), reveal=Fr(0))
    mitred = Room(0, "mitred", section, Fr(100), (Wall(), Wall()))
    for width, into in ((8.0, 0.0), (8.125, math.sqrt(0.5) / 16)):
        hung = beam(figures, bottom(100)._replace(width=width, edges=(mitre, mitre)))
        shape = hung_bottom(mitred, hung).section
        for one in hung_sides(mitred, hung).values():
            assert overlap(one.section, shape) == approx(into, abs=1e-9)
            both = Polygon(one.section).intersection(Polygon(shape))
            assert (both.area > 1e-6) == (into > 0)


def test_along_a_ridge_a_top_edge_rises_to_its_back() -> None:
    """An 8 in beam under 6/12: a show face 4 in from the ridge is 2 in lower than its drop, and
    a back of 3/4 in 3/8 in higher than that."""
    ridge = room(ridge=Ridge(Fr(1, 2), Fr(1, 4), Fr(12), Fr(13)))._replace(kind="ridge")
    assert ridge.height("A") == 10
    assert ridge.height("B") == 12
    assert ridge.b_edge == -1
    assert math.tan(ridge.tilt) == approx(-1 / 6.5)
    blade = math.degrees(math.atan(0.5))
    figures = side(100)._replace(top_edge=Edge("scribed", blade), back_height=10.375)
    section = side_board(figures, 0.75).section
    assert sorted(v for v, w in section if w == 0) == approx([0, 10])
    assert sorted(v for v, w in section if w == 0.75) == approx([0, 10.375])


def test_a_scribed_side_follows_its_ceiling() -> None:
    """Under a ceiling that rises 1/2 in, a side 10 in high that hangs 4 in over the line is
    scribed at 5/8 in: 9 3/8 in are left where the ceiling is 14 in high, 9 7/8 where it is
    14 1/2. Set at 3/8 the line misses the board there by 1/8 in."""
    ceiling = [(0.0, 14.0), (100.0, 14.5)]
    assert scribed(ceiling, 4.0, 10.0, 0.625) == ([(0.0, 9.375), (100.0, 9.875)], [])
    assert scribed(ceiling, 4.0, 10.0, 0.375).missed == [100.0]


def test_the_way_in() -> None:
    """Walls that are plumb, or lean to the same side alike, let a board straight up. Where both
    go away upwards by 1/100 the room below is nearer: a bottom 100 in long cut 1/32 in short
    can go in one end first, for turned on its edge it needs 100 (1/100)^2 / 2 = 0.005 in. By
    1/10 it would need half an inch, and in plan 6 1/2^2 / 200 = 0.21 in: it can't go in."""
    cut = bottom(100 - 1 / 32, (0, 0))

    def way(one: Fr, two: Fr) -> str:
        here = room(Wall(out=one), Wall(out=two))
        return way_in(here, hung_bottom(here, beam(side(100), cut)))

    zero, little, much = Fr(0), Fr(1, 100), Fr(1, 10)
    assert way(zero, zero) == "straight up"
    assert way(little, -little) == "straight up"
    assert way(-little, -little) == "one end first"
    assert way(-much, -much) == "not at all"


def test_a_room_is_drawn_again_from_its_numbers() -> None:
    assert random_room(5, 17) == random_room(5, 17)
    assert random_room(5, 17) != random_room(5, 18) != random_room(6, 18)


def test_every_kind_of_room_is_drawn() -> None:
    rooms = [random_room(0, number) for number in range(400)]
    assert len({one.kind for one in rooms}) == 9
    assert len({one.walls_in_plan for one in rooms}) == 4
    assert {one.steepness for one in rooms} == {"level", "to 6/12", "steep"}
    assert {(sign(w.out), sign(v.out)) for r in rooms for w, v in [r.walls]} >= {
        (1, 1), (1, -1), (-1, 1), (-1, -1), (0, 0), (0, 1), (1, 0), (0, -1), (-1, 0),
    }  # fmt: skip


def test_rooms_are_drawn_in_which_small_faults_show() -> None:
    """Some slips move a board by less than a step anywhere but in such rooms: a bottom steeply
    tilted between walls turned far opposite ways, walls a hair off square, and walls far off
    both plumb and square under a slope."""
    rooms = [random_room(0, number) for number in range(150)]
    turns = [tuple(wall.turn for wall in one.walls) for one in rooms]
    outs = [tuple(wall.out for wall in one.walls) for one in rooms]
    every = [*zip(rooms, turns, outs, strict=True)]
    tilted = [a * b > Fr(1, 16) ** 2 for r, (a, b), _ in every if abs(math.tan(r.tilt)) > 0.15]
    hair = [r for r, (a, _), _ in every if 0 < abs(a) * r.section.width < Fr(1, 64)]
    far = [
        r
        for r, both, out in every
        if r.pitch and min(map(abs, both)) >= Fr(1, 16) and min(map(abs, out)) >= Fr(1, 20)
    ]
    assert min(tilted.count(True), len(hair), len(far)) >= 5


def sign(value: Fr) -> int:
    return (value > 0) - (value < 0)


ROOMS = range(150)


def figures_of(number: int, fault: str = "") -> tuple[Room, Beam, Allowed]:
    step = tuple(STEP_SIZES)[number % len(STEP_SIZES)]
    here = random_room(0, number)
    made = beam_of(reference_beam(here, read(here), step, fault))
    return here, made, Allowed(STEP_SIZES[step])


def test_boards_by_a_plain_maker_fit() -> None:
    """Similar triangles and tangents, written once more beside the simulator: it neither
    finds fault with right boards, nor (below) passes wrong ones."""
    found = {number: misfits(*figures_of(number)) for number in ROOMS}
    assert {number: bad for number, bad in found.items() if bad} == {}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_makers_fault_is_found(fault: str) -> None:
    for number in ROOMS:
        try:
            if misfits(*figures_of(number, fault)):
                return
        except (AssertionError, ValueError):
            return
    pytest.fail(f"nobody noticed: {fault}")
