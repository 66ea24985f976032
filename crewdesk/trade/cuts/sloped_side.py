"""The marks on a side board that runs up a slope between two walls, and compound cuts: miter and
blade tilt where a board meets a wall that is skewed in plan.
"""

import math
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
    """One end's cut: `offset` inches at the top, from the square line drawn at the bottom corner,
    positive if the top is cut back; `angle_deg` off square, likewise."""

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
    """Return the tangent of the wall's lean off plumb, positive if its top comes in to the beam."""
    ratio = reading.gap / reading.level
    return ratio if reading.lean == "in" else -ratio


def end_ratio(pitch: Pitch, lean: Fraction, end: SlopeEnd) -> Length:
    """Return the tangent of the end cut off square: lean + slope at the low end, lean - slope at
    the high end, by tan(a + b) = (tan a + tan b) / (1 - tan a tan b).

    A plumb line leaves the square of a sloped board by the slope, toward its high end: into the
    board at the low end (top cut back), out of it at the high end.

    Raises `BadInput` if the cut would be over 75 degrees.
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
    """Return all marks of a sloped side `height` inches high, square to its own bottom edge.

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
    """Return a sloped side whose high end stops at the plumb face of a ridge beam.

    `to_centre` runs to the ridge's center line: half the ridge beam's width comes off the run. Both
    boards meet the ceiling at that face, so the sloped side's end, which is height / cos(slope)
    down the face, hangs below a ridge side that is less high.

    Raises `BadInput`, and what a sloped
    side raises.
    """
    more_than_zero("slope's ridge width", ridge_width)
    return at_ridge_face(
        sloped_side(shortened(to_centre, ridge_width / 2), height, low), ridge_side_height
    )


def at_ridge_face(side: SlopedSide, ridge_side_height: Fraction) -> IntoRidge:
    """Return the same for a side whose run was measured to the ridge beam's face.

    Raises `BadInput`.
    """
    more_than_zero("slope's ridge side", ridge_side_height)
    below = max(Fraction(0), side.plumb_height - ridge_side_height)
    text = (
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
    return IntoRidge(side, below, text)


Direction = tuple[float, float, float]


class Compound(NamedTuple):
    """A saw's two settings in degrees: `mitre_deg` off square on the board's face, `blade_deg` the
    blade's tilt. `blade_deg` is positive if the show face is the longer one. `mitre_deg` is
    positive if a side's top is cut back, or if edge A of a bottom board is the longer one."""

    mitre_deg: float
    blade_deg: float


class CompoundEnd(NamedTuple):
    """The settings for both sides and the bottom board at one end."""

    side_a: Compound
    side_b: Compound
    bottom: Compound


def compound_cut(along: Direction, across: Direction, wall: Direction) -> Compound:
    """Return the cut that a plane makes through a flat board.

    `along` and `across` are unit vectors in the board's face, `wall` any normal to the
    plane. In the face the plane's trace is off square by atan(wall.across /
    wall.along); the blade's tilt is the angle between the plane and the face's own
    normal along x across, asin(wall.normal / |wall|). For a crown moulding sprung s
    from the wall and a corner w this is the trade's atan(sin s / tan(w/2)) and
    asin(cos s cos(w/2)).
    """
    normal = (
        along[1] * across[2] - along[2] * across[1],
        along[2] * across[0] - along[0] * across[2],
        along[0] * across[1] - along[1] * across[0],
    )
    size = math.sqrt(_dot(wall, wall))
    return Compound(
        math.degrees(math.atan2(_dot(wall, across), _dot(wall, along))),
        math.degrees(math.asin(max(-1.0, min(1.0, -_dot(wall, normal) / size)))),
    )


def compound_end(pitch: Pitch, lean: Fraction, skew: Length, end: SlopeEnd) -> CompoundEnd:
    """Return both sides' and the bottom board's settings at one end of a sloped beam.

    `lean` is the wall's tangent off plumb along the beam, positive if its top comes in; `skew` its
    tangent off square in plan, positive if side A is the longer. The wall's normal is then (1,
    skew, -lean). A side stands plumb, so its mitre is the sloped side's end cut, and against a
    plumb wall its tilt is the skew itself; the bottom board lies in the slope, so its mitre is
    atan(tan skew / cos slope) and its tilt asin(sin slope cos skew) there.

    Raises `BadInput`.
    """
    mitre = arctangent(end_ratio(pitch, lean, end))
    theta = math.radians(pitch.degrees if end == "low" else -pitch.degrees)
    wall = (1.0, float(skew), -float(lean))
    tilt = math.degrees(math.asin(float(skew) / math.sqrt(_dot(wall, wall))))
    up_slope = (math.cos(theta), 0.0, math.sin(theta))
    bottom = compound_cut(up_slope, (0.0, 1.0, 0.0), wall)
    return CompoundEnd(Compound(mitre, tilt), Compound(mitre, -tilt), bottom)


def _dot(a: Direction, b: Direction) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
