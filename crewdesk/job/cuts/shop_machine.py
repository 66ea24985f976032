"""What the crew works with on every job: its saw, its tools and its instruments."""

from fractions import Fraction
from typing import TYPE_CHECKING, Literal, NamedTuple

from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS, Instruments
from crewdesk.trade.cuts.scribe_cut import BACK_CUT, WAYS, Way

if TYPE_CHECKING:
    from crewdesk.trade.cuts.saw_passes import Face, Hand, TiltedEdge

MiterTilt = Literal["left", "right", "both"]
MITER_TILTS: tuple[MiterTilt, ...] = ("left", "right", "both")
Scribers = tuple[tuple[str, Fraction], ...]
"""Tools to scribe with: each one's name and how far it holds the pencil off, in inches."""
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
        """The face that is on the table for a pass over that edge."""
        return edge.narrow_face if self.face_down == "narrow" else self.face_down


USUAL_MACHINE = ShopMachine()


class Crew(NamedTuple):
    """The crew's `instruments` and its `machine`, as far as cut figures depend on them (see
    `Desk.shop_machine`)."""

    instruments: Instruments = USUAL_INSTRUMENTS
    machine: ShopMachine = USUAL_MACHINE


def scriber_for(scribers: Scribers, setting: Fraction) -> tuple[str, Fraction] | None:
    """Return the tool that holds the pencil off by at least `setting` inches and by the least
    more, or None where none does."""
    reach = [one for one in scribers if one[1] >= setting]
    return min(reach, key=lambda one: one[1], default=None)
