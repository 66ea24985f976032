"""Where a straight board rests when pushed up against an uneven ceiling, and the errors if each
side of a pair is scribed like that instead of leveled to the other."""

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from crewdesk.sentence import Caution, caution

Point = tuple[Fraction, Fraction]


class Resting(NamedTuple):
    """The top edge as it rests: heights of the edge at end 1 and end 2, in inches over the laser
    line, and the stations it touches. `rocks` if it touches only below its middle and can tip
    either way; then it is as close to level as possible."""

    touches: tuple[Fraction, ...]
    end1: Fraction
    end2: Fraction
    rocks: bool


def resting(profile: Sequence[Point], length: Fraction) -> Resting:
    """Return how a board `length` inches long rests against `profile`, (spot, height) pairs in
    order from end 1, at least two, on both sides of the board's middle.

    The ceiling counts as straight between spots. A board pushed up at its middle comes to rest on
    the edge of the profile's lower convex hull that spans the middle: no line below the profile is
    higher there (a linear program in two unknowns, solved by its supporting line).
    """
    hull = lower_hull(profile)
    middle = length / 2
    slope, pivot, rocks = _supporting(hull, middle)
    end1 = pivot[1] - slope * pivot[0]
    end2 = end1 + slope * length
    touches = tuple(x for x, y in profile if y == end1 + slope * x)
    return Resting(touches, end1, end2, rocks)


def lower_hull(profile: Sequence[Point]) -> list[Point]:
    """Return the corners of the lower convex hull, left to right (Andrew's monotone chain,
    1979)."""
    hull: list[Point] = []
    for point in profile:
        while len(hull) >= 2 and _turn(hull[-2], hull[-1], point) <= 0:
            hull.pop()
        hull.append(point)
    return hull


def _turn(o: Point, a: Point, b: Point) -> Fraction:
    return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])


def _slope(a: Point, b: Point) -> Fraction:
    return (b[1] - a[1]) / (b[0] - a[0])


def _supporting(hull: list[Point], middle: Fraction) -> tuple[Fraction, Point, bool]:
    """Return the slope of the resting line, a corner on it, and whether the board rocks on it."""
    for i in range(1, len(hull) - 1):
        if hull[i][0] == middle:
            before, after = _slope(hull[i - 1], hull[i]), _slope(hull[i], hull[i + 1])
            return min(max(Fraction(0), before), after), hull[i], True
    i = next(i for i in range(1, len(hull)) if hull[i][0] > middle)
    return _slope(hull[i - 1], hull[i]), hull[i], False


class Alone(NamedTuple):
    """The errors, in inches, if each side were pushed up and scribed by itself.

    `end1` and `end2`: between the two sides' bottom edges at each end; `along_a` and
    `along_b`: from end 1 to end 2 of one side; `levelled`: between the two sides, if
    each were at least level along its own length.
    """

    end1: Fraction
    end2: Fraction
    along_a: Fraction
    along_b: Fraction
    levelled: Fraction

    @property
    def worst(self) -> Fraction:
        """The largest of the five."""
        return max(self.end1, self.end2, self.along_a, self.along_b, self.levelled)


def scribed_alone(
    rest_a: Resting, rest_b: Resting, lowest_a: Fraction, lowest_b: Fraction
) -> Alone:
    """Return both sides as they rest, and the ceiling's lowest height over each.

    A side scribed where it rests gets a bottom edge parallel to its resting line; one
    leveled by itself hangs at its own lowest point, not the pair's.
    """
    return Alone(
        abs(rest_a.end1 - rest_b.end1),
        abs(rest_a.end2 - rest_b.end2),
        abs(rest_a.end1 - rest_a.end2),
        abs(rest_b.end1 - rest_b.end2),
        abs(lowest_a - lowest_b),
    )


def alone_cautions(alone: Alone, step: Fraction) -> tuple[Caution, ...]:
    """Return the cautions if the error is at least one shown `step`."""
    across = max(alone.end1, alone.end2, alone.levelled)
    along = max(alone.along_a, alone.along_b)
    out = []
    if across >= step:
        out.append(
            caution(
                "Scribed one by one, the two sides would end {across} in out of level. "
                "Level the pair first, then scribe both at one setting.",
                across=across,
            )
        )
    if along >= step:
        out.append(
            caution(
                "Scribed as it rests when pushed up, a side would end {along} in out "
                "of level from end to end. Pry it level first.",
                along=along,
            )
        )
    return tuple(out)
