"""The section of a beam of any type as shapes, for drawing."""

import math
from dataclasses import dataclass
from fractions import Fraction

from crewdesk.length import Length, exact
from crewdesk.trade.cuts.board_end import EdgeProfile
from crewdesk.trade.cuts.cleat import CLEAT as CLEAT
from crewdesk.trade.cuts.forms import TO_SCRIBE, FormBoard, against_wall, mitred, three_board
from crewdesk.trade.cuts.section import Section, bottom_width, cleat_line

Point = tuple[Length, Length]
Shape = tuple[Point, ...]

WALL = Fraction(1)
"""The length of a drawn wall, in inches."""


@dataclass(frozen=True)
class Profile:
    """Corners in inches, x from the outside of side A, y up from the sides' bottom edges, each
    shape from its bottom left corner on against the clock. `walls` are walls along the beam, `tops`
    boards that close it above."""

    sides: tuple[Shape, ...]
    bottom: Shape
    cleats: tuple[Shape, ...] = ()
    tops: tuple[Shape, ...] = ()
    walls: tuple[Shape, ...] = ()

    @property
    def height(self) -> Fraction:
        """The highest point of the boards over the bottom edges, in inches."""
        return max(exact(y) for side in self.sides for _, y in side)


def profile(
    section: Section, height_b: Fraction | None = None, *, cleat: Fraction = CLEAT
) -> Profile:
    """Return the usual section seen from end 2 to end 1: side A left, side B right.

    Looking at side A's show face, end 1 is at the left; looking from end 2 to end 1, that face is
    at the left. The bottom's clearance is shared by its two edges. `height_b` is side B's own
    height. A cleat reaches `cleat` off its side and is as high as the sides are thick.
    """
    wide, thick, high = section.width, section.side_thickness, section.height
    other = high if height_b is None else height_b
    line = cleat_line(section)
    bottom = three_board(section)[2]
    return Profile(
        (
            _block(Fraction(0), Fraction(0), thick, high),
            _block(wide - thick, Fraction(0), wide, other),
        ),
        bottom_profile(bottom, section.flat, thick + section.fit / 2, section.reveal),
        (
            _block(thick, line, thick + cleat, min(line + thick, high)),
            _block(wide - thick - cleat, line, wide - thick, min(line + thick, other)),
        ),
    )


def box_profile(section: Section, *, cleat: Fraction = CLEAT) -> Profile:
    """Return the usual section closed by a top board between its sides, flush with their tops."""
    usual = profile(section, cleat=cleat)
    left = section.side_thickness + section.fit / 2
    high = section.height
    top = _block(left, high - section.bottom_thickness, left + bottom_width(section), high)
    return Profile(usual.sides, usual.bottom, usual.cleats, (top,))


def wall_profile(section: Section, *, cleat: Fraction = CLEAT) -> Profile:
    """Return one side, a bottom from it to a wall at the right, and the wall's own cleat."""
    wide, thick, high = section.width, section.side_thickness, section.height
    usual = profile(section, cleat=cleat)
    line = cleat_line(section)
    bottom = against_wall(section)[1]
    bottom = bottom._replace(
        width=bottom.width - TO_SCRIBE, back_width=bottom.back_width - TO_SCRIBE
    )
    return Profile(
        usual.sides[:1],
        bottom_profile(bottom, section.flat, thick + section.fit / 2, section.reveal),
        (usual.cleats[0], _block(wide - cleat, line, wide, min(line + thick, high))),
        walls=(_block(wide, Fraction(0), wide + WALL, high),),
    )


def mitred_profile(section: Section, *, boxed: bool = False) -> Profile:
    """Return boards of the sides' thickness that meet in miters of 45 degrees; `boxed`, four."""
    wide, thick, high = section.width, section.side_thickness, section.height
    zero = Fraction(0)
    bottom = mitred(wide, high, thick)[2]
    inside = high - thick if boxed else high
    return Profile(
        (
            ((zero, zero), (thick, thick), (thick, inside), (zero, high)),
            ((wide, zero), (wide, high), (wide - thick, inside), (wide - thick, thick)),
        ),
        bottom_profile(bottom, zero),
        tops=(((thick, inside), (wide - thick, inside), (wide, high), (zero, high)),)
        if boxed
        else (),
    )


def bottom_profile(
    board: FormBoard, flat: Fraction, left: Fraction = Fraction(0), low: Fraction = Fraction(0)
) -> Shape:
    """Return the bottom board's section, its show face down, from (`left`, `low`) on: square
    for the flat, then drawn in by its relief or its miter up to the back; an edge that is
    scribed is square."""
    right = left + board.width
    taken = [edge in ("relief", "mitre") for edge in (board.first_edge, board.second_edge)]
    relief = (exact(board.width) - exact(board.back_width)) / max(1, sum(taken))
    start, back = low + flat, low + board.thickness
    return (
        (left, low),
        (right, low),
        (right, start),
        (right - relief * taken[1], back),
        (left + relief * taken[0], back),
        (left, start),
    )


def _block(left: Length, low: Length, right: Length, high: Length) -> Shape:
    return (left, low), (right, low), (right, high), (left, high)


def ridge_profile(
    section: Section,
    boards: tuple[FormBoard, FormBoard, FormBoard],
    drops: tuple[Fraction, Fraction],
    lines: tuple[Length, Length],
    *,
    cleat: Fraction = CLEAT,
) -> Profile:
    """Return the section looking from end 2 to end 1, side A at the left.

    boards: side A, side B and the bottom. drops: from the ridge down to side A's and side B's
    bottom edge. lines: the cleats' lower edges up from their own side's bottom edge. All in inches;
    y is 0 at the lower one of the sides' bottom edges. Each side's top edge rises to its back by
    the slope over it. The bottom is a reveal above both bottom edges: tilted if they hang
    unequally, and clear of the side that its back leans into.
    """
    wide, thick = section.width, section.side_thickness
    feet = (max(drops) - drops[0], max(drops) - drops[1])
    low_a, low_b = feet[0] + lines[0], feet[1] + lines[1]
    side_a, side_b, bottom = boards
    zero = Fraction(0)
    return Profile(
        (
            _side(side_a, zero, thick, feet[0]),
            tuple((wide - x, y) for x, y in _turned(_side(side_b, zero, thick, feet[1]))),
        ),
        _tilted(section, bottom, feet),
        (
            _block(thick, low_a, thick + cleat, low_a + thick),
            _block(wide - thick - cleat, low_b, wide - thick, low_b + thick),
        ),
    )


def _side(board: FormBoard, outside: Fraction, thick: Fraction, foot: Fraction) -> Shape:
    """Return side A's section, its show face at the left."""
    return (
        (outside, foot),
        (outside + thick, foot),
        (outside + thick, foot + board.back_width),
        (outside, foot + board.width),
    )


def _turned(shape: Shape) -> Shape:
    """Return a shape with its corners reversed, so that it is still counterclockwise after
    mirroring."""
    low_left, low_right, up_right, up_left = shape
    return (low_right, low_left, up_left, up_right)


def _tilted(section: Section, board: FormBoard, feet: tuple[Fraction, Fraction]) -> Shape:
    """Return the bottom between the sides' inner faces, rotated about its corner at side A."""
    rise = (feet[1] - feet[0]) / (section.width - 2 * section.side_thickness)
    profile = EdgeProfile(section.bottom_thickness, section.flat, section.bevel)
    start = section.fit / 2 + (exact(profile.need(rise)) if rise > 0 else 0)
    angle = math.atan(rise)
    low = feet[0] + section.reveal

    def turned(x: Length, y: Length) -> Point:
        along, up = float(start) + float(x), float(y)
        return (
            float(section.side_thickness) + along * math.cos(angle) - up * math.sin(angle),
            float(low) + along * math.sin(angle) + up * math.cos(angle),
        )

    return tuple(turned(x, y) for x, y in bottom_profile(board, section.flat))
