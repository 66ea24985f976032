"""The way up of a box's sides and top, which are assembled before they go up.

Seen in the beam's frame: x along it, y across from side A's show face, z up from the sides' bottom
edges. All in inches, and in floats, since the frame is rotated.
"""

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from crewdesk.trade.cuts.dry_fit import FROM_BELOW, SPRINGS, WayIn
from crewdesk.trade.cuts.side_board import End

Corner = tuple[float, float, float]
Corners = tuple[Sequence[Corner], Sequence[Corner]]
"""The corners at end 1 and at end 2."""
_ANGLES = tuple(math.radians(0.02 * 1.15**at) for at in range(54))
"""The angles of rotation, in radians: up to about 33 degrees, in fine steps near the end."""


class WallPlane(NamedTuple):
    """A wall: x = `at` + `across` y + lean z, seen from its own end of the beam, where `leans`
    is how far it comes in per inch up at side A's and at side B's show face, `width` apart."""

    across: float
    leans: tuple[float, float]
    width: float

    def comes_in(self, y: float, z: float) -> float:
        """Return how far the wall reaches past where it is at side A's bottom edge."""
        lean = self.leans[0] + (self.leans[1] - self.leans[0]) * y / self.width
        return self.across * y + lean * z


class FrameWay(NamedTuple):
    """How a frame goes up, and how much too long it is for that, 0 if it fits; `first` is the end
    that goes first, if one does."""

    way: WayIn
    jams: float
    first: End | None = None


def frame_way(corners: Corners, walls: tuple[WallPlane, WallPlane], run: float) -> FrameWay:
    """Return how a frame whose `corners` are those in its place goes up between walls `run` inches
    apart along side A's bottom edge.

    Straight up it passes the room `FROM_BELOW`. Otherwise one end goes first: the frame is
    turned about a corner of that end, on edge with the other end low or in plan, and must clear
    both walls at every angle, less what it springs. A box is stiff: no other board bends with it.
    """
    left = _left(corners, walls, run)
    least = min(0.0, left) - float(SPRINGS)
    below = _moved(corners, lambda one: (one[0], one[1], one[2] - FROM_BELOW))
    straight = least - _left(below, walls, run)
    if straight <= 0:
        return FrameWay("straight up", 0.0)
    found: list[tuple[float, End]] = [
        (
            max(
                least - _left(_turned(corners, about, angle, plan), walls, run) for angle in _ANGLES
            ),
            1 if about in corners[0] else 2,
        )
        for plan, about in _pivots(corners)
    ]
    lacks, first = min(found)
    if lacks <= 0:
        return FrameWay("one end first", 0.0, first)
    return FrameWay("no way", min(lacks, straight))


def _left(corners: Corners, walls: tuple[WallPlane, WallPlane], run: float) -> float:
    """Return the free length along the beam, with the frame in its best position."""
    first = min(x - walls[0].comes_in(y, z) for x, y, z in corners[0])
    second = min(run - x - walls[1].comes_in(y, z) for x, y, z in corners[1])
    return first + second


def _moved(corners: Corners, move: Callable[[Corner], Corner]) -> Corners:
    return [move(one) for one in corners[0]], [move(one) for one in corners[1]]


def _pivots(corners: Corners) -> list[tuple[int, Corner]]:
    """Return the corners that the frame may turn about, with the direction: 0 on edge with the
    other end low, 1 and -1 in plan."""
    found = []
    for at_end in corners:
        for across in (1, 2):
            for choose in (min, max):
                corner = choose(at_end, key=lambda one: one[across])
                ways = (0,) if across == 2 else (1, -1)
                found += [(way, corner) for way in ways]
    return found


def _turned(corners: Corners, about: Corner, angle: float, plan: int) -> Corners:
    """Return the frame turned about a corner: in plan, or on edge so that the other end hangs
    low."""
    other = corners[1] if about in corners[0] else corners[0]
    low = -1.0 if other[0][0] > about[0] else 1.0
    cos, sin = math.cos(angle), math.sin(angle) * (plan or low)

    def turn(one: Corner) -> Corner:
        x, y, z = (here - there for here, there in zip(one, about, strict=True))
        if plan:
            return about[0] + x * cos - y * sin, about[1] + x * sin + y * cos, one[2]
        return about[0] + x * cos - z * sin, one[1], about[2] + x * sin + z * cos

    return _moved(corners, turn)
