"""The section of a beam as shapes, for drawing it."""

from dataclasses import dataclass
from fractions import Fraction

from crewdesk.trade.cuts.section import Section, bottom_width, cleat_line, relief_per_edge
from crewdesk.trade.length import Length

Point = tuple[Length, Length]
Shape = tuple[Point, ...]

CLEAT = Fraction(3, 4)
"""Width and height of a cleat (common practice, no source)."""


@dataclass(frozen=True)
class Profile:
    """Corners in inches, x from the outside of side A, y up from the sides' bottom
    edges, each shape from its bottom left corner on against the clock."""

    sides: tuple[Shape, Shape]
    bottom: Shape
    cleats: tuple[Shape, Shape]


def profile(section: Section) -> Profile:
    """The section looking from end 2 to end 1: side A at the left, side B at the right.

    Whoever looks at side A's show face has end 1 at the left; turning left to look at
    end 1 from end 2, one has that face at one's left. What is taken off the bottom's
    width for fit is shared by its two edges.
    """
    wide, thick, high = section.width, section.side_thickness, section.height
    line = cleat_line(section)
    return Profile(
        (
            _block(Fraction(0), Fraction(0), thick, high),
            _block(wide - thick, Fraction(0), wide, high),
        ),
        bottom_profile(section, thick + section.fit / 2, section.reveal),
        (
            _block(thick, line, thick + CLEAT, min(line + CLEAT, high)),
            _block(wide - thick - CLEAT, line, wide - thick, min(line + CLEAT, high)),
        ),
    )


def bottom_profile(
    section: Section, left: Fraction = Fraction(0), low: Fraction = Fraction(0)
) -> Shape:
    """The bottom board's section, its show face down, from (`left`, `low`) on: square for
    the flat, then drawn in by the relief bevel up to the back."""
    right = left + bottom_width(section)
    relief = relief_per_edge(section)
    flat, back = low + section.flat, low + section.bottom_thickness
    return (
        (left, low),
        (right, low),
        (right, flat),
        (right - relief, back),
        (left + relief, back),
        (left, flat),
    )


def _block(left: Fraction, low: Fraction, right: Fraction, high: Fraction) -> Shape:
    return (left, low), (right, low), (right, high), (left, high)
