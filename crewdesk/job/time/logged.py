"""Logged hours, totaled, and shared among the pieces of a batch.

An entry belongs to the day on which it started, in the job's own time zone. That zone applies to
time entries only; other days are in the business's (`crewdesk.job.time.today`).
"""

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from fractions import Fraction
from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import PARTNER, Spot
from crewdesk.job.beams.readings import LONGEST_RUN, SHORTEST_RUN
from crewdesk.job.record import Record
from crewdesk.job.text_limits import quoted
from crewdesk.job.time.entry import Entry
from crewdesk.job.time.today import zone_of
from crewdesk.trade.books.durations import elapsed
from crewdesk.trade.books.rounding import Way, batch_shares

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo


class Day(NamedTuple):
    """One day's entries, the latest first, and their total time."""

    day: date
    entries: tuple[Entry, ...]
    total: timedelta


def site_zone(record: Record) -> "ZoneInfo | None":
    """Return the zone of the site's clocks; None if the job's isn't known here."""
    return zone_of(record.job.zone)


def on_site(record: Record, when: datetime) -> datetime:
    """Return a time on the site's clocks; without a zone, as the clock that logged it showed."""
    zone = site_zone(record)
    return when if zone is None else when.astimezone(zone)


def order_told(record: Record, entry: Entry) -> str:
    """Return the text of an entry's change order, or "" if it has none. An older version could
    import an entry on a missing change order."""
    if entry.order and entry.order not in record.tables.get("orders", {}):
        return f"{quoted(entry.order)}, which isn't in this job"
    return record.order(entry.order).text if entry.order else ""


def entry_day(record: Record, start: datetime) -> date:
    """Return the day to which a time entry belongs that starts at `start`."""
    return on_site(record, start).date()


def total(entries: Iterable[Entry], now: datetime) -> timedelta:
    """Return the total time; a running clock counts up to `now`."""
    return sum((one.lasted(now) for one in entries), timedelta(0))


def on_day(record: Record, day: date) -> tuple[Entry, ...]:
    """Return the entries that started on a day, earliest first."""
    return tuple(one for one in record.entries if entry_day(record, one.start) == day)


def by_day(record: Record, now: datetime) -> tuple[Day, ...]:
    """Return every day with an entry, the latest first."""
    entries = tuple(reversed(record.entries))
    grouped = groupby(entries, key=lambda one: entry_day(record, one.start))
    days = [(day, tuple(ones)) for day, ones in grouped]
    return tuple(Day(day, ones, total(ones, now)) for day, ones in days)


class Span(NamedTuple):
    """A stretch of work on a day: `begin` and `end` in minutes after the day's midnight, on the
    site's clocks as it began; `end` is past 1440 where it went on over midnight."""

    begin: int
    end: int
    entry: Entry


def day_spans(record: Record, entries: Iterable[Entry], now: datetime) -> tuple[Span, ...]:
    """Return the entries of a day as stretches of it; a clock that runs counts up to `now`."""
    spans = []
    for one in entries:
        start = on_site(record, one.start)
        begin = 60 * start.hour + start.minute
        spans.append(Span(begin, begin + int(one.lasted(now).total_seconds()) // 60, one))
    return tuple(spans)


_DAY = (7 * 60, 17 * 60)
"""The minutes of the day that are shown at least."""


def hours_shown(spans: Iterable[Span]) -> tuple[int, int]:
    """Return the minutes of the day from which and to which days are shown: whole hours with all
    that was worked up to midnight, at least a usual day's."""
    begin, end = _DAY
    for one in spans:
        begin, end = min(begin, one.begin), max(end, one.end)
    return begin // 60 * 60, min(-(-end // 60) * 60, 24 * 60)


def by_stage(
    record: Record, entries: Iterable[Entry], now: datetime
) -> tuple[tuple[str, timedelta], ...]:
    """Return the time by id of stage or other work, in order of work, without empty ones; dropped
    ones are last."""
    sums: dict[str, timedelta] = {}
    for one in entries:
        sums[one.stage] = sums.get(one.stage, timedelta(0)) + one.lasted(now)
    order = [one.id for one in record.stages.work]
    order += [id_ for id_ in sums if id_ not in order]
    return tuple((id_, sums[id_]) for id_ in order if id_ in sums)


def minutes_by_stage(record: Record, now: datetime) -> dict[str, Fraction]:
    """Return by stage and other work the minutes logged on it, exact."""
    spent = by_stage(record, record.entries, now)
    return {stage: Fraction(int(time.total_seconds()), 60) for stage, time in spent}


def piece_length(beam: Beam, key: str) -> Fraction | None:
    """Return a piece's measured length in inches; else its beam's other run, else its rough length.

    Implausible readings are ignored. None if nothing is known.
    """
    wanted = (key, "opening") if key == "bottom" else (key, "run")
    partner = PARTNER.get(key, "A")
    for one, what in (wanted, (partner, "run"), ("A", "run"), ("B", "run")):
        piece = beam.pieces.get(one)
        reading = piece.latest(what) if piece is not None else None
        if reading is not None and SHORTEST_RUN <= reading.value <= LONGEST_RUN:
            return reading.value
    return beam.rough


def length_read(beam: Beam) -> Fraction | None:
    """The longest run read on a beam, in inches; None before any was read."""
    read = (piece_length(beam, key) for key in beam.pieces if beam.pieces[key].latest("run"))
    return max((one for one in read if one), default=None)


def entry_shares(record: Record, entry: Entry, now: datetime) -> dict[Spot, int]:
    """Return an entry's seconds by piece, exact to the second; empty without pieces.

    By length if the job is set so, a piece of unknown length counting as the others' mean; evenly
    if no length is known. A piece whose beam was removed keeps its share.
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
    """Return the seconds of entries with pieces, by the beam's row."""
    sums: dict[str, int] = {}
    for entry in entries:
        for spot, seconds in entry_shares(record, entry, now).items():
            sums[spot.beam] = sums.get(spot.beam, 0) + seconds
    return sums
