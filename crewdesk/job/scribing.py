"""The scribe of a beam: from the ceiling's reading to the scriber's setting and the marks."""

from collections.abc import Sequence
from datetime import datetime

from crewdesk.job.beam import Beam
from crewdesk.job.change import Change
from crewdesk.job.pair import CeilingRead, edit_pair
from crewdesk.job.record import Record
from crewdesk.trade.cuts.ceiling import Scribe, Station, scribe


def scribe_of(beam: Beam, typed: Sequence[Station] | None = None) -> Scribe | None:
    """The scribe of a beam's pair, or None until its ceiling was read.

    `typed` stands in for the record's stations, so that it can be seen before anything
    is saved. Raises `Refusal` where the stations make no scribe.
    """
    if typed is None:
        if beam.pair.ceiling is None:
            return None
        typed = beam.pair.ceiling.stations
    return scribe(tuple(typed), beam.section.height, drop=beam.drop)


def read_ceiling(
    record: Record, row: str, stations: Sequence[Station], now: datetime, *, who: str = ""
) -> Change:
    """The change that adds a reading of the ceiling over a beam; earlier ones stay.

    Raises `Refusal` where the stations make no scribe.
    """
    beam = record.beam(row)
    scribe_of(beam, stations)
    read = CeilingRead(tuple(stations), now, who)
    taken = [one.to_doc() for one in (*beam.pair.ceilings, read)]
    made = edit_pair(record, row, "ceiling", taken)
    return Change(f"read the ceiling over {beam.label}", (made,), now)
