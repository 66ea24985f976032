"""How a board gets to where it hangs: straight up, one end first, or not at all."""

import math
from collections.abc import Callable, Iterator

from tests.dry_fit.hang import Hung
from tests.dry_fit.room import Plane, Room
from tests.dry_fit.saw import Point3

Ends = tuple[list[Point3], list[Point3]]
Turned = Callable[[Ends, Point3, float], Ends]
_ANGLES = tuple(math.radians(d) for d in (0.02, 0.05, 0.1, 0.2, 0.4, 0.7, 1, 1.5, 2, 3, 4, 6))
_FINELY = tuple(math.radians(0.02 * 1.1**at) for at in range(78))
"""Up to about 31 degrees."""
_PAST = 1 / 32
"""What a board springs by as it goes in, in inches (common practice, no source)."""
DROP = 24.0
"""How far below its place a board comes from, in inches (common practice, no source)."""
WAYS = ("straight up", "one end first", "not at all")


def way_in(room: Room, hung: Hung) -> str:
    """The plainest way that a board can go in, one of `WAYS`.

    Straight up, sliding along as it rises: walls that come nearer to one another below the
    beam's place stop it. One end first: turned about a corner of one end, in plan or on its
    edge, it must clear both walls all the way in, but for what its length is said to be
    `within` and for what it is too long even in its place. A bottom goes up between the
    sides, which leave it no room to turn in plan.
    """
    walls = (room.plane(1), room.plane(2))
    past = _past(walls, hung)
    if short_of_straight(room, hung) <= 0:
        return WAYS[0]
    for turn in _turns(hung):
        if all(_left(walls, turn(angle)) >= past for angle in _ANGLES):
            return WAYS[1]
    return WAYS[2]


def lacks(room: Room, hung: Hung) -> float:
    """How much too long a board is for the best way that it can be brought in, though it fits in
    its place; 0 where it goes in."""
    walls = (room.plane(1), room.plane(2))
    past, best = _past(walls, hung), short_of_straight(room, hung)
    for turn in _turns(hung):
        if best <= 0:
            break
        best = min(best, max(past - _left(walls, turn(angle)) for angle in _FINELY))
    return max(0.0, best)


def short_of_straight(room: Room, hung: Hung) -> float:
    """How much too long a board is to go straight up; not above 0 where it goes."""
    walls = (room.plane(1), room.plane(2))
    left = _left(walls, hung.ends) + min(0.0, (walls[0].lean + walls[1].lean) * DROP)
    return _past(walls, hung) - left


def _past(walls: tuple[Plane, Plane], hung: Hung) -> float:
    """What may be left at the least: by so much it is too long in its place, and springs."""
    return min(0.0, _left(walls, hung.ends)) - _PAST


def _turns(hung: Hung) -> Iterator[Callable[[float], Ends]]:
    """Every way that a board may be turned, by an angle."""
    middle = sum(p[0] for p in (*hung.ends[0], *hung.ends[1])) / 2 / len(hung.ends[0])
    turns = ((2, _on_edge),) if hung.name == "bottom" else ((1, _in_plan), (2, _on_edge))
    for across, turned in turns:
        for corner in _outermost([*hung.ends[0], *hung.ends[1]], across):
            # On its edge the other end comes up from below.
            ways = (1, -1) if turned is _in_plan else (1 if corner[0] > middle else -1,)
            for way in ways:

                def turn(
                    angle: float, turned: Turned = turned, corner: Point3 = corner, way: int = way
                ) -> Ends:
                    return turned(hung.ends, corner, way * angle)

                yield turn


def _left(walls: tuple[Plane, Plane], ends: Ends) -> float:
    """What is left along the beam with the board as it is turned now."""
    return sum(
        min(wall.clearance(*p) for p in corners) for wall, corners in zip(walls, ends, strict=True)
    )


def _outermost(corners: list[Point3], across: int) -> list[Point3]:
    """The corners that a board may be turned about: the outermost one of each end, across or
    up and down. Only how far it is turned matters along the beam, for it can slide."""
    ends = sorted(corners)
    return [
        choose(half, key=lambda p: p[across])
        for half in (ends[: len(ends) // 2], ends[len(ends) // 2 :])
        for choose in (min, max)
    ]


def _in_plan(ends: Ends, about: Point3, angle: float) -> Ends:
    cos, sin = math.cos(angle), math.sin(angle)

    def turn(p: Point3) -> Point3:
        x, y = p[0] - about[0], p[1] - about[1]
        return about[0] + x * cos - y * sin, about[1] + x * sin + y * cos, p[2]

    return [turn(p) for p in ends[0]], [turn(p) for p in ends[1]]


def _on_edge(ends: Ends, about: Point3, angle: float) -> Ends:
    cos, sin = math.cos(angle), math.sin(angle)

    def turn(p: Point3) -> Point3:
        x, z = p[0] - about[0], p[2] - about[2]
        return about[0] + x * cos - z * sin, p[1], about[2] + x * sin + z * cos

    return [turn(p) for p in ends[0]], [turn(p) for p in ends[1]]
