"""Are the cleats clear of the walls and of the sides' bevelled backs, and long enough?"""

import math
from collections.abc import Iterator

from tests.dry_fit.cut_list import Beam, Cleat
from tests.dry_fit.fit_sides import relief_needed
from tests.dry_fit.measure import ANGLES, LENGTHWISE, Allowed, Measure
from tests.dry_fit.room import CLEATED, Room
from tests.dry_fit.saw import BACK_BEVEL

CLEAR = 1 / 16
"""What a cleat keeps off the end of its side's back, in inches."""


def measure_cleats(room: Room, beam: Beam, allowed: Allowed) -> Iterator[Measure]:
    """What can be measured on the cleats."""
    wanted = {"A", "wall" if room.kind == "wall" else "B"} if room.kind in CLEATED else set()
    got = {cleat.on for cleat in beam.cleats}
    yield Measure("cleats missing", "cleats", float(got != wanted), 0.0)
    for key, figures in beam.sides.items():
        told = figures.cleat_line is not None
        yield Measure("cleat line", f"side {key}", float(told != (key in got)), 0.0)
    for cleat in beam.cleats:
        if cleat.on in got & wanted:
            yield from _cleat(room, beam, cleat, allowed)


def _cleat(room: Room, beam: Beam, cleat: Cleat, allowed: Allowed) -> Iterator[Measure]:
    name, step = f"cleat on {cleat.on}", allowed.step
    thick = float(room.section.side_thickness)
    if cleat.on in beam.sides:
        line = beam.sides[cleat.on].cleat_line
        off = 1.0 if line is None else abs(cleat.line - line)
        yield Measure("line not that of the side", name, off, ANGLES / 10)
    yield Measure("height off", name, abs(cleat.height - thick), step / 2 + ANGLES)
    if cleat.on == "wall":
        yield from _on_wall(room, cleat, allowed)
        return
    if cleat.start is None or cleat.length is None:
        yield Measure("no place or length", name, 1.0, 0.0)
        return
    edge = room.b_edge if cleat.on == "B" else 0.0
    show = float(room.section.width) if cleat.on == "B" else 0.0
    back = show - thick if cleat.on == "B" else thick
    y_far = back + cleat.projection if cleat.on == "A" else back - cleat.projection
    # End 1's bottom corner of the side lies at the wall, less what its rounding leaves.
    begin = room.turn(1) * show + room.lean(1) * edge
    whole = room.between(show, edge)
    within = allowed.within("cleats", f"start_{cleat.on}", f"length_{cleat.on}")
    within += allowed.within(cleat.on, *LENGTHWISE[0])
    starts = (begin + cleat.start, begin + cleat.start + cleat.length)
    for end, at in enumerate(starts, 1):
        if room.unread[end - 1]:
            continue
        off_wall = min(
            room.plane(end).clearance(at, y, edge + z)
            for y in (back, y_far)
            for z in (cleat.line, cleat.line + cleat.height)
        )
        off = step * abs(room.lean(end)) + ANGLES + within
        # Both its start and its length are rounded, and lie on end 1's side of it.
        least = max(0.0, CLEAR - step)
        yield Measure(f"not clear of the wall, end {end}", name, least - off_wall, off)
        bevelled = max(
            relief_needed(room, cleat.on, end), thick * math.tan(math.radians(BACK_BEVEL))
        )
        from_end = at - begin if end == 1 else whole - (at - begin)
        inside = min(
            from_end - room.lean(end) * z - bevelled
            for z in (cleat.line, cleat.line + cleat.height)
        )
        yield Measure(f"over the bevelled end {end}", name, least - inside, off)
        most = CLEAR + 2 * step + off
        yield Measure(f"too short at end {end}", name, min(inside, off_wall), most)


def _on_wall(room: Room, cleat: Cleat, allowed: Allowed) -> Iterator[Measure]:
    """A cleat on the wall that a beam stands along goes between the two end walls there, from
    where it starts off end 1's, along its lower edge."""
    if any(room.unread):
        return
    name, within = "cleat on wall", allowed.within("cleats", "length_wall", "start_wall")
    if cleat.length is None or cleat.start is None:
        yield Measure("no place or length", name, 1.0, 0.0)
        return
    wide = float(room.section.width)
    begin = room.turn(1) * wide + room.lean(1) * cleat.line + cleat.start
    for end, at in ((1, begin), (2, begin + cleat.length)):
        off_wall = min(
            room.plane(end).clearance(at, y, z)
            for y in (wide, wide - cleat.projection)
            for z in (cleat.line, cleat.line + cleat.height)
        )
        # Both its start and its length are rounded, and lie on end 1's side of it.
        off = ANGLES + within + (allowed.step if end == 2 else 0.0)
        yield Measure(f"not clear of the wall, end {end}", name, CLEAR - off_wall, off)
        askew = abs(room.turn(end)) * cleat.projection
        most = CLEAR + 2 * allowed.step + askew + ANGLES + within
        yield Measure(f"too short at end {end}", name, off_wall, most)
