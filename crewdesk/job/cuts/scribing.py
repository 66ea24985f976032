"""A beam's ceiling: the sides under it, its valid heights, and its scribe."""

import math
from collections.abc import Iterable, Sequence
from datetime import datetime
from fractions import Fraction
from typing import Any, NamedTuple, Protocol

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.readings import CeilingRead, ReadFor, edit_pair
from crewdesk.job.change import Change, Tables
from crewdesk.job.cuts.as_built import (
    Lead,
    height_as_cut,
    lead_of,
    no_wider_than_cut,
    scribed_at,
)
from crewdesk.job.cuts.cut import in_sentence, in_words
from crewdesk.length import Step, exact, nearest
from crewdesk.trade.cuts.ceiling import (
    NEAR_END,
    Pry,
    Scribe,
    Station,
    no_station_near,
    scribe,
    station_beyond,
)
from crewdesk.trade.cuts.shop_machine import Scribers, scriber_for
from crewdesk.trade.cuts.side_board import Side
from crewdesk.trade.read_length import read_off


def sides_under(beam: Beam) -> tuple[Side, ...]:
    """Return the sides of a beam whose top edge meets the ceiling."""
    every: tuple[Side, ...] = ("A", "B")
    return tuple(
        key for key in every if key in beam.pieces and "ceiling" in beam.pieces[key].traits
    )


def heights_over(beam: Beam, stations: Iterable[Station]) -> tuple[Station, ...]:
    """Return the ceiling's valid heights: of a beam with one side under the ceiling those over that
    side alone."""
    sides = sides_under(beam)
    if len(sides) != 1:
        return tuple(stations)
    found = []
    for one in stations:
        height = one.height(sides[0])
        found.append(Station(one.at, height, height))
    return tuple(found)


def shape_of(beam: Beam) -> ReadFor:
    """Return the shape for a reading taken now; the ceiling of a hanging box is measured over both
    sides."""
    return ReadFor(beam.ceiling, beam.section.width, "".join(sides_under(beam)) or "AB")


def sides_read(beam: Beam, read: CeilingRead | None) -> tuple[Side, ...]:
    """Return the sides for which a reading of the ceiling is valid: none for another kind of
    ceiling, and not a side that didn't exist at the time."""
    if read is None:
        return ()
    if read.read_for is None:
        return sides_under(beam)
    if read.read_for.ceiling != beam.ceiling:
        return ()
    return tuple(side for side in sides_under(beam) if side in read.read_for.over)


class Record(Protocol):
    """The part of a job's record that this module needs; its gates depend on the scribe in turn."""

    tables: Tables

    @property
    def job(self) -> Any: ...

    def beam(self, row: str) -> Beam: ...


def scribe_of(beam: Beam, typed: Sequence[Station] | None = None) -> Scribe | None:
    """Return the scribe of a beam's pair as `scribe_by_readings` does, at the setting of its first
    scribed side, so that the pair hangs even. Once both sides of a beam along a ridge are scribed,
    their lines are as far apart as by the drops of then."""
    made = scribe_by_readings(as_scribed(beam), typed)
    lead = None if made is None else lead_setting(beam, made)
    return made if made is None or lead is None else scribed_at(made, lead.value, beam.drop)


def as_scribed(beam: Beam) -> Beam:
    """Return the beam with the drops that its sides hang by along a ridge (see `Beam.as_hung`);
    the beam itself where they are today's."""
    hung, height_b = beam.as_hung
    if (hung, height_b) == (beam.section, beam.height_b):
        return beam
    return beam.once("as hung", lambda: beam._replace(section=hung, height_b=height_b))


def lead_setting(beam: Beam, made: Scribe) -> Lead | None:
    """Return the setting that a beam's pair uses instead of `made`, its scribe by readings; None
    until a side was scribed, or if it equals `made`."""
    lead = lead_of(beam, "setting")
    if lead is None or lead.reason:
        return lead
    taken = tool_by_readings(beam, made, beam.scribers)
    today = exact(made.setting) if taken is None else taken.offset
    return None if abs(lead.value - today) <= _NOTHING else lead


_NOTHING = Fraction(1, 10**9)
"""The largest difference of equal settings, in inches: the record keeps 12 decimals."""


class ToolTaken(NamedTuple):
    """The shop's tool that a beam is scribed with: its `name`, the `offset` at which it holds
    the pencil, how much `more` than the wanted setting that takes off everywhere, and the
    finished width of the narrower side, `lowest_drop`; inches."""

    name: str
    offset: Fraction
    more: Fraction
    lowest_drop: Fraction


def tool_taken(beam: Beam, made: Scribe, scribers: Scribers) -> ToolTaken | None:
    """Return the tool to scribe a beam with, or None if none of `scribers` does.

    A tool must hold the pencil off by the setting or more. It is not taken where the beam then
    hangs down less than was asked for, nor where one side was scribed at another setting than
    it has: the pair would hang uneven.
    """
    taken, lead = tool_by_readings(beam, made, scribers), lead_of(beam, "setting")
    if taken is not None and taken.more and lead is not None and taken.offset != lead.value:
        return None
    return taken


def tool_by_readings(beam: Beam, made: Scribe, scribers: Scribers) -> ToolTaken | None:
    """Return the tool as if no side had been scribed yet."""
    tool = scriber_for(scribers, made.setting)
    if tool is None:
        return None
    name, offset = tool
    more = offset - made.setting
    if more and beam.drop is not None and made.lowest_drop - more < beam.drop:
        return None
    return ToolTaken(name, offset, more, made.lowest_drop - more)


def scribed_with_tool(beam: Beam, made: Scribe, scribers: Scribers) -> Scribe:
    """Return a beam's scribe as drawn and cut: with the offset of the tool chosen from `scribers`,
    or at the wanted setting without one."""
    taken = tool_taken(beam, made, scribers)
    return made if taken is None else scribed_at(made, taken.offset, beam.drop)


def scribe_by_readings(beam: Beam, typed: Sequence[Station] | None = None) -> Scribe | None:
    """Return the scribe of a beam's pair, or None until its ceiling was measured.

    Both bottom edges come level, or along a ridge as far apart as their drops from the ridge
    are wanted. A beam with one side along a wall is measured over that side alone: both
    heights of a station are then the same. On a slope heights are square to it, over a laser
    line parallel to it.

    `typed` replaces the record's spots, to preview before saving. Raises `BadInput` if the stations
    make no scribe.
    """
    if typed is not None:
        _reach_both_ends(beam, typed)
        return _scribed(beam, typed)
    if beam.pair.ceiling is None:
        return None
    stations = beam.pair.ceiling.stations
    return beam.once("scribe by readings", lambda: _scribed(beam, stations))


def _scribed(beam: Beam, typed: Sequence[Station]) -> Scribe:
    stations = heights_over(beam, typed)
    _not_the_slope_itself(beam, stations)
    drop_b = beam.height_b if beam.form.id == "ridge" else None
    made = scribe(
        stations,
        height_as_cut(beam, "A"),
        drop=beam.drop,
        line_laser=beam.instruments.line_laser,
        width=beam.section.width,
        height_b=height_as_cut(beam, "B") if "B" in beam.pieces else None,
        b_lower=Fraction(0) if drop_b is None else drop_b - beam.section.height,
    )
    return no_wider_than_cut(beam, made)


MOST_CLIMB = Fraction(1)
"""The most that heights off a line parallel to a slope may differ from end to end, in inches
(common practice, no source)."""


def _not_the_slope_itself(beam: Beam, stations: Sequence[Station]) -> None:
    """Raise `BadInput` if the heights over a sloped beam climb or fall from end to end: a level
    laser line measures the slope instead of the ceiling's unevenness. Set the line the same
    distance below the ceiling at both ends."""
    if beam.ceiling != "sloped" or beam.pitch is None or len(stations) < 2:
        return
    first, last = stations[0], stations[-1]
    up = last.height_a + last.height_b - first.height_a - first.height_b
    climb = abs(up) / 2
    slope = float(last.at - first.at) * math.sin(math.radians(beam.pitch.degrees))
    if climb > min(MOST_CLIMB, Fraction(slope) / 2):
        upper = 2 if up > 0 else 1
        wrong_end = (
            ""
            if upper != beam.low
            else (f" Its lower end is set to end {beam.low}: check that too.")
        )
        climbs = in_sentence(climb, beam.habits.step)
        raise BadInput(
            f"The heights over {beam.label} climb {climbs} toward end {upper}, so the laser "
            "line was level, not parallel to the slope. Mark the same distance below the ceiling "
            "at both ends, tilt the laser to both marks, and measure up from it, "
            f"square to the slope.{wrong_end}",
            field="ceiling",
        )


def _longest_run(beam: Beam) -> Fraction | None:
    runs = [run.value for one in beam.pieces.values() if (run := one.latest("run"))]
    return max(runs, default=None)


def check_place(beam: Beam, at: Fraction) -> None:
    """Raise `BadInput` if a spot is beyond the beam's longest known run."""
    length = _longest_run(beam)
    if length is not None and at > length + min(NEAR_END, length / 8):
        raise station_beyond(at, length)


def _reach_both_ends(beam: Beam, stations: Sequence[Station]) -> None:
    """Raise `BadInput` if the spots end short of the beam's longest run, or beyond it: the
    unmeasured ceiling may dip. Without a run nothing is checked."""
    length = _longest_run(beam)
    if length is None or len(stations) < 3:
        return
    last = stations[-1].at
    check_place(beam, last)
    near = min(NEAR_END, length / 8)
    if last < length - near:
        raise no_station_near(2, length - last, near)


def typed_stations(record: Record, rows: Sequence[tuple[str, str, str]]) -> tuple[Station, ...]:
    """Return the spots from typed rows (place from end 1, height over A, over B), in order.

    An empty row is skipped. Raises `BadInput` for an invalid length, `NotAllowed` for a half-filled
    row.
    """
    unit = "mm" if record.job.step.mm else "in"
    stations = []
    for row in rows:
        if not any(text.strip() for text in row):
            continue
        if not all(text.strip() for text in row):
            raise NotAllowed(
                "A spot needs its place from end 1 and the height over side A and side B."
            )
        stations.append(Station(*(read_off(text, unit=unit) for text in row)))
    return tuple(sorted(stations, key=lambda station: station.at))


def usual_places(beam: Beam) -> tuple[Fraction, ...]:
    """Return where to measure the ceiling if nothing was measured yet: both ends, quarters and
    center."""
    length = _longest_run(beam)
    if length is None:
        return ()
    return tuple(nearest(length * quarter / 4, Fraction(1)) for quarter in range(5))


def read_ceiling(
    record: Record, row: str, stations: Sequence[Station], now: datetime, *, who: str = ""
) -> Change:
    """Return the change that adds a reading of the ceiling over a beam; earlier ones stay.

    Raises `BadInput` if the stations make no scribe.
    """
    beam = record.beam(row)
    scribe_of(beam, stations)
    read = CeilingRead(heights_over(beam, stations), now, who, read_for=shape_of(beam))
    taken = [one.to_doc() for one in (*beam.pair.ceilings, read)]
    made = edit_pair(record.tables, row, {"ceiling": taken})
    return Change(f"measured the ceiling over {beam.label}", (made,), now)


def pry_line(pry: Pry, step: Step) -> str:
    """Return how far an end is brought down from where the pushed-up board rests."""
    return f"pry side {pry.side} down {in_words(pry.by, step)} at end {pry.end}"


_SCRIBED = "cut-scribe"


def cleats_wait(beam: Beam) -> str:
    """Return the note that no cleat is cut to length while a side under the ceiling still has to be
    cut to its scribe line; else ""."""
    waits = any(
        piece.kind == "side"
        and "ceiling" in piece.traits
        and _SCRIBED in beam.ways.get("side", (_SCRIBED,))
        and not ((mark := piece.steps.get(_SCRIBED)) is not None and mark.behind)
        for piece in beam.pieces.values()
    )
    sides = "both sides are" if len(sides_under(beam)) > 1 else "the side is"
    return f"don't cut cleats to length before {sides} cut to the scribe line" if waits else ""
