"""Whose time it was: the time of entries that name their pieces, shared among these."""

from collections.abc import Iterable
from datetime import datetime
from fractions import Fraction

from crewdesk.job.beam import Beam
from crewdesk.job.entry import Entry
from crewdesk.job.piece import PARTNER, Spot
from crewdesk.job.readings import LONGEST_RUN, SHORTEST_RUN
from crewdesk.job.record import Record
from crewdesk.trade.books.durations import elapsed
from crewdesk.trade.books.shares import Way, batch_shares


def piece_length(beam: Beam, key: str) -> Fraction | None:
    """A piece's length in inches as read; else its beam's other run, else its rough length.

    A reading that no beam can have is passed over. None where nothing is known of it.
    """
    wanted = (key, "opening") if key == "bottom" else (key, "run")
    partner = PARTNER.get(key, "A")
    for one, what in (wanted, (partner, "run"), ("A", "run"), ("B", "run")):
        piece = beam.pieces.get(one)
        reading = piece.latest(what) if piece is not None else None
        if reading is not None and SHORTEST_RUN <= reading.value <= LONGEST_RUN:
            return reading.value
    return beam.rough


def entry_shares(record: Record, entry: Entry, now: datetime) -> dict[Spot, int]:
    """An entry's seconds among its pieces, exact to the second; empty where it names none.

    By length as the job has it set, a piece of unknown length counting as the others' mean;
    evenly where no length is known. A piece whose beam was removed keeps its share.
    """
    spots = entry.pieces or ()
    if not spots:
        return {}
    beams = {beam.row: beam for beam in record.beams}
    lengths = [piece_length(beams[s.beam], s.piece) if s.beam in beams else None for s in spots]
    known = [length for length in lengths if length is not None]
    way: Way = "length" if known and record.job.share == "length" else "evenly"
    mean = sum(known, Fraction(0)) / len(known) if known else Fraction(1)
    seconds = max(elapsed(entry.start, entry.stop or now), 0)
    pieces = [
        (str(place), mean if length is None else length) for place, length in enumerate(lengths)
    ]
    shared = batch_shares(seconds, pieces, way)
    return {spot: share.seconds for spot, share in zip(spots, shared, strict=True)}


def beam_seconds(record: Record, entries: Iterable[Entry], now: datetime) -> dict[str, int]:
    """By beam's row, the seconds of those entries that name pieces."""
    sums: dict[str, int] = {}
    for entry in entries:
        for spot, seconds in entry_shares(record, entry, now).items():
            sums[spot.beam] = sums.get(spot.beam, 0) + seconds
    return sums
