"""Passes with a tilted blade: the fence or stop at the table, and its side of the blade.

A saw's fence is set at the table, so its figure is the board's width in the plane of the face that
is down. That isn't the board's own width at either face if the blade leaves part of the edge
square.
"""

import math
from collections.abc import Sequence
from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.length import Length, exact
from crewdesk.trade.angle import tangent, times
from crewdesk.trade.cuts.board_end import BoardEnd
from crewdesk.trade.cuts.side_board import Side

Face = Literal["back", "show"]
Hand = Literal["left", "right"]
OTHER: dict[Hand, Hand] = {"left": "right", "right": "left"}


class TiltedEdge(NamedTuple):
    """An edge cut with the blade tilted `blade` degrees through a board `thickness` thick.

    `flat` stays square at the show face. The edge runs in toward the back, like a relief or a
    miter, or out if `back_longer`, like the top edge of a side along a ridge. Inches.
    """

    thickness: Fraction
    blade: Fraction
    flat: Fraction = Fraction(0)
    back_longer: bool = False

    @property
    def narrow_face(self) -> Face:
        """The narrower face by this edge."""
        return "show" if self.back_longer else "back"

    def at_table(self, width: Fraction, down: Face) -> Length:
        """Return the distance from a square edge, or from the arris of an earlier cut, to where the
        blade comes through the table; `width` is the board's at its show face.

        The cut's plane passes the edge at the height of the flat and moves across by
        height x tan(blade). So with the back down it is (thickness - flat) x tan(blade) in
        from the width, and with the show face down flat x tan(blade) past it: the plane is
        outside the board there, and first enters it at the top of the flat.
        """
        over = -(self.thickness - self.flat) if down == "back" else self.flat
        shift = times(over, tangent(self.blade))
        return width - exact(shift) if self.back_longer else width + exact(shift)

    def leans_away(self, down: Face) -> bool:
        """Return whether the blade leans away from the fence: the face that is down is the
        narrower."""
        return down == self.narrow_face


def flat_left(flat: Fraction, blade: Fraction, past: Fraction, takes: Length) -> Fraction:
    """Return what stays square at the show face, in inches, if the fence or stop is set `past`
    farther off than computed for `flat`: the cut's plane enters the edge past / tan(blade) higher.
    `takes` is what the cut takes off the back as computed: beyond that, nothing."""
    past = min(past, exact(takes))
    return flat + exact(float(past) / float(tangent(blade))) if past and blade else flat


def fence_side(tilts: Hand, *, away: bool) -> Hand:
    """Return the side of the blade for a fence or stop, on a saw whose blade tilts to the side
    `tilts`, so that the blade leans away from it, or toward it."""
    return OTHER[tilts] if away else tilts


class EndPass(NamedTuple):
    """One pass over the ends of a board: over both with one setting, or over one.

    `cut` is "length" where it brings the board to its length, or "relief". `stop` is measured at
    the table along edge A, from the far end's corner to the blade, inches; None for the end that is
    cut first, with the length still over. `long_point` is the edge that is the longer at that end,
    or None if the end is square; angles are in degrees.
    """

    ends: tuple[int, ...]
    cut: Literal["length", "relief"]
    miter: Length
    long_point: Side | None
    blade: Length
    stop: Length | None


def end_passes(edge_a: Length, ends: Sequence[BoardEnd], down: Face) -> tuple[EndPass, ...] | None:
    """Return the passes over a board's two ends, in order, or None if an end's slant isn't known.

    `edge_a` is the length of edge A at the show face, `down` the face on the table. First both ends
    are cut to length: square through, or if the joint is a bevel, tilted through the show face's
    arris. Then those with a relief are passed again, tilted.
    """
    if not all(one.known for one in ends):
        return None
    first, second = sorted(ends, key=lambda one: one.end)
    cuts = [_to_length(edge_a, one, down) for one in (first, second)]
    reliefs = [_relief(edge_a, one, down) for one in (first, second) if one.joint == "relief"]
    if _alike(cuts):
        cuts = [cuts[1]._replace(ends=(first.end, second.end))]
    else:
        cuts[0] = cuts[0]._replace(stop=None)
    if _alike(reliefs):
        reliefs = [reliefs[1]._replace(ends=(first.end, second.end))]
    return (*cuts, *reliefs)


def _to_length(edge_a: Length, one: BoardEnd, down: Face) -> EndPass:
    if one.joint != "bevel":
        return _pass(one, "length", 0, edge_a)
    short = one.back_short if down == "back" else Fraction(0)
    return _pass(one, "length", one.blade_deg, exact(edge_a) - exact(short))


def _relief(edge_a: Length, one: BoardEnd, down: Face) -> EndPass:
    """Return the relief's distance along the edge: the cut's plane passes flat x tan(blade) outside
    the end at the show face, square to it, which is 1 / cos(miter) times that along the edge."""
    if down == "back":
        return _pass(one, "relief", one.blade_deg, exact(edge_a) - exact(one.back_short))
    past = times(exact(one.flat), tangent(exact(one.blade_deg)))
    if one.miter_deg:
        past = float(past) / math.cos(math.radians(one.miter_deg))
    return _pass(one, "relief", one.blade_deg, exact(edge_a) + exact(past))


def _pass(one: BoardEnd, cut: Literal["length", "relief"], blade: Length, stop: Length) -> EndPass:
    return EndPass((one.end,), cut, one.miter_deg or 0.0, one.longer, blade, stop)


def _alike(passes: Sequence[EndPass]) -> bool:
    """Return whether two passes need one setting: a board with square ends is turned end for
    end."""
    return len(passes) == 2 and all(
        one.long_point is None and one[1:] == passes[0][1:] for one in passes
    )
