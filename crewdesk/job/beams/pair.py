"""What is read over a whole beam: the ceiling along it, and the walls in plan."""

from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction
from functools import cached_property
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.readings import FOR, ReadFor
from crewdesk.job.change import ABSENT, Doc, Edit, Tables, edit, look
from crewdesk.job.parsing import fraction
from crewdesk.job.row import EXACT, SHORT, TIME, Kind, Row, field, many, one_of
from crewdesk.trade.cuts.ceiling import Station
from crewdesk.trade.cuts.side_board import Side
from crewdesk.trade.cuts.skew import SQUARE, SkewReading

MOST_STATIONS = 60
SQUARES = ("square1", "square2")


def _station(row: Any, what: str) -> Station:
    if not isinstance(row, list) or len(row) != 3:
        raise NotAllowed("A spot needs its place and the ceiling's height over side A and side B.")
    at, a, b = (fraction(one, what) for one in row)
    if min(at, a, b) < 0:
        raise NotAllowed("A spot's place and heights must be zero or more.")
    return Station(at, a, b)


STATION = Kind(_station, lambda one: [str(place) for place in one], "station")
"""A station's place, and the ceiling's height over side A and over side B."""


class CeilingRead(Row, noun="ceiling reading"):
    """The ceiling's heights over one level laser line, station by station from end 1;
    `read_for` is the shape of the beam they were read for, None where that isn't known."""

    stations: tuple[Station, ...] = field(many(STATION, most=MOST_STATIONS), "ceiling's stations")
    when: datetime = field(TIME)
    who: str = field(SHORT, "person who measured", default="")
    instrument: str = field(SHORT, default="laser", given=lambda one: one.instrument)
    read_for: ReadFor | None = field(ReadFor, key=FOR, default=None)


class SquareRead(Row, noun="square reading"):
    """A square held to the beam's line at an end's wall: the `gap` at its `leg`, in inches, and
    which side is `longer`."""

    gap: Fraction = field(EXACT, "gap at the square")
    leg: Fraction = field(EXACT, "leg of the square")
    longer: Side = field(one_of("AB"), "longer side")
    when: datetime = field(TIME)
    who: str = field(SHORT, "person who measured", default="")
    instrument: str = field(SHORT, default="square", given=lambda one: one.instrument)

    def check(self) -> None:
        """Raise `BadInput` where no wall is read so."""
        _ = self.reading

    @cached_property
    def reading(self) -> SkewReading:
        """The reading as the trade takes it; raises `BadInput`."""
        return SkewReading(self.gap, self.leg, self.longer)


class Pair(Row, noun="reading over the whole beam", closed=True):
    """Every reading over the whole beam, the latest of each last."""

    ceilings: tuple[CeilingRead, ...] = field(
        many(CeilingRead, "ceiling"), key="ceiling", default=()
    )
    square1: tuple[SquareRead, ...] = field(many(SquareRead, "square1"), default=())
    square2: tuple[SquareRead, ...] = field(many(SquareRead, "square2"), default=())

    @property
    def squares(self) -> Mapping[str, tuple[SquareRead, ...]]:
        """The readings with a square, by `SQUARES`."""
        return {name: getattr(self, name) for name in SQUARES}

    @property
    def ceiling(self) -> CeilingRead | None:
        """The ceiling's reading that counts."""
        return self.ceilings[-1] if self.ceilings else None

    def square(self, end: int) -> SquareRead | None:
        """The square's reading at an end that counts."""
        taken = self.squares[f"square{end}"]
        return taken[-1] if taken else None

    @property
    def skews(self) -> tuple[SkewReading, SkewReading] | None:
        """Both ends' readings with the square, or None where neither was taken."""
        taken = (self.square(1), self.square(2))
        if taken == (None, None):
            return None
        first, second = (one.reading if one else SQUARE for one in taken)
        return first, second


NOTHING_READ = Pair()


def edit_pair(tables: Tables, row: str, taken: dict[str, list[Doc]]) -> Edit:
    """The edit that puts readings over a whole beam, by name, beside those of other names."""
    at = ("beams", row, "pair")
    before = look(tables, at)
    return edit(tables, at, {**({} if before is ABSENT else before), **taken})
