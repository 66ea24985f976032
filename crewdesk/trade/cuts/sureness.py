"""How far each mark can be off, from the steps that the instruments read to.

A reading to the nearest step is off by at most half of it (the resolution of an
indication, JCGM 100:2008, F.2.2.1). Halves are carried into each mark at their worst,
all the same way at once; marks that are linear in their readings carry them exactly.
"""

from fractions import Fraction
from typing import NamedTuple

from crewdesk.trade.checked import checked
from crewdesk.trade.cuts.caution import Caution, caution
from crewdesk.trade.cuts.pitch import Pitch
from crewdesk.trade.cuts.side_board import EndReading, SideCut
from crewdesk.trade.cuts.sloped_side import SlopeEnd, lean_ratio
from crewdesk.trade.length import (
    SIXTEENTH,
    SIXTY_FOURTH,
    THIRTY_SECOND,
    Length,
    exact,
    mixed,
    rounded_up,
)
from crewdesk.trade.refusal import Refusal

LEVELS = tuple(Fraction(inches) for inches in (9, 16, 24, 32, 48, 72, 78, 96))
"""Levels as sold, in inches (common practice, no source)."""


@checked
class Steps(NamedTuple):
    """What each instrument is read to, in inches: `laser`, `tape`, and the `gap` at a level
    or a square. Raises `Refusal` `step-not-positive`."""

    laser: Fraction = THIRTY_SECOND
    tape: Fraction = SIXTEENTH
    gap: Fraction = THIRTY_SECOND

    def check(self) -> None:
        """Raises `Refusal` as told above."""
        for name, value in self._asdict().items():
            if value <= 0:
                raise Refusal("step-not-positive", name=name, value=value)


USUAL_STEPS = Steps()


class SideSureness(NamedTuple):
    """How far each mark of a side board can be off, in inches, and what to be told of."""

    bottom_length: Fraction
    top_length: Fraction
    blank: Fraction
    end1: Fraction
    end2: Fraction
    cautions: tuple[Caution, ...]


def offset_off(reading: EndReading, height: Fraction, steps: Steps = USUAL_STEPS) -> Fraction:
    """How far an end's offset can be off: half the gap's step, by height over level."""
    return steps.gap / 2 * height / reading.level


def side_sureness(
    cut: SideCut, end1: EndReading, end2: EndReading, steps: Steps = USUAL_STEPS
) -> SideSureness:
    """How far every mark of a side can be off; its run was read with the tape.

    The top edge is the run less both offsets, so the three add up. The blank grows only
    by an end that leans out, so an end counts as far as its offset may fall below zero.
    """
    run = steps.tape / 2
    first, second = offset_off(end1, cut.height, steps), offset_off(end2, cut.height, steps)
    return SideSureness(
        run,
        run + first + second,
        run + _outward(exact(cut.end1.offset), first) + _outward(exact(cut.end2.offset), second),
        first,
        second,
        tuple(
            told
            for end, reading in ((1, end1), (2, end2))
            for told in short_level(end, reading, cut.height, steps)
        ),
    )


def _outward(offset: Fraction, off: Fraction) -> Fraction:
    """The most that max(0, -offset) can be off."""
    zero = Fraction(0)
    now = max(zero, -offset)
    return max(max(zero, off - offset) - now, now - max(zero, -offset - off))


def short_level(
    end: int, reading: EndReading, height: Fraction, steps: Steps = USUAL_STEPS
) -> tuple[Caution, ...]:
    """A caution where the level is shorter than the side: it tells the wall by a part of
    what the board covers, and a slip in the gap grows by height over level. What the
    offset can be off, by this level and by the next that would do, is told to the next
    1/64 in."""
    if reading.level >= height:
        return ()
    longer = next((level for level in LEVELS if level >= height), height)
    off, then = offset_off(reading, height, steps), steps.gap / 2 * height / longer
    return (
        caution(
            "level-shorter-than-side",
            end=end,
            level=reading.level,
            height=height,
            grows=float(height / reading.level),
            off=mixed(rounded_up(off, SIXTY_FOURTH)),
            longer=longer,
            then=mixed(rounded_up(then, SIXTY_FOURTH)),
        ),
    )


def ceiling_off(steps: Steps = USUAL_STEPS) -> Fraction:
    """How far a gap, and the scriber's setting, can be off: each is the difference of two
    heights over the laser line, so half a step twice. The setting's margin should be no
    less. The bottom line itself hangs on no reading: it is drawn from the ceiling."""
    return steps.laser


def sloped_offset_off(
    pitch: Pitch,
    reading: EndReading,
    height: Fraction,
    end: SlopeEnd,
    *,
    pitch_off: Length = Fraction(0),
    steps: Steps = USUAL_STEPS,
) -> Length:
    """How far a sloped side's offset can be off, to first order, inches.

    With t the slope's tangent (negative at the high end) and a the wall's, the offset is
    height x (t + a) / (1 - t a); its derivatives are height x (1 + t^2) / (1 - t a)^2 by
    a and height x (1 + a^2) / (1 - t a)^2 by t. `pitch_off` is how far t itself can be
    off: see `pitch_off_by_two`.
    """
    t = pitch.tangent if end == "low" else -pitch.tangent
    a = lean_ratio(reading)
    below = (1 - t * a) * (1 - t * a)
    by_wall = steps.gap / 2 / reading.level * (1 + t * t)
    return height * (by_wall + pitch_off * (1 + a * a)) / below


def pitch_off_by_two(rise: Fraction, run: Fraction, step: Fraction) -> Fraction:
    """How far a pitch's tangent can be off, to first order, where rise and run were both
    read to `step`: (1 + rise/run) x half a step / run.

    Raises `Refusal` `slope-not-positive` without a run.
    """
    if run <= 0:
        raise Refusal("slope-not-positive", name="run", value=run)
    return (1 + rise / run) * step / 2 / run


def skew_off(leg: Fraction, across: Fraction, steps: Steps = USUAL_STEPS) -> Fraction:
    """How far a skew over `across` inches can be off, read with a square of that `leg`.

    Raises `Refusal` `skew-leg-not-positive`.
    """
    if leg <= 0:
        raise Refusal("skew-leg-not-positive", leg=leg)
    return steps.gap / 2 * across / leg


def must_agree(first: Fraction, second: Fraction, step: Fraction, other: Fraction) -> None:
    """Two readings of one thing, each to its step, in inches.

    Each is off by half its step at most, so both are of one thing only if they lie no
    further apart than half of both steps together. Raises `Refusal`
    `readings-disagree`, `step-not-positive`.
    """
    Steps(step, other)
    allowed = (step + other) / 2
    if abs(first - second) > allowed:
        raise Refusal(
            "readings-disagree",
            first=first,
            second=second,
            apart=abs(first - second),
            allowed=allowed,
        )


def ends_must_agree(
    first: EndReading, second: EndReading, height: Fraction, steps: Steps = USUAL_STEPS
) -> None:
    """Two readings of one wall, perhaps by two levels: told by the offsets that they give.

    Raises `Refusal` `end-readings-disagree`.
    """
    offsets = (lean_ratio(first) * height, lean_ratio(second) * height)
    allowed = offset_off(first, height, steps) + offset_off(second, height, steps)
    if abs(offsets[0] - offsets[1]) > allowed:
        raise Refusal("end-readings-disagree", apart=abs(offsets[0] - offsets[1]), allowed=allowed)
