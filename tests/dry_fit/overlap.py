"""How far two convex outlines reach into one another."""

import math
from collections.abc import Sequence

Point2 = tuple[float, float]


def overlap(one: Sequence[Point2], two: Sequence[Point2]) -> float:
    """The least way by which one of two convex polygons must move to be clear of the other;
    below 0 the clearance along the best of their own directions.

    The separating axis theorem: two convex polygons are apart if and only if they are along
    the normal of one of their edges.
    """
    least = math.inf
    for shape in (one, two):
        for (y, z), (y2, z2) in zip(shape, [*shape[1:], shape[0]], strict=True):
            across, up = z2 - z, y - y2
            size = math.hypot(across, up)
            if size < 1e-9:
                continue
            (low, high), (low2, high2) = (
                _reach(points, across / size, up / size) for points in (one, two)
            )
            least = min(least, high - low2, high2 - low)
    return least


def _reach(points: Sequence[Point2], across: float, up: float) -> tuple[float, float]:
    along = [y * across + z * up for y, z in points]
    return min(along), max(along)
