"""The ceiling's heights over a beam as they come one by one, until they make a scribe."""

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from crewdesk.job.beam import Beam
from crewdesk.job.scribing import usual_places
from crewdesk.job.under_ceiling import sides_read, sides_under
from crewdesk.trade.cuts.side_board import Side
from crewdesk.trade.cuts.station import Station


class Heights(NamedTuple):
    """What is typed and not in the record yet: the `places` from end 1 once one has begun,
    and the heights `typed` there over each side, all in inches."""

    places: tuple[Fraction, ...] = ()
    typed: Mapping[tuple[Fraction, Side], Fraction] = {}

    def places_over(self, beam: Beam) -> tuple[Fraction, ...]:
        """Where the ceiling is read: where one has begun to, else where it was, else at the
        usual places; none while no run is known."""
        if self.places or beam.pair.ceiling is None:
            return self.places or usual_places(beam)
        return tuple(one.at for one in beam.pair.ceiling.stations)

    def height(self, beam: Beam, at: Fraction, side: Side) -> Fraction | None:
        """The height there, as typed or as the record has it; None where it was not read, or
        was read for another shape of the beam."""
        if (at, side) in self.typed:
            return self.typed[at, side]
        read = beam.pair.ceiling
        stations = read.stations if read and side in sides_read(beam, read) else ()
        return next((one.height(side) for one in stations if one.at == at), None)

    def stations(self, beam: Beam) -> tuple[Station, ...]:
        """The stations whose heights are all known, from end 1 on; where a beam has one side
        alone, both heights of a station are the same."""
        found = []
        for at in self.places_over(beam):
            read = [self.height(beam, at, side) for side in sides_under(beam)]
            known = [one for one in read if one is not None]
            if len(known) == len(read):
                found.append(Station(at, known[0], known[-1]))
        return tuple(found)

    def whole(self, beam: Beam) -> bool:
        """Whether every height is known."""
        return len(self.stations(beam)) == len(self.places_over(beam)) > 0

    def with_height(self, beam: Beam, at: Fraction, side: Side, height: Fraction) -> "Heights":
        """The same with one height more, or another one."""
        return Heights(self.places_over(beam), {**self.typed, (at, side): height})

    def with_place(self, beam: Beam, at: Fraction) -> "Heights":
        """The same with one place more."""
        return Heights(tuple(sorted({*self.places_over(beam), at})), self.typed)
