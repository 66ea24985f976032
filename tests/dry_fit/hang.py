"""Boards in their places: every corner at each end, and the section across the beam."""

import math
from collections.abc import Callable
from typing import NamedTuple

from tests.dry_fit.cut_list import Beam, Cleat
from tests.dry_fit.room import MITRED, Room
from tests.dry_fit.saw import Board, Point2, Point3, flat_board, side_board, with_compound

Place = Callable[[Point3], Point3]


class Hung(NamedTuple):
    """A board in the beam's frame, end 1's corners first, its x still free to slide.
    `shows` are those corners that lie on its show face; `section` is across the beam."""

    name: str
    ends: tuple[list[Point3], list[Point3]]
    shows: tuple[list[Point3], list[Point3]]
    section: list[Point2]


def hung_sides(
    room: Room, beam: Beam, *, bevelled: bool = False, compound: bool = False
) -> dict[str, Hung]:
    """Both sides, or the one, their show faces the section's width apart; `compound` cuts
    their ends by the saw's two settings where there are any."""
    wide, thick = float(room.section.width), float(room.section.side_thickness)
    out = {}
    for key, figures in beam.sides.items():
        board = side_board(figures, thick, bevelled=bevelled)
        whole = figures.bottom_length
        for seen, end in (("left", figures.left), ("right", figures.right)):
            cut = beam.compounds.get((key, end.number)) if compound else None
            board = with_compound(board, seen, cut, whole) if cut else board
        if key == "A":
            out[key] = _hung("side A", board, lambda p: (p[0], p[2], p[1]))
        else:
            out[key] = _hung(
                "side B",
                board,
                lambda p, whole=whole: (whole - p[0], wide - p[2], room.b_edge + p[1]),  # type: ignore[misc]
                turned=True,
            )
    return out


def hung_bottom(
    room: Room,
    beam: Beam,
    *,
    by_offset: bool = False,
    compound: bool = False,
    ready: Board | None = None,
) -> Hung:
    """The bottom on its cleats, midway between the faces it goes in between: cut by its
    figures, or `ready`.

    Where the sides' bottom edges hang at two heights it is tilted from one to the other.
    """
    assert beam.bottom is not None
    thick = room.bottom_thickness
    board = ready or flat_board(
        beam.bottom, thick, by_offset=by_offset, scribed_to=room.scribed_width
    )
    for seen, end in (("left", 1), ("right", 2)):
        cut = beam.compounds.get(("bottom", end)) if compound else None
        board = with_compound(board, seen, cut, beam.bottom.edge_a) if cut else board
    near, far = room.faces
    (y1, low), (y2, high) = rests_on(room, beam)
    tilt = math.atan2(high - low, y2 - y1)
    cos, sin = math.cos(tilt), math.sin(tilt)
    low -= (y1 - near) * math.tan(tilt)

    def at(v: float, w: float) -> Point2:
        """From edge A's show arris, which lies the board's thickness square below the line
        from cleat to cleat."""
        return (
            near + thick * sin + v * cos - w * sin,
            low - thick * cos + v * sin + w * cos,
        )

    across = [at(v, w)[0] for v, w in board.section]
    shift = ((far - max(across)) - (min(across) - near)) / 2 / cos

    def place(p: Point3) -> Point3:
        y, z = at(p[1] + shift, p[2])
        return p[0], y, z

    return _hung("bottom", board, place)


def rests_on(room: Room, beam: Beam) -> tuple[Point2, Point2]:
    """Where the bottom's back touches both cleats' lower edges, y and z. A cleat is square,
    so on the side that hangs lower a tilted bottom touches its inner corner, and on the
    higher one it touches with the corner of its own back, which its relief and its tilt hold
    off the side. A mitred one hangs in its mitres."""
    near, far = room.faces
    if room.kind in MITRED:
        return (near, room.bottom_thickness), (far, room.bottom_thickness)
    a, b = (next(one for one in beam.cleats if (one.on == "A") == at_a) for at_a in (True, False))
    section, tilt = room.section, abs(room.tilt)
    relief = float(section.bottom_thickness - section.flat) * math.tan(
        math.radians(float(section.bevel))
    )
    corner = relief * math.cos(tilt) + room.bottom_thickness * math.sin(tilt)
    y1 = near + (a.projection if room.b_edge > 0 else corner if room.b_edge < 0 else 0.0)
    y2 = far - (b.projection if room.b_edge < 0 else corner if room.b_edge > 0 else 0.0)
    return (y1, a.line), (y2, b.line + (room.b_edge if b.on == "B" else 0.0))


def hung_top(room: Room, beam: Beam) -> Hung:
    """The top board, its show face up, flush with the sides' top edges."""
    assert beam.top is not None
    thick = room.bottom_thickness
    near, far = room.faces
    start = near + (far - near - beam.top.width) / 2
    high = room.height("A")
    return _hung("top", flat_board(beam.top, thick), lambda p: (p[0], start + p[1], high - p[2]))


def cleat_section(room: Room, cleat: Cleat) -> list[Point2]:
    """A cleat across the beam."""
    near, far = room.faces
    low = cleat.line + (room.b_edge if cleat.on == "B" else 0.0)
    start = near if cleat.on == "A" else far - cleat.projection
    return [
        (start, low),
        (start + cleat.projection, low),
        (start + cleat.projection, low + cleat.height),
        (start, low + cleat.height),
    ]


def _hung(name: str, board: Board, place: Place, *, turned: bool = False) -> Hung:
    first, second = ("right", "left") if turned else ("left", "right")
    return Hung(
        name,
        ([place(p) for p in board.corners(first)], [place(p) for p in board.corners(second)]),
        (
            [place(p) for p in board.show_corners(first)],
            [place(p) for p in board.show_corners(second)],
        ),
        [place((0.0, v, w))[1:] for v, w in board.section],
    )


class Stand(NamedTuple):
    """How a board stands between the walls: how much too long it is (below 0: what is left),
    and the widest gap at its show face at both ends, with what is left shared by them."""

    over: float
    gaps: tuple[float, float]


def between_walls(
    room: Room, hung: Hung, *, shows_only: tuple[bool, bool] = (False, False)
) -> Stand:
    """Slide a board along until both ends are as near to their walls as one another.

    At an end of `shows_only` the board's back is left out of account.
    """
    nearest, widest = [], []
    for end in (1, 2):
        wall = room.plane(end)
        corners = (hung.shows if shows_only[end - 1] else hung.ends)[end - 1]
        nearest.append(min(wall.clearance(*p) for p in corners))
        widest.append(max(wall.clearance(*p) for p in hung.shows[end - 1]))
    left = sum(nearest)
    one, two = (wide - near + left / 2 for wide, near in zip(widest, nearest, strict=True))
    return Stand(-left, (one, two))
