"""A side under its ceiling as shapes, for drawing the scribe."""

from dataclasses import dataclass
from fractions import Fraction

from crewdesk.trade.cuts.ceiling import Scribe
from crewdesk.trade.cuts.side_board import End, Side, ends_left_to_right

Point = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class ScribeShape:
    """Lines from left to right as seen from that side's own show face, in inches: x from
    the left end, y up from the level top edge. `ceiling` is the ceiling's own line,
    `scribe` the line that the scriber draws, `stations` where it was read."""

    left: End
    right: End
    ceiling: tuple[Point, ...]
    scribe: tuple[Point, ...]
    stations: tuple[Fraction, ...]


def scribe_shape(made: Scribe, side: Side, length: Fraction) -> ScribeShape:
    """The lines of one side of a pair, over a beam `length` inches long.

    The scribe line is the ceiling's, lowered by the setting. Beyond the first and the
    last station the ceiling is taken to go on at their height.
    """
    marks = [mark for mark in made.marks if mark.side == side]
    left, right = ends_left_to_right(side)
    if left == 2:
        marks.reverse()
    stations = tuple(mark.at if left == 1 else length - mark.at for mark in marks)
    at = (Fraction(0), *stations, length)
    gaps = [mark.gap for mark in (marks[0], *marks, marks[-1])]
    depths = [mark.cut_depth for mark in (marks[0], *marks, marks[-1])]
    return ScribeShape(
        left,
        right,
        tuple(zip(at, gaps, strict=True)),
        tuple((x, -depth) for x, depth in zip(at, depths, strict=True)),
        stations,
    )
