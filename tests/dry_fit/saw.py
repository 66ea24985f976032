"""The saw: boards made out of the figures of a cut list.

A board lies in its own frame: u along it from its left end, v across its show face from its
first edge (a side's bottom edge, a bottom's or a top's edge A), w into it from its show face.
Every board is convex: a section in v and w, and at each end one plane or two, all of them
at u = c + a v + b w. Only where a side is scribed is it not straight (`scribed`).
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

from tests.dry_fit.cut_list import BoardEnd, BoardFigures, Compound, Edge, SideFigures
from tests.dry_fit.room import along

Point2 = tuple[float, float]
Point3 = tuple[float, float, float]
BACK_BEVEL = 5.0
"""The back bevel that is usually cut, in degrees (common practice, no source)."""
_NEAR = 1e-9


class Plane(NamedTuple):
    """An end's cut, at u = at + by_v v + by_w w."""

    at: float
    by_v: float
    by_w: float

    def u(self, v: float, w: float) -> float:
        """Where the cut is at v and w."""
        return self.at + self.by_v * v + self.by_w * w


class Board(NamedTuple):
    """A board. What is left of it lies right of every plane in `left`, and left of every
    one in `right`."""

    section: tuple[Point2, ...]
    left: tuple[Plane, ...]
    right: tuple[Plane, ...]

    def corners(self, end: str) -> list[Point3]:
        """The corners of an end, also where two cuts of it meet; no end surface reaches past
        them, for between them it is flat."""
        if end == "left":
            return [(max(p.u(v, w) for p in self.left), v, w) for v, w in self._outline(self.left)]
        return [(min(p.u(v, w) for p in self.right), v, w) for v, w in self._outline(self.right)]

    def show_corners(self, end: str) -> list[Point3]:
        """The corners of an end at the show face."""
        return [one for one in self.corners(end) if abs(one[2]) < _NEAR]

    def _outline(self, planes: Sequence[Plane]) -> list[Point2]:
        out = list(self.section)
        if len(planes) == 2:
            one, two = planes
            out += _crossings(
                self.section, one.at - two.at, one.by_v - two.by_v, one.by_w - two.by_w
            )
        return out


def side_board(figures: SideFigures, thickness: float, *, bevelled: bool = False) -> Board:
    """A side: ripped, its ends laid out from the square line through each bottom corner to
    the offset at its top edge, and its back relieved from the show face on; where it is
    `bevelled`, by the usual back bevel at the least.

    A mitred edge takes off the back; a top edge along a ridge rises to the back, or falls,
    as the back's height says.
    """
    height, top = figures.height, figures.top_edge
    rise = _tilt(top)
    if top.joint == "mitre" or figures.back_height < height:
        rise = -rise
    section = _sheet(height + 2 * thickness, thickness)
    section = _cut(section, 0.0, 1.0, -_tilt(figures.bottom_edge))
    section = _cut(section, height, -1.0, rise)
    left, right = figures.left, figures.right
    usual = math.tan(math.radians(BACK_BEVEL)) if bevelled else 0.0
    one, two = (max(usual, end.relief / thickness) for end in (left, right))
    return Board(
        tuple(section),
        (Plane(0.0, left.offset / height, one),),
        (Plane(figures.bottom_length, -right.offset / height, -two),),
    )


def compound_plane(cut: Compound) -> Plane:
    """A cut by the saw's two settings through a bottom corner at the show face: the blade's
    tilt is set square to the miter, so along the board it takes 1 / cos of it more."""
    slant = math.tan(math.radians(cut.miter))
    return Plane(0.0, slant, math.tan(math.radians(cut.blade)) * math.hypot(1.0, slant))


def with_compound(board: Board, end: str, cut: Compound, at: float) -> Board:
    """The same board with one end cut so: its left one, or its right one at u = `at`."""
    plane = compound_plane(cut)
    if end == "left":
        return board._replace(left=(plane,))
    return board._replace(right=(Plane(at, -plane.by_v, -plane.by_w),))


def flat_board(
    figures: BoardFigures,
    thickness: float,
    *,
    by_offset: bool = False,
    scribed_to: float | None = None,
) -> Board:
    """A bottom or a top: ripped square to its width, both edges cut, its ends crosscut with
    the stop at edge A, the saw's table turned by the miter (or to the mark of the offset).

    Along a wall edge B is then scribed down to a width of `scribed_to`.
    """
    a, b = figures.edges
    section = _cut(_sheet(figures.width, thickness), _flat(a) * _tilt(a), 1.0, -_tilt(a))
    section = _cut(section, figures.width + _flat(b) * _tilt(b), -1.0, -_tilt(b))
    if scribed_to is not None:
        section = _cut(section, scribed_to, -1.0, 0.0)
    one, two = figures.ends
    first = _end_planes(one, figures.width, by_offset)
    second = _end_planes(two, figures.width, by_offset)
    return Board(
        tuple(section),
        first,
        tuple(Plane(figures.edge_a - p.at, -p.by_v, -p.by_w) for p in second),
    )


def _end_planes(end: BoardEnd, width: float, by_offset: bool) -> tuple[Plane, ...]:
    """The cuts of an end, told from edge A's corner at the show face into the board.

    The blade's tilt is set square to the miter, so along the board it takes 1 / cos of it
    more.
    """
    if end.offset is None or end.miter is None:
        raise ValueError(f"the slant of end {end.number} is not known")
    slant = end.offset / width if by_offset else math.tan(math.radians(end.miter))
    tilt = math.tan(math.radians(end.blade)) * math.hypot(1.0, slant)
    square = Plane(0.0, slant, 0.0)
    if end.joint == "square":
        return (square,)
    if end.joint == "bevel":
        return (Plane(0.0, slant, tilt),)
    return (square, Plane(-end.flat * tilt, slant, tilt))


def _tilt(edge: Edge) -> float:
    """What an edge's cut takes for each inch into the board."""
    return 0.0 if edge.joint == "square" else math.tan(math.radians(edge.blade))


def _flat(edge: Edge) -> float:
    """What an edge's cut leaves square at the show face; a mitre begins at the arris."""
    return 0.0 if edge.joint == "mitre" else edge.flat


def _sheet(width: float, thickness: float) -> list[Point2]:
    return [(0.0, 0.0), (width, 0.0), (width, thickness), (0.0, thickness)]


def _cut(section: Sequence[Point2], at: float, by_v: float, by_w: float) -> list[Point2]:
    """What is left of a section where at + by_v v + by_w w >= 0."""
    out: list[Point2] = []
    for here, there in zip(section, [*section[1:], section[0]], strict=True):
        one, two = (at + by_v * v + by_w * w for v, w in (here, there))
        if one >= -_NEAR:
            out.append(here)
        if one * two < 0 and min(abs(one), abs(two)) > _NEAR:
            out.append(_between(here, there, one / (one - two)))
    return out


def _crossings(section: Sequence[Point2], at: float, by_v: float, by_w: float) -> list[Point2]:
    """Where the line at + by_v v + by_w w = 0 crosses a section's outline."""
    out = []
    for here, there in zip(section, [*section[1:], section[0]], strict=True):
        one, two = (at + by_v * v + by_w * w for v, w in (here, there))
        if one * two < 0:
            out.append(_between(here, there, one / (one - two)))
    return out


def _between(here: Point2, there: Point2, part: float) -> Point2:
    return (here[0] + (there[0] - here[0]) * part, here[1] + (there[1] - here[1]) * part)


def fence(width: float, edge: Edge, thickness: float, *, face_down: str) -> float:
    """The fence's distance from the blade at the table for a board's tilted pass, with the
    edge along the fence square or left flat: where the cut meets the face that lies down."""
    if face_down == "back":
        return width - (thickness - _flat(edge)) * _tilt(edge)
    return width + _flat(edge) * _tilt(edge)


class Scribed(NamedTuple):
    """A side after the scribe: the profile of its top edge over its bottom edge, and the
    places where the scriber's line missed the board."""

    top: list[tuple[float, float]]
    missed: list[float]


def scribed(
    ceiling: Sequence[tuple[float, float]], bottom_at: float, height: float, setting: float
) -> Scribed:
    """Cut a side to the scriber's line: the ceiling's profile, lowered by the setting, drawn
    on a board whose bottom edge hangs level at `bottom_at` over the ceiling's level line."""
    places = sorted({at for at, _ in ceiling})
    top = [(at, along(ceiling, at) - setting - bottom_at) for at in places]
    return Scribed(top, [at for at, left in top if left > height + _NEAR])
