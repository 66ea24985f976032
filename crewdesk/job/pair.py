"""What is read over a whole beam: the ceiling along it, and the walls in plan."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any, NamedTuple

from crewdesk.errors import NotAllowed
from crewdesk.job.change import ABSENT, Doc, Edit, Tables, edit, look
from crewdesk.job.readings import FOR, ReadFor, fraction, moment, read_for_of
from crewdesk.job.words import LONGEST_NAME, brief, checked_line
from crewdesk.job.written import within
from crewdesk.trade.cuts.skew import SQUARE, SkewReading
from crewdesk.trade.cuts.station import Station

MOST_STATIONS = 60
SQUARES = ("square1", "square2")


class CeilingRead(NamedTuple):
    """The ceiling's heights over one level laser line, station by station from end 1;
    `read_for` is the shape of the beam they were read for, None where that isn't known."""

    stations: tuple[Station, ...]
    when: datetime
    who: str = ""
    instrument: str = "laser"
    read_for: ReadFor | None = None

    def to_doc(self) -> Doc:
        """As JSON; each station is its place, the height over side A and over side B."""
        read_for = {} if self.read_for is None else {FOR: self.read_for.to_doc()}
        return {
            "stations": [[str(s.at), str(s.height_a), str(s.height_b)] for s in self.stations],
            **_by(self.when, self.who, self.instrument),
            **read_for,
        }

    @staticmethod
    def from_doc(doc: Doc) -> "CeilingRead":
        """The reading that `to_doc` wrote; raises `NotAllowed`."""
        stations = doc["stations"]
        if not isinstance(stations, list) or len(stations) > MOST_STATIONS:
            raise NotAllowed(f"A ceiling is read at up to {MOST_STATIONS} stations.")
        return CeilingRead(
            tuple(_station(one) for one in stations), *_read_by(doc, "laser"), read_for_of(doc)
        )


class SquareRead(NamedTuple):
    """A square held to the beam's line at an end's wall."""

    reading: SkewReading
    when: datetime
    who: str = ""
    instrument: str = "square"

    def to_doc(self) -> Doc:
        """As JSON."""
        return {
            "gap": str(self.reading.gap),
            "leg": str(self.reading.leg),
            "longer": self.reading.longer,
            **_by(self.when, self.who, self.instrument),
        }

    @staticmethod
    def from_doc(doc: Doc) -> "SquareRead":
        """The reading that `to_doc` wrote; raises `NotAllowed` or `BadInput`."""
        reading = SkewReading(
            fraction(doc["gap"], "gap at the square"),
            fraction(doc["leg"], "leg of the square"),
            doc["longer"],
        )
        return SquareRead(reading, *_read_by(doc, "square"))


class Pair(NamedTuple):
    """Every reading over the whole beam, the latest of each last."""

    ceilings: tuple[CeilingRead, ...] = ()
    squares: Mapping[str, tuple[SquareRead, ...]] = {}

    @property
    def ceiling(self) -> CeilingRead | None:
        """The ceiling's reading that counts."""
        return self.ceilings[-1] if self.ceilings else None

    def square(self, end: int) -> SquareRead | None:
        """The square's reading at an end that counts."""
        taken = self.squares.get(f"square{end}", ())
        return taken[-1] if taken else None

    @property
    def skews(self) -> tuple[SkewReading, SkewReading] | None:
        """Both ends' readings with the square, or None where neither was taken."""
        taken = (self.square(1), self.square(2))
        if taken == (None, None):
            return None
        first, second = (one.reading if one else SQUARE for one in taken)
        return first, second

    @staticmethod
    def from_doc(doc: Any) -> "Pair":
        """The readings as they stand in a beam's document; raises `NotAllowed` or `BadInput`."""
        if unknown := sorted(set(doc) - {"ceiling", *SQUARES}):
            raise NotAllowed(f"Over a whole beam there is no reading {brief(unknown[0])}.")
        squares = {}
        for name in SQUARES:
            if name in doc:
                with within(f"reading '{name}'"):
                    squares[name] = tuple(SquareRead.from_doc(one) for one in doc[name])
        with within("reading 'ceiling'"):
            ceilings = tuple(CeilingRead.from_doc(one) for one in doc.get("ceiling", ()))
        return Pair(ceilings, squares)


NOTHING_READ = Pair()


def _station(row: Any) -> Station:
    if not isinstance(row, list) or len(row) != 3:
        raise NotAllowed("A station is its place and the ceiling's height over side A and side B.")
    at, a, b = (fraction(one, "station") for one in row)
    if min(at, a, b) < 0:
        raise NotAllowed("A station's place and heights are zero or more.")
    return Station(at, a, b)


def _by(when: datetime, who: str, instrument: str) -> Doc:
    named = {"who": who, "instrument": instrument}
    return {"when": when.isoformat(), **{key: text for key, text in named.items() if text}}


def _read_by(doc: Doc, usual: str) -> tuple[datetime, str, str]:
    who = checked_line(doc.get("who", ""), "'who' of a reading", most=LONGEST_NAME)
    instrument = checked_line(doc.get("instrument", usual), "instrument", most=LONGEST_NAME)
    return moment(doc["when"], "reading"), who, instrument


def edit_pair(tables: Tables, row: str, taken: dict[str, list[Doc]]) -> Edit:
    """The edit that puts readings over a whole beam, by name, beside those of other names."""
    at = ("beams", row, "pair")
    before = look(tables, at)
    return edit(tables, at, {**({} if before is ABSENT else before), **taken})
