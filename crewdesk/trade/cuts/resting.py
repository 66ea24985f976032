"""Where a straight board first touches a ceiling that isn't, when simply pushed up."""

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

Point = tuple[Fraction, Fraction]


class Resting(NamedTuple):
    """The top edge as it rests: heights of the edge at end 1 and end 2, in inches over
    the laser line, and the stations it touches. `rocks` where it touches beneath its
    middle alone and can tip either way; it is then taken as near level as it will go."""

    touches: tuple[Fraction, ...]
    end1: Fraction
    end2: Fraction
    rocks: bool


def resting(profile: Sequence[Point], length: Fraction) -> Resting:
    """How a board `length` inches long rests against `profile`, (station, height) pairs
    in order from end 1, at least two of them, straddling the board's middle.

    The ceiling is taken for straight between stations. A board pushed up at its
    middle comes to rest on the edge of the profile's lower convex hull that spans the
    middle: no line that stays below the profile stands higher there (a linear
    programme in two unknowns, solved by its supporting line).
    """
    hull = lower_hull(profile)
    middle = length / 2
    slope, pivot, rocks = _supporting(hull, middle)
    end1 = pivot[1] - slope * pivot[0]
    end2 = end1 + slope * length
    touches = tuple(x for x, y in profile if y == end1 + slope * x)
    return Resting(touches, end1, end2, rocks)


def lower_hull(profile: Sequence[Point]) -> list[Point]:
    """The corners of the lower convex hull, left to right (Andrew's monotone chain, 1979)."""
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
    """Slope of the resting line, a corner on it, and whether the board rocks on it."""
    for i in range(1, len(hull) - 1):
        if hull[i][0] == middle:
            before, after = _slope(hull[i - 1], hull[i]), _slope(hull[i], hull[i + 1])
            return min(max(Fraction(0), before), after), hull[i], True
    i = next(i for i in range(1, len(hull)) if hull[i][0] > middle)
    return _slope(hull[i - 1], hull[i]), hull[i], False
