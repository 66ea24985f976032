"""One cut of a piece: the machine, and its setting, part by part."""

from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.length import (
    DEFAULT_STEP,
    HIDDEN_AT_MOST,
    Length,
    Step,
    Way,
    exact,
    rounded,
    show_length,
)

BLADE, MITER, BACK_CUT, BACK_BEVEL = "blade tilt", "miter", "back-cut", "back bevel"
EDGE_BEVEL = "bevel off square"
DEGREES = (BLADE, MITER, BACK_CUT, BACK_BEVEL, EDGE_BEVEL)
"""The parts of a setting that are in degrees; all others are in inches."""
BY_HAND = "hand saw or jig"
SAW_TILTS_AT_MOST = Fraction(45)
"""A saw's blade tilts no farther than this, in degrees; some go to 47 or 48 (common practice,
no source)."""
_SOME_REACH = Fraction(48)
_EIGHTH, _HUNDREDTH = Fraction(1, 8), Fraction(1, 100)


class Part(NamedTuple):
    """A part of a setting: its name and exact value, and which way it may be rounded: down
    where the board must go in, up where it must be cut from or clear of something."""

    name: str
    value: Length
    way: Way = "near"

    def as_set(self, step: Step) -> tuple[Fraction, str]:
        """Return the value a machine is set to, and `+` or `-` if the true one is a little more or
        less (see `HIDDEN_AT_MOST`).

        Lengths go to a step of the job. An angle goes to the hundredth of a degree, unless it
        is one in eighths: such a one was chosen, and doesn't follow from a slope.
        """
        value = exact(self.value)
        if self.name in DEGREES:
            chosen = (value / _EIGHTH).denominator == 1
            return value if chosen else rounded(value, _HUNDREDTH, self.way), ""
        found = rounded(self.value, step.size, self.way)
        off = value - found
        return found, "" if abs(off) <= HIDDEN_AT_MOST else "+" if off > 0 else "-"


class Lies(NamedTuple):
    """How a board lies at a saw, as far as it can be drawn.

    `view` is "front" at a table saw, seen by who feeds the board, and "above" at a miter saw, its
    fence far away. `side` is the side of the blade on which fence and board are, "" for either;
    `leans` the side to which the blade's top leans, or "" if it stands upright; `down` the face on
    the table, "" for either. `whole` is whether the pass takes off all that is past the blade, not
    the corner of an edge alone. `long_point` says where the longer edge of a mitered end is:
    "fence", "free", or "" for a square one; `against` which edge is at the miter saw's fence.
    `thick` and `wide` are the board's, in inches.
    """

    view: Literal["front", "above"]
    side: Literal["left", "right", ""] = ""
    leans: Literal["left", "right", ""] = ""
    down: Literal["back", "show", ""] = ""
    whole: bool = True
    long_point: Literal["fence", "free", ""] = ""
    against: str = ""
    thick: Fraction = Fraction(0)
    wide: Fraction = Fraction(0)


class Cut(NamedTuple):
    """One cut of a piece: its `name`, the machine and its parts, the slowest to set first.

    `turn` is when it comes in a batch, from 1: all boards take the cuts of one turn before
    any takes those of the next. `placed` is where the fence or stop is; `notes` say how the
    board lies, cautions among them with `!` before them. `why` says why this machine does
    it, where that differs from board to board, and `own` is what is marked on this board alone;
    boards are grouped without both. `lies` is how the board lies, to be drawn, or None. `figures`
    are those of the notes that follow from this very board: they set nothing, so boards whose notes
    differ in them alone are one group.
    """

    machine: str
    parts: tuple[Part, ...]
    name: str = ""
    placed: str = ""
    notes: tuple[str, ...] = ()
    turn: int = 1
    why: str = ""
    own: str = ""
    lies: Lies | None = None
    figures: tuple[str, ...] = ()


def in_words(value: Length, step: Step, way: Way = "near") -> str:
    """Return a length as ``146 3/4 in`` or ``3727 mm`` for a sentence, rounded to the nearest step,
    down or up."""
    shown = show_length(value, step, way=way)
    return shown if step.mm else f"{shown} in"


def in_sentence(value: Length, step: Step) -> str:
    """Return the same to 1/32 in unless the job is in millimeters, for an error or a doubt."""
    return in_words(value, step if step.mm else DEFAULT_STEP)


def leaves_flat(flat: Length, step: Step) -> str:
    """Return the note for what a relief bevel leaves square, in inches."""
    return f"Leaves {in_words(flat, step)} flat at the show face: check it on a cutoff first."


def too_steep(blade: Length) -> str:
    """Return the sentence for a bevel, in degrees, that is steeper than a saw tilts."""
    some = ", though some go to 47\u00b0 or 48\u00b0" if exact(blade) <= _SOME_REACH else ""
    return (
        f"{float(blade):.2f}\u00b0 is steeper than a saw tilts: most stop at "
        f"{SAW_TILTS_AT_MOST}\u00b0{some}."
    )
