"""The reveals that a job reached, for pricing and setting the next one."""

from fractions import Fraction
from typing import NamedTuple

from crewdesk.job.record import Record


class Reveals(NamedTuple):
    """How many reveals were measured, and how far they were off the ones asked for, in inches:
    the mean with its sign (positive: more than asked for) and the worst without."""

    measured: int
    mean_off: Fraction
    worst_off: Fraction


def reveals_reached(record: Record) -> Reveals | None:
    """Return what the reveals measured at the fix-up were off, None where none was measured."""
    off = [
        reading.value - beam.section.reveal
        for beam in record.beams
        for piece in beam.pieces.values()
        if (reading := piece.latest("reveal")) is not None
    ]
    if not off:
        return None
    mean = sum(off, Fraction(0)) / len(off)
    return Reveals(len(off), mean, max(abs(one) for one in off))
