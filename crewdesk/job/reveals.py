"""The reveals that a job reached, for pricing and setting the next one."""

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from crewdesk.job.cleats import reveal_of
from crewdesk.job.record import Record


class Reveals(NamedTuple):
    """How many reveals were measured, and how far they were off the ones asked for, in inches:
    the mean with its sign (positive: more than asked for) and the worst without."""

    measured: int
    mean_off: Fraction
    worst_off: Fraction


def reveals_off(record: Record) -> tuple[Fraction, ...]:
    """Return how far each reveal measured at the fix-up was off the one asked for, in inches."""
    return tuple(
        reading.value - reveal_of(beam, beam.habits.cleat)
        for beam in record.beams
        for piece in beam.pieces.values()
        if (reading := piece.latest("reveal")) is not None
    )


def reveals_reached(off: Sequence[Fraction]) -> Reveals | None:
    """Return what reveals that are so far off come to, None where none was measured."""
    if not off:
        return None
    mean = sum(off, Fraction(0)) / len(off)
    return Reveals(len(off), mean, max(abs(one) for one in off))
