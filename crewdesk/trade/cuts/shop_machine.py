"""The crew's saw, tools and instruments, and how a side is cut to its scribe line: by its length,
the depth of the cut and the ceiling."""

from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Literal, NamedTuple

from crewdesk.length import SIXTEENTH, THIRTY_SECOND
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS, Instruments

if TYPE_CHECKING:
    from crewdesk.trade.cuts.saw_passes import Face, Hand, TiltedEdge


Way = Literal["table saw", "circular saw", "track saw", "plane"]
WAYS: tuple[Way, ...] = ("table saw", "circular saw", "track saw", "plane")

BACK_CUT = Fraction(3)
"""The usual back-cut that keeps a scribed edge's back clear of the ceiling, in degrees (common
practice, no source)."""
PLANE_AT_MOST = 2 * SIXTEENTH
"""The deepest cut that is planed, in inches (common practice, no source)."""
STRAIGHT = THIRTY_SECOND
"""The largest bend of a line that is cut as a straight one, in inches (common practice, no
source)."""
TABLE_SAW_AT_MOST = Fraction(96)
"""The longest board that is pushed over a table saw on a carrier, in inches (common practice, no
source)."""


Why = Literal["shallow", "not known", "bent", "straight and short", "straight and long"]


class WayToCut(NamedTuple):
    """How a board is cut to its line, and the reason in the board or its ceiling."""

    way: Way
    why: Why


def bend(line: Sequence[tuple[Fraction, Fraction]]) -> Fraction:
    """Return the farthest that a line of (place, height) is from the straight line between its
    first and last point, in inches."""
    (start, low), (stop, high) = line[0], line[-1]
    rise = (high - low) / (stop - start) if stop != start else Fraction(0)
    return max(abs(height - low - rise * (at - start)) for at, height in line)


def way_to_cut(
    length: Fraction | None, deepest: Fraction | None, bent: Fraction | None
) -> WayToCut:
    """Return how a side is cut to its line (common practice, no source); None if unknown.

    A shallow cut is planed; a straight line is sawed along a guide, on a table saw where the
    board is short enough to be carried over it, with a track saw where it is longer; a line
    that follows a bent ceiling is steered along with a circular saw.
    """
    if deepest is not None and deepest <= PLANE_AT_MOST:
        return WayToCut("plane", "shallow")
    if bent is None:
        return WayToCut("circular saw", "not known")
    if bent > STRAIGHT:
        return WayToCut("circular saw", "bent")
    if length is not None and length <= TABLE_SAW_AT_MOST:
        return WayToCut("table saw", "straight and short")
    return WayToCut("track saw", "straight and long")


MiterTilt = Literal["left", "right", "both"]
MITER_TILTS: tuple[MiterTilt, ...] = ("left", "right", "both")
Scribers = tuple[tuple[str, Fraction], ...]
"""Scribing tools: each one's name and offset of its pencil, in inches."""
FACES_DOWN = ("narrow", "back", "show")
BY_BOARD = "by the board"
SCRIBE_CUTS = (BY_BOARD, *WAYS)


class ShopMachine(NamedTuple):
    """The shop's saw and tools; every default is common practice, no source.

    `tilts` is the side to which the table saw's blade tilts, `miter_tilts` that of the miter
    saw's, which cuts the ends. `face_down` is the face that is on the table for a tilted pass:
    "back", "show", or "narrow" for whichever is the narrower, so that the blade leans away from
    the fence. `scribe_cut` is how boards are cut to the scribe line, None by the rule for each
    board; `proud` is left there to be planed off, in inches, and `back_cut` in degrees keeps the
    back clear of the ceiling. `scribers` are the tools to scribe with, each with the distance it
    holds the pencil off, in inches.
    """

    tilts: "Hand" = "left"
    face_down: Literal["narrow", "back", "show"] = "narrow"
    scribe_cut: Way | None = None
    proud: Fraction = Fraction(1, 32)
    back_cut: Fraction = BACK_CUT
    scribers: Scribers = ()
    miter_tilts: MiterTilt = "left"

    def down(self, edge: "TiltedEdge") -> "Face":
        """Return the face on the table for a pass over that edge."""
        return edge.narrow_face if self.face_down == "narrow" else self.face_down


USUAL_MACHINE = ShopMachine()


class Crew(NamedTuple):
    """The crew's `instruments` and its `machine`, as far as cut figures depend on them (see
    `Desk.shop_machine`)."""

    instruments: Instruments = USUAL_INSTRUMENTS
    machine: ShopMachine = USUAL_MACHINE


def scriber_for(scribers: Scribers, setting: Fraction) -> tuple[str, Fraction] | None:
    """Return the tool that holds the pencil off by at least `setting` inches and by the least more,
    or None if none does."""
    reach = [one for one in scribers if one[1] >= setting]
    return min(reach, key=lambda one: one[1], default=None)
