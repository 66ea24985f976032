"""Compound cuts: mitre and blade tilt where a board meets a wall that is skewed in plan.

Directions are (along the beam away from the wall, across it towards side A, up).
"""

import math
from fractions import Fraction
from typing import NamedTuple

from crewdesk.length import Length
from crewdesk.trade.angle import arctangent
from crewdesk.trade.cuts.pitch import Pitch
from crewdesk.trade.cuts.sloped_side import SlopeEnd, end_ratio

Direction = tuple[float, float, float]


class Compound(NamedTuple):
    """A saw's two settings in degrees: `mitre_deg` off square on the board's face,
    `blade_deg` the blade's tilt. `blade_deg` is positive where the show face is the
    longer one. `mitre_deg` is positive where a side's top is cut back, or where edge A
    of a bottom board is the longer one."""

    mitre_deg: float
    blade_deg: float


class CompoundEnd(NamedTuple):
    """The settings for both sides and the bottom board at one end."""

    side_a: Compound
    side_b: Compound
    bottom: Compound


def compound_cut(along: Direction, across: Direction, wall: Direction) -> Compound:
    """The cut that a plane makes through a flat board.

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
    """Both sides' and the bottom board's settings at one end of a sloped beam.

    `lean` is the wall's tangent off plumb along the beam, positive where its top comes
    in; `skew` its tangent off square in plan, positive where side A is the longer. The
    wall's normal is then (1, skew, -lean). A side stands plumb, so its mitre is the
    sloped side's end cut, and against a plumb wall its tilt is the skew itself; the
    bottom board lies in the slope, so its mitre is atan(tan skew / cos slope) and its
    tilt asin(sin slope cos skew) there.

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
