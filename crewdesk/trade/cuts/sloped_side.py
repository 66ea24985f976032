"""The marks on a side board that runs up a slope between two walls."""

from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.errors import BadInput
from crewdesk.length import Length, exact
from crewdesk.sentence import Caution, caution
from crewdesk.trade.angle import arctangent, times
from crewdesk.trade.bounds import more_than_zero
from crewdesk.trade.cuts.pitch import STEEPEST, Pitch, Slope, shortened
from crewdesk.trade.cuts.side_board import PLUMB, EndReading

SlopeEnd = Literal["low", "high"]


class SlopedEnd(NamedTuple):
    """One end's cut: `offset` inches at the top, from the square line drawn at the bottom
    corner, positive where the top is cut back; `angle_deg` off square, likewise."""

    offset: Length
    angle_deg: float


class SlopedSide(NamedTuple):
    """A sloped side's marks in inches: `bottom_length` along its bottom edge,
    `top_length` along its top edge, `blank` the least square-ended length to cut from,
    `plumb_height` down the wall; `plumb_deg` and `level_deg`, both cuts off square."""

    height: Fraction
    slope: Slope
    bottom_length: Length
    top_length: Length
    blank: Length
    low: SlopedEnd
    high: SlopedEnd
    plumb_height: Length
    plumb_deg: float
    level_deg: float


def lean_ratio(reading: EndReading) -> Fraction:
    """Tangent of the wall's lean off plumb, positive where its top comes in to the beam."""
    ratio = reading.gap / reading.level
    return ratio if reading.lean == "in" else -ratio


def end_ratio(pitch: Pitch, lean: Fraction, end: SlopeEnd) -> Length:
    """Tangent of the end cut off square: lean + slope at the low end, lean - slope at the
    high end, by tan(a + b) = (tan a + tan b) / (1 - tan a tan b).

    A plumb line leaves the square of a sloped board by the slope, towards its high
    end: into the board at the low end (top cut back), out of it at the high end.

    Raises `BadInput` where the cut would be over 75 degrees.
    """
    tilt = pitch.tangent if end == "low" else -pitch.tangent
    below = 1 - tilt * lean
    ratio = (tilt + lean) / below if below > 0 else None
    if ratio is None or abs(arctangent(ratio)) > STEEPEST:
        raise BadInput(
            "The {end} end's cut would be over {limit} degrees off square under a "
            "slope of {degrees} degrees and that wall. Measure the wall again.",
            end=end,
            degrees=pitch.degrees,
            limit=STEEPEST,
        )
    return ratio


def sloped_side(
    measured: Slope,
    height: Fraction,
    low: EndReading = PLUMB,
    high: EndReading = PLUMB,
) -> SlopedSide:
    """All marks of a sloped side `height` inches high, square to its own bottom edge.

    The slope's length is taken along the bottom edge. Offsets are height x tan(angle);
    the top edge is the bottom edge less both offsets, so that between two plumb walls
    both are equal. The blank spans the outer corner at each end.

    Raises `BadInput`.
    """
    more_than_zero("side's height", height)
    ends = []
    for reading, end in ((low, "low"), (high, "high")):
        ratio = end_ratio(measured.pitch, lean_ratio(reading), end)  # type: ignore[arg-type]
        ends.append(SlopedEnd(times(height, ratio), arctangent(ratio)))
    first, second = ends
    top = measured.length - (first.offset + second.offset)
    if top <= 0:
        raise BadInput(
            "The two ends' offsets leave nothing of the top edge ({top_length} in). "
            "Measure the gaps again.",
            top_length=exact(top),
        )
    blank = measured.length + (max(Fraction(0), -first.offset) + max(Fraction(0), -second.offset))
    return SlopedSide(
        height,
        measured,
        measured.length,
        top,
        blank,
        first,
        second,
        times(height, measured.pitch.length_per_run),
        measured.pitch.degrees,
        90 - measured.pitch.degrees,
    )


class IntoRidge(NamedTuple):
    """A sloped side that dies into a ridge beam, and how far it hangs below it, inches."""

    side: SlopedSide
    hangs_below: Length
    cautions: tuple[Caution, ...]


def into_ridge(
    to_centre: Slope,
    height: Fraction,
    ridge_width: Fraction,
    ridge_side_height: Fraction,
    low: EndReading = PLUMB,
) -> IntoRidge:
    """A sloped side whose high end stops at the plumb face of a ridge beam.

    `to_centre` runs to the ridge's centre line: half the ridge beam's width comes off
    the run. Both boards meet the ceiling at that face, so the sloped side's end, which
    is height / cos(slope) down the face, hangs below a ridge side that is less high.

    Raises `BadInput`, and what a sloped
    side raises.
    """
    more_than_zero("slope's ridge width", ridge_width)
    return at_ridge_face(
        sloped_side(shortened(to_centre, ridge_width / 2), height, low), ridge_side_height
    )


def at_ridge_face(side: SlopedSide, ridge_side_height: Fraction) -> IntoRidge:
    """The same for a side whose run was read to the ridge beam's face itself.

    Raises `BadInput`.
    """
    more_than_zero("slope's ridge side", ridge_side_height)
    below = max(Fraction(0), side.plumb_height - ridge_side_height)
    told = (
        (
            caution(
                "The sloped side's end is {end} in down the ridge beam's face, which "
                "is {ridge} in high, so it hangs {below} in below. Make the ridge beam "
                "higher or the sloped one less high.",
                below=exact(below),
                end=exact(side.plumb_height),
                ridge=ridge_side_height,
            ),
        )
        if below > 0
        else ()
    )
    return IntoRidge(side, below, told)
