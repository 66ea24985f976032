"""Every reading of a job, the latest of each marked: in lines, as JSON or as CSV."""

from collections.abc import Iterator
from datetime import datetime
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.readings import SQUARES, reading_name
from crewdesk.job.record import Record
from crewdesk.job.time.logged import on_site
from crewdesk.length import Step, exact_text
from crewdesk.paper.lengths import with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import Sheet, csv_text, heading, job_values

_HEADS = (
    *("room", "beam", "piece", "reading", "inches", "exact", "in_or_out", "level", "at", "over"),
    *("longer", "typed", "who", "instrument", "when", "counts"),
)


class Line(NamedTuple):
    """One measured number: beam and piece ("" over the whole beam), name, value in inches, time,
    and whether it `counts` (the latest of its kind).

    lean: "in" or "out" at the top, over a `level` of so many inches. at, over: the place along
    the beam and the side of a ceiling's height. longer: the side that runs longer at a square.
    """

    beam: Beam
    piece: str
    name: str
    value: Fraction
    when: datetime
    counts: bool
    who: str = ""
    instrument: str = ""
    typed: str = ""
    lean: str = ""
    level: Fraction | None = None
    at: Fraction | None = None
    over: str = ""
    longer: str = ""


def readings_sheet(id_: str, record: Record, named: str | None = None) -> Sheet:
    """Return the readings of a job, or of the beam `named`; raises `NotAllowed` if there is no such
    beam."""
    every = tuple(_lines(record, named))
    step = record.job.step
    shown = [heading(record.job, "readings")]
    beam = None
    for one in every:
        if one.beam is not beam:
            beam = one.beam
            shown += ["", plain(beam.label)]
        shown.append(_shown(record, one, step))
    if not every:
        shown += ["", "Nothing has been measured yet."]
    return Sheet(
        tuple(shown),
        lambda: {
            "job": job_values(id_, record.job),
            "readings": [
                {**dict(zip(_HEADS, _row(record, one), strict=True)), "counts": one.counts}
                for one in every
            ],
        },
    )


def readings_csv(record: Record, named: str | None = None) -> str:
    """Return the same as CSV (see `csv_text`), times in ISO 8601."""
    return csv_text(_HEADS, (_row(record, one) for one in _lines(record, named)))


def _lines(record: Record, named: str | None) -> Iterator[Line]:
    wanted = None if named is None else " ".join(named.split()).casefold()
    found = False
    for beam in record.beams:
        if wanted is not None and wanted not in (beam.name.casefold(), beam.label.casefold()):
            continue
        found = True
        yield from _of_beam(beam)
    if not found and named is not None:
        raise NotAllowed(f"No beam is called {plain(named)}. Type its name or room and name.")


def _of_beam(beam: Beam) -> Iterator[Line]:
    sloped = beam.ceiling == "sloped"
    for key in beam.pieces:
        piece = beam.piece(key)
        for what, taken in piece.readings.items():
            for one in taken:
                yield Line(
                    beam,
                    piece.name,
                    reading_name(what, sloped=sloped),
                    one.value,
                    one.when,
                    one is taken[-1],
                    one.who,
                    one.instrument,
                    one.typed,
                    one.lean,
                    one.level if one.lean else None,
                )
    for read in beam.pair.ceilings:
        for spot in read.stations:
            for over, height in (("A", spot.height_a), ("B", spot.height_b)):
                yield Line(
                    beam,
                    "",
                    "ceiling over the laser line",
                    height,
                    read.when,
                    read is beam.pair.ceilings[-1],
                    read.who,
                    read.instrument,
                    at=spot.at,
                    over=over,
                )
    for end, name in enumerate(SQUARES, 1):
        squares = beam.pair.squares[name]
        for square in squares:
            yield Line(
                beam,
                "",
                f"gap at the square, end {end}",
                square.gap,
                square.when,
                square is squares[-1],
                square.who,
                square.instrument,
                level=square.leg,
                longer=square.longer,
            )


def _shown(record: Record, one: Line, step: Step) -> str:
    parts = [with_unit(one.value, step)]
    if one.lean:
        parts.append(f"{one.lean} at the top")
    if one.longer:
        parts.append(f"side {one.longer} runs longer")
    if one.level is not None:
        parts.append(f"over {with_unit(one.level, step)}")
    if one.at is not None:
        parts.append(f"over side {one.over}, {with_unit(one.at, step)} from end 1")
    when = f"{on_site(record, one.when):%b} {on_site(record, one.when).day}"
    by = ", ".join(plain(text) for text in (one.instrument, one.who) if text)
    where = f"{one.piece}, {one.name}" if one.piece else one.name
    old = "" if one.counts else "  (measured again since)"
    return f"  {where}: {', '.join(parts)}  [{', '.join(filter(None, (by, when)))}]{old}"


def _row(record: Record, one: Line) -> tuple[object, ...]:
    return (
        one.beam.room,
        one.beam.name,
        one.piece,
        one.name,
        f"{float(one.value):.5f}",
        exact_text(one.value),
        one.lean,
        None if one.level is None else exact_text(one.level),
        None if one.at is None else exact_text(one.at),
        one.over,
        one.longer,
        one.typed,
        one.who,
        one.instrument,
        on_site(record, one.when).isoformat(),
        "yes" if one.counts else "no",
    )
