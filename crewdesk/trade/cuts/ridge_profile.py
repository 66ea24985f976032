"""The section of a beam along a ridge as shapes, for drawing it."""

import math
from fractions import Fraction

from crewdesk.length import Length, exact
from crewdesk.trade.cuts.board_end import EdgeProfile
from crewdesk.trade.cuts.cleat import CLEAT
from crewdesk.trade.cuts.forms import FormBoard
from crewdesk.trade.cuts.profile import Point, Profile, Shape, bottom_profile
from crewdesk.trade.cuts.section import Section


def ridge_profile(
    section: Section,
    boards: tuple[FormBoard, FormBoard, FormBoard],
    drops: tuple[Fraction, Fraction],
    lines: tuple[Length, Length],
    *,
    cleat: Fraction = CLEAT,
) -> Profile:
    """Return the section looking from end 2 to end 1, side A at the left.

    boards: side A, side B and the bottom. drops: from the ridge down to side A's and side
    B's bottom edge. lines: the cleats' lower edges up from their own side's bottom edge. All
    in inches; y is 0 at the lower one of the sides' bottom edges. Each side's top edge rises
    to its back by the slope over it. The bottom lies a reveal over both bottom edges: tilted
    where they hang unequally, and clear of the side that its back leans into.
    """
    wide, thick = section.width, section.side_thickness
    feet = (max(drops) - drops[0], max(drops) - drops[1])
    side_a, side_b, bottom = boards
    zero = Fraction(0)
    return Profile(
        (
            _side(side_a, zero, thick, feet[0]),
            tuple((wide - x, y) for x, y in _turned(_side(side_b, zero, thick, feet[1]))),
        ),
        _tilted(section, bottom, feet),
        (
            _block(thick, feet[0] + lines[0], cleat, thick),
            _block(wide - thick - cleat, feet[1] + lines[1], cleat, thick),
        ),
    )


def _side(board: FormBoard, outside: Fraction, thick: Fraction, foot: Fraction) -> Shape:
    """Side A's section, its show face at the left."""
    return (
        (outside, foot),
        (outside + thick, foot),
        (outside + thick, foot + board.back_width),
        (outside, foot + board.width),
    )


def _turned(shape: Shape) -> Shape:
    """A shape that is about to be mirrored, so that it still goes against the clock."""
    low_left, low_right, up_right, up_left = shape
    return (low_right, low_left, up_left, up_right)


def _tilted(section: Section, board: FormBoard, feet: tuple[Fraction, Fraction]) -> Shape:
    """The bottom between the sides' inner faces, turned about its corner at side A."""
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


def _block(left: Length, low: Length, wide: Fraction, high: Fraction) -> Shape:
    return (left, low), (left + wide, low), (left + wide, low + high), (left, low + high)
