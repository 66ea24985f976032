"""The ends of a board that lies flat between two walls: bottom boards and top boards.

Seen in the board's own frame: x along it, y across it from edge A to edge B, and into
its thickness from the show face to the back. A wall's plane meets the show face along a
line that may be out of square, and may come in toward the board behind that face.
"""

import math
from collections.abc import Sequence
from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.length import HIDDEN_AT_MOST, SIXTY_FOURTH, Length, Way, exact
from crewdesk.trade.angle import arctangent, tangent, times
from crewdesk.trade.cuts.side_board import End, Side

EndJoint = Literal["relief", "bevel", "square"]
OPEN_AT_MOST = SIXTY_FOURTH
"""The most that a square edge may be off the wall at the show face, in inches, before the end is
beveled instead (common practice, no source)."""


class WallAt(NamedTuple):
    """The wall at one end of a board.

    `comes_in` is how far the wall comes in toward the board per inch behind its show face (negative
    if it goes away); `skew` how much farther edge A reaches than edge B per inch across, or None if
    no square was read there, and `skew_off` how far that can be off.
    """

    comes_in: Length = Fraction(0)
    skew: Length | None = None
    skew_off: Length = Fraction(0)


PLUMB_WALL = WallAt()


class EdgeProfile(NamedTuple):
    """The shape of a board's square edge, in inches: `flat` left square at the show face, then a
    `bevel` in degrees through the rest of its `thickness`; all square if the flat is the
    thickness."""

    thickness: Fraction
    flat: Fraction
    bevel: Fraction = Fraction(0)

    @property
    def relief(self) -> Length:
        """What the bevel takes off the back, in inches: (thickness - flat) x tan(bevel)."""
        return times(self.thickness - self.flat, tangent(self.bevel))

    def need(self, comes_in: Length) -> Length:
        """Return how far a wall coming in by `comes_in` per inch would enter this edge, in
        inches, if its show face touched the wall: at the top of the flat, or at the back."""
        if comes_in <= 0:
            return Fraction(0)
        at_flat, at_back = comes_in * self.flat, comes_in * self.thickness
        return max(at_flat, exact(at_back) - exact(self.relief))


class BoardEnd(NamedTuple):
    """How one end of a board is cut.

    `offset` is how far edge A runs past edge B at this end, in inches along the board (negative:
    edge B past edge A), and `miter_deg` that cut off square; both None if the board's edges differ
    and no square tells which end has the slant. `joint`: "relief" leaves `flat` square at the show
    face and tilts the rest by `blade_deg`; "bevel" is one cut tilted by `blade_deg` through the
    show face's corner; "square" is neither. `back_short` is how much shorter the back is than the
    show face here, in inches along the board. `free` is what the board is shorter than its room, in
    inches: so much both ends' slants may come out too little together before edge B is too long.
    """

    end: End
    offset: Length | None
    miter_deg: float | None
    joint: EndJoint
    blade_deg: float
    flat: Length
    back_short: Length
    free: Fraction = Fraction(0)

    def way(self, step: Fraction) -> Way:
        """Return how the slant is rounded to a step, in inches: to the nearest if both ends, half a
        step each, leave the board short enough laid out from edge A; else with its sign up, which
        never makes edge B longer."""
        return "near" if step <= self.free else "up"

    @property
    def known(self) -> bool:
        """Whether this end's slant is known."""
        return self.offset is not None

    @property
    def longer(self) -> Side | None:
        """Which edge runs past the other at this end; None if neither does."""
        if not self.offset:
            return None
        return "A" if self.offset > 0 else "B"


def cut_offset(offset: Length | None) -> Length | None:
    """Return the slant that an end is cut with, in inches: one of under 1/128 in, either way, can't
    be set or seen, and is cut square. Everything that shows an end uses this."""
    if offset is not None and abs(exact(offset)) < HIDDEN_AT_MOST:
        return Fraction(0)
    return offset


def end_need(profile: EdgeProfile, wall: WallAt) -> Length:
    """Return how much an end takes off its reading, in inches: nothing if it is beveled."""
    need = profile.need(wall.comes_in)
    return need if need <= OPEN_AT_MOST else Fraction(0)


def board_ends(
    profile: EdgeProfile,
    width: Length,
    edges: tuple[Length, Length],
    walls: Sequence[WallAt],
) -> tuple[BoardEnd, BoardEnd]:
    """Return both ends of a board `width` inches wide whose edges A and B are that long.

    The slants must add up to the edges' difference, so the rest that the squares don't explain is
    divided between both ends by `shares`, or goes to the end without a square. Without any square
    the slants are unknown unless the edges are equal. See `cut_offset`, and `edges_between` for the
    edges that go with the ends.
    """
    difference = edges[0] - edges[1]
    offsets = [cut_offset(one) for one in slants(difference, width, walls)]
    first, second = (
        _end(profile, width, end, wall, offset)
        for end, wall, offset in zip((1, 2), walls, offsets, strict=True)
    )
    return first, second


def shares(first: Length, second: Length) -> tuple[Fraction, Fraction]:
    """Return the part of a common rest that each of two readings takes, by their uncertainties:
    u1^2 / (u1^2 + u2^2) and u2^2 / (u1^2 + u2^2), or a half each if both are equally sure or exact.

    That is least squares, each reading weighted by one over its variance (JCGM 100:2008, 4.1.4,
    note 2; from memory); a bound u has the variance u^2 / 3 (4.3.7), and the 3 drops out.
    """
    one, two = exact(first) ** 2, exact(second) ** 2
    if one == two:
        return Fraction(1, 2), Fraction(1, 2)
    return one / (one + two), two / (one + two)


def slants(
    difference: Length, width: Length, walls: Sequence[WallAt]
) -> tuple[Length | None, Length | None]:
    """Return how far edge A reaches past edge B between the walls at both ends, in inches, if the
    edges are `width` apart and their lengths differ by `difference`; or None if unknown."""
    first, second = walls[0].skew, walls[1].skew
    if first is None and second is None:
        return (None, None) if difference else (Fraction(0), Fraction(0))
    if second is None:
        assert first is not None
        return first * width, difference - first * width
    if first is None:
        return difference - second * width, second * width
    rest = difference - (first + second) * width
    part_1, part_2 = shares(walls[0].skew_off, walls[1].skew_off)
    return first * width + rest * part_1, second * width + rest * part_2


def edges_between(
    edges: tuple[Length, Length],
    ends: tuple[BoardEnd, BoardEnd],
    width: Length,
    walls: Sequence[WallAt],
) -> tuple[Length, Length]:
    """Return two edges, in inches, with the difference that their ends make. At an end whose slant
    was too small to cut, the edge that would run past is shorter by that slant, so that the
    square end touches the wall with the other edge; no edge is longer than before."""
    left_out = (_ZERO, _ZERO)
    for slant, end in zip(slants(edges[0] - edges[1], width, walls), ends, strict=True):
        if slant is None or end.offset is None:
            return edges
        lost = exact(slant) - exact(end.offset)
        if abs(lost) > _NOTHING:
            left_out = (left_out[0] + max(_ZERO, lost), left_out[1] + max(_ZERO, -lost))
    return edges[0] - left_out[0], edges[1] - left_out[1]


_ZERO = Fraction(0)
_NOTHING = Fraction(1, 10**9)


def end_as_cut(
    profile: EdgeProfile,
    width: Length,
    end: End,
    offset: Length | None,
    blade_deg: Length | None,
) -> BoardEnd:
    """Return an end of a board `width` inches wide that was cut with edge A `offset` inches past
    edge B, or None if that isn't known; with the blade tilted `blade_deg` in one cut along the
    wall, or, if that is None, as its edges are."""
    offset = cut_offset(offset)
    if blade_deg is None:
        return _end(profile, width, end, PLUMB_WALL, offset)
    slant = 0.0 if offset is None else float(offset / width)
    comes_in = math.tan(math.radians(float(blade_deg))) * math.sqrt(1 + slant * slant)
    return _beveled(profile, width, end, comes_in, offset)._replace(blade_deg=float(blade_deg))


def _end(
    profile: EdgeProfile, width: Length, end: int, wall: WallAt, offset: Length | None
) -> BoardEnd:
    number: End = 1 if end == 1 else 2
    if profile.need(wall.comes_in) > OPEN_AT_MOST:
        return _beveled(profile, width, number, wall.comes_in, offset)
    miter, along = _slant(width, offset)
    if profile.bevel == 0 or profile.flat == profile.thickness:
        return BoardEnd(number, offset, miter, "square", 0.0, profile.thickness, Fraction(0))
    short = profile.relief if not offset else float(profile.relief) * along
    return BoardEnd(number, offset, miter, "relief", float(profile.bevel), profile.flat, short)


def _beveled(
    profile: EdgeProfile, width: Length, end: End, comes_in: Length, offset: Length | None
) -> BoardEnd:
    """Return an end in one cut along the wall; the blade's tilt is the angle between the wall's
    plane and the board's thickness, asin(c / sqrt(1 + s^2 + c^2)) for a plane x = s y + c z."""
    miter, along = _slant(width, offset)
    c = float(comes_in)
    blade = math.degrees(math.asin(c / math.sqrt(along * along + c * c)))
    if not offset:
        blade = arctangent(comes_in)
    short = comes_in * profile.thickness
    return BoardEnd(end, offset, miter, "bevel", blade, Fraction(0), short)


def _slant(width: Length, offset: Length | None) -> tuple[float | None, float]:
    """Return the miter in degrees, or None if the slant isn't known, and how long the end is for an
    inch across the board."""
    if offset is None:
        return None, 1.0
    slant = float(offset / width)
    return math.degrees(math.atan(abs(slant))), math.sqrt(1 + slant * slant)
