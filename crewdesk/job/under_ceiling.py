"""Which of a beam's sides are under the ceiling, and which of its heights count."""

from collections.abc import Iterable

from crewdesk.job.beam import Beam
from crewdesk.job.pair import CeilingRead
from crewdesk.job.readings import ReadFor
from crewdesk.trade.cuts.side_board import Side
from crewdesk.trade.cuts.station import Station


def sides_under(beam: Beam) -> tuple[Side, ...]:
    """The sides of a beam whose top edge meets the ceiling."""
    every: tuple[Side, ...] = ("A", "B")
    return tuple(
        key for key in every if key in beam.pieces and "ceiling" in beam.pieces[key].traits
    )


def heights_over(beam: Beam, stations: Iterable[Station]) -> tuple[Station, ...]:
    """Return the ceiling's heights that count: of a beam with one side under the ceiling, those
    over that side alone, whatever the record has over the other."""
    sides = sides_under(beam)
    if len(sides) != 1:
        return tuple(stations)
    found = []
    for one in stations:
        height = one.height(sides[0])
        found.append(Station(one.at, height, height))
    return tuple(found)


def shape_of(beam: Beam) -> ReadFor:
    """Return the shape that a reading taken now is taken for; the ceiling of a beam that hangs
    below it is read over both sides."""
    return ReadFor(beam.ceiling, beam.section.width, "".join(sides_under(beam)) or "AB")


def sides_read(beam: Beam, read: CeilingRead | None) -> tuple[Side, ...]:
    """Return the sides of a beam over which a reading of the ceiling counts: none where it was
    taken for the other kind of ceiling, and not one that wasn't there when it was taken."""
    if read is None:
        return ()
    if read.read_for is None:
        return sides_under(beam)
    if read.read_for.ceiling != beam.ceiling:
        return ()
    return tuple(side for side in sides_under(beam) if side in read.read_for.over)
