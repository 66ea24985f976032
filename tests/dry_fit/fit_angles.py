"""Is each angle of a cut the one that the walls make, to the hundredth of a degree that is shown?

A wall is a plane u = c + slant v + back w over a board's face: along it `slant` per inch across
that face, `back` per inch into the thickness. The miter is atan(slant); the blade leans off the
face's normal by asin(back / |(1, slant, back)|), both from the plane's normal.
"""

import math
from collections.abc import Iterator

from tests.dry_fit.cut_list import Beam
from tests.dry_fit.measure import Allowed, Measure
from tests.dry_fit.room import Room

SHOWN = 0.0051
"""Half of the hundredth of a degree that angles are shown to, in degrees."""


def measure_angles(room: Room, beam: Beam, allowed: Allowed) -> Iterator[Measure]:
    """What can be measured on the angles of a beam that was read exactly."""
    if not allowed.exact or any(room.unread) or not all(room.squares):
        return
    for (key, end), told in beam.compounds.items():
        slant, back = room.turn(end), room.lean(end)
        if key != "bottom":
            slant, back = back, slant if key == "A" else -slant
        miter, blade = _settings(slant, back)
        yield Measure(
            f"compound miter off at end {end}, degrees", key, abs(told.miter - miter), SHOWN
        )
        yield Measure(
            f"compound blade off at end {end}, degrees", key, abs(told.blade - blade), SHOWN
        )
    if beam.bottom is None:
        return
    cos, sin = math.cos(room.tilt), math.sin(room.tilt)
    for one in beam.bottom.ends:
        turn, lean = room.turn(one.number), room.lean(one.number)
        miter, blade = _settings(turn * cos + lean * sin, lean * cos - turn * sin)
        if one.miter:  # A slant too small to cut is cut square.
            off = abs(one.miter - miter)
            yield Measure(f"miter off at end {one.number}, degrees", "bottom", off, SHOWN)
        if one.joint != "bevel":
            continue
        off = abs(one.blade - blade)
        yield Measure(f"bevel off at end {one.number}, degrees", "bottom", off, SHOWN)


def _settings(slant: float, back: float) -> tuple[float, float]:
    """The saw's miter and tilt for a plane, in degrees."""
    size = math.sqrt(1 + slant * slant + back * back)
    return math.degrees(math.atan(slant)), math.degrees(math.asin(back / size))
