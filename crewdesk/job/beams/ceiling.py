"""Check whether the readings of a beam's ceiling are plausible."""

from fractions import Fraction
from itertools import pairwise

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.other_shape import ceiling_for_other
from crewdesk.job.cuts.cut import in_sentence
from crewdesk.job.cuts.scribing import scribe_by_readings, sides_read, sides_under
from crewdesk.trade.cuts.ceiling import Scribe
from crewdesk.trade.cuts.side_board import Side

CEILING_STEPS_AT_MOST = Fraction(1)
"""A ceiling that goes up or down by more than this between two stations must be measured twice, in
inches (common practice, no source)."""


def doubtful_ceiling(beam: Beam, made: Scribe | None = None) -> str | None:
    """Return None if a beam's ceiling is plausible, else a sentence that says why not: it was
    measured for another shape of the beam, or it steps by a lot between two neighboring spots and
    was measured only once.

    made: the scribe of readings that are being typed.
    """
    if made is None and (why := ceiling_for_other(beam)) is not None:
        return why
    try:
        made = made or scribe_by_readings(beam)
    except BadInput:
        return None
    if made is None:
        return None
    step = beam.habits.step
    for side in sides_under(beam):
        over = [one for one in made.marks if one.side == side]
        for one, other in pairwise(over):
            steps = other.gap - one.gap
            if abs(steps) <= CEILING_STEPS_AT_MOST or _stepped_twice(beam, side, one.at, other.at):
                continue
            apart = in_sentence(one.at, step).removesuffix(" in")
            return (
                f"The ceiling over {beam.label} {('drops' if steps < 0 else 'rises')} "
                f"{in_sentence(abs(steps), step)} between {apart} and "
                f"{in_sentence(other.at, step)} from end 1, at side {side}. Measure it there "
                "again; if it is right, save it once more."
            )
    return None


def _stepped_twice(beam: Beam, side: Side, at: Fraction, other_at: Fraction) -> bool:
    """Return whether two readings of a ceiling step by more than the limit between two spots."""
    times = 0
    for read in beam.pair.ceilings:
        if side not in sides_read(beam, read):
            continue
        heights = {one.at: one.height(side) for one in read.stations}
        if at in heights and other_at in heights:
            times += abs(heights[other_at] - heights[at]) > CEILING_STEPS_AT_MOST
    return times > 1
