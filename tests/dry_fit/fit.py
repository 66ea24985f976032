"""Hang a beam's boards as the stages do, and measure what does not fit.

Each measure has what it may be at the most. With exact readings that is the rounding of the
marks it rests on, and nothing at all where a board must go in; with readings that are off it
is besides what the marks are said to be within.
"""

from collections.abc import Iterator

from tests.dry_fit.cut_list import Beam
from tests.dry_fit.fit_angles import measure_angles
from tests.dry_fit.fit_bottom import measure_bottom, measure_top
from tests.dry_fit.fit_cleats import measure_cleats
from tests.dry_fit.fit_scribe import measure_scribe
from tests.dry_fit.fit_section import measure_section
from tests.dry_fit.fit_sides import measure_sides
from tests.dry_fit.hang import hung_bottom, hung_sides
from tests.dry_fit.measure import Allowed, Measure
from tests.dry_fit.room import Room
from tests.dry_fit.way_in import way_in


def measure(room: Room, beam: Beam, allowed: Allowed) -> list[Measure]:
    """Everything that can be measured on a beam's boards in their room."""
    return [
        *measure_sides(room, beam, allowed),
        *measure_scribe(room, beam, allowed),
        *measure_cleats(room, beam, allowed),
        *measure_bottom(room, beam, allowed),
        *measure_top(room, beam, allowed),
        *measure_section(room, beam, allowed),
        *measure_angles(room, beam, allowed),
    ]


def ways_in(room: Room, beam: Beam) -> Iterator[str]:
    """How every side, its back bevelled, and the bottom go in: one of `WAYS` each.

    Between walls that lean out by much a bottom cut to its opening can't go in at all, however
    right it is, so this is counted, not judged.
    """
    boards = [*hung_sides(room, beam, bevelled=True).values()]
    if beam.bottom and all(end.offset is not None for end in beam.bottom.ends):
        boards.append(hung_bottom(room, beam))
    if not any(room.unread):
        yield from (way_in(room, hung) for hung in boards)


def misfits(room: Room, beam: Beam, allowed: Allowed) -> list[Measure]:
    """Those that are beyond what is allowed, the worst first."""
    found = [one for one in measure(room, beam, allowed) if one.beyond > 0]
    return sorted(found, key=lambda one: -one.beyond)
