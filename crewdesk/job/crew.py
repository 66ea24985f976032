"""What the crew works with on every job: its instruments and its tools to scribe with."""

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS, Instruments
from crewdesk.trade.cuts.scribe_cut import BACK_CUT, Way

Scribers = tuple[tuple[str, Fraction], ...]
"""Tools to scribe with: each one's name and how far it holds the pencil off, in inches."""


class Crew(NamedTuple):
    """The crew's `instruments`, its `scribers` as Business settings list them, and how it cuts to
    a scribe line: `scribe_cut`, the way for every board, None where the board and its ceiling
    decide, and `back_cut`, in degrees."""

    instruments: Instruments = USUAL_INSTRUMENTS
    scribers: Scribers = ()
    scribe_cut: Way | None = None
    back_cut: Fraction = BACK_CUT


def scriber_for(scribers: Scribers, setting: Fraction) -> tuple[str, Fraction] | None:
    """Return the tool that holds the pencil off by at least `setting` inches and by the least
    more, or None where none does."""
    reach: Sequence[tuple[str, Fraction]] = [one for one in scribers if one[1] >= setting]
    return min(reach, key=lambda one: one[1], default=None)
