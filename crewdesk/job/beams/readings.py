"""Readings: what was measured on site, by whom, when and with what, on a piece, or over a whole
beam: the ceiling along it, and the walls in plan.
"""

from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction
from functools import cache, cached_property
from typing import Any, NamedTuple

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.change import ABSENT, Doc, Edit, Tables, edit, look
from crewdesk.job.parsing import fraction
from crewdesk.job.row import EXACT, SHORT, TIME, Kind, Row, field, many, one_of
from crewdesk.trade.cuts.ceiling import Station
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS
from crewdesk.trade.cuts.side_board import EndReading, Side
from crewdesk.trade.cuts.skew import SQUARE, SkewReading
from crewdesk.trade.read_length import read_length


class ReadingKind(NamedTuple):
    """A kind of reading, one row of `READING_KINDS`.

    name: its name in a sentence. piece: the kind of piece it is taken on, if the beam's form gives
    the piece the `trait` (see `forms.py`; "" for all). instrument, how: how it is taken. label: its
    label on the piece's page. mark: the id of the mark that it feeds. field: its name on the paper
    form, if it has its own field. wall: the end whose wall it is taken at.

    A length between the walls depends on the beam's shape: in a sentence it is `called` so, if
    given, and `..._on_slope` on a sloped beam, where it is taken along the slope. Optional are
    readings taken `beside` another, which refine its marks, or `afterward`, on the finished beam,
    for the next job. `believed` are the least and greatest plausible values, in inches.
    """

    name: str
    label: str
    piece: str
    instrument: str
    how: str
    trait: str = ""
    mark: str = ""
    field: str = ""
    wall: int = 0
    called: str = ""
    name_on_slope: str = ""
    label_on_slope: str = ""
    how_on_slope: str = ""
    beside: str = ""
    afterward: bool = False
    believed: tuple[Fraction, Fraction] | None = None


LONGEST_RUN = Fraction(100 * 12)
SHORTEST_RUN = Fraction(6)
_FORMS = "12' 3-5/16\", 12 3 5/16, 147-5/16, 147.3125 or 3738 mm"
_GAP = (
    "Level plumb against the wall: the gap at its end. In: the top of the wall comes "
    "toward the beam. Out: it goes away."
)
_TAPED = "at edge A, then edge B, once both sides are up."
READING_KINDS: Mapping[str, ReadingKind] = {
    "run": ReadingKind(
        "wall-to-wall length along the bottom line",
        "wall to wall, bottom line",
        "side",
        "laser",
        f"Laser at the bottom line, wall to wall. Type {_FORMS}.",
        mark="bottom_length",
        called="length wall to wall",
        name_on_slope="wall-to-wall length along the slope, at the bottom line",
        label_on_slope="wall to wall, slope",
        how_on_slope=(
            "Laser along the slope at the bottom line, parallel to the ceiling and not "
            f"level, wall to wall. Type {_FORMS}."
        ),
        believed=(SHORTEST_RUN, LONGEST_RUN),
    ),
    "end1": ReadingKind("end 1", "end 1", "side", "level", _GAP, mark="end1", wall=1),
    "end2": ReadingKind("end 2", "end 2", "side", "level", _GAP, mark="end2", wall=2),
    "opening": ReadingKind(
        "length between the walls, sides up",
        "between walls, edge A",
        "bottom",
        "tape",
        f"Tape wall to wall {_TAPED}",
        mark="edge_a",
        field="edge A",
        called="length between the walls",
        name_on_slope="length between the walls along the slope, sides up",
        label_on_slope="along slope, edge A",
        how_on_slope=f"Tape wall to wall along the slope {_TAPED}",
        believed=(SHORTEST_RUN, LONGEST_RUN),
    ),
    "edge_b": ReadingKind(
        "length between the walls along edge B, sides up",
        "between walls, edge B",
        "bottom",
        "tape",
        "The same along the edge at side B. Where the walls are square it can stay empty.",
        mark="edge_b",
        field="edge B",
        called="length between the walls along edge B",
        name_on_slope="length between the walls along the slope at edge B, sides up",
        label_on_slope="along slope, edge B",
        beside="opening",
        believed=(SHORTEST_RUN, LONGEST_RUN),
    ),
    "reveal": ReadingKind(
        "reveal as reached",
        "reveal as reached",
        "bottom",
        "tape",
        "At fix-up: from the side's bottom edge up to the bottom board. Can stay empty.",
        field="reveal as reached",
        afterward=True,
    ),
}
"""Every kind of reading of a piece, by its name in the record."""
NAMES = {what: kind.name for what, kind in READING_KINDS.items()}
LENGTHS = tuple(what for what, kind in READING_KINDS.items() if kind.called)
"""The readings between the walls, which change with the beam's shape."""
ENDS = tuple(what for what, kind in READING_KINDS.items() if kind.wall)
OF_KIND: Mapping[str, tuple[str, ...]] = {
    piece: tuple(what for what, kind in READING_KINDS.items() if kind.piece == piece)
    for piece in ("side", "bottom", "top", "cleats")
}
BESIDE: Mapping[str, tuple[str, ...]] = {
    kind.beside: tuple(w for w, one in READING_KINDS.items() if one.beside == kind.beside)
    for kind in READING_KINDS.values()
    if kind.beside
}
"""Readings that may be taken beside another, to make its marks finer: with an `edge_b` the
`opening` is edge A's alone, without one it means both edges."""
AFTERWARD = tuple(what for what, kind in READING_KINDS.items() if kind.afterward)
"""Readings of the finished beam: no mark follows from them, they are kept for the next job."""
OPTIONAL = (*(what for beside in BESIDE.values() for what in beside), *AFTERWARD)
READ_TO = {
    "laser": USUAL_INSTRUMENTS.laser.step,
    "tape": USUAL_INSTRUMENTS.tape.step,
    "level": USUAL_INSTRUMENTS.level.step,
    "square": USUAL_INSTRUMENTS.square.step,
}
"""The steps of instruments, in inches, in a job without its own steps."""
COARSEST = max(READ_TO.values())
SHORTEST_LEVEL, LONGEST_LEVEL = Fraction(4), Fraction(144)
"""How long levels are, in inches: from a pocket level to an extended plate level (common practice,
no source)."""
COARSEST_STEP = Fraction(1)
"""The coarsest step of an instrument, in inches."""
FOR = "for"
"""The field of a reading with the beam's shape at that time."""


@cache
def readings_of(piece: str, traits: frozenset[str]) -> tuple[str, ...]:
    """Return the names of the readings of a kind of piece that has some traits."""
    return tuple(what for what in OF_KIND[piece] if READING_KINDS[what].trait in ("", *traits))


def reading_name(what: str, *, sloped: bool) -> str:
    """Return what a reading is called on a beam that is `sloped` or not."""
    kind = READING_KINDS[what]
    return (sloped and kind.name_on_slope) or kind.name


LINE = "line"
"""The field of that shape with the line of the reading."""


class Line(Row, noun="line"):
    """The line that a length between the walls was read along: how far side A's and side B's
    bottom edges hang down `below` something (the "ceiling", the "ridge" or a box's "top"), and the
    `reveal` from there up to the bottom's show face; inches."""

    below: str = field(SHORT, "line of a reading")
    a: Fraction = field(EXACT, "line of a reading", key="A")
    b: Fraction = field(EXACT, "line of a reading", key="B")
    reveal: Fraction = field(EXACT, "line of a reading")

    def down(self, key: str) -> Fraction:
        """Return how far down a side's bottom edge hangs."""
        return self.b if key == "B" else self.a


class ReadFor(Row, noun="shape"):
    """The shape of a beam that something was read for: the kind of `ceiling`, the beam's `width` in
    inches, `over` which sides the ceiling was there to be read, for example "AB", and the `line`
    that a length was read along, or None for heights, or if unknown."""

    ceiling: str = field(SHORT, "reading's ceiling")
    width: Fraction = field(EXACT, "reading's width")
    over: str = field(SHORT, "reading's sides", default="")
    line: Line | None = field(Line, key=LINE, default=None)


def level_typed(text: str, unit: str = "in") -> Fraction:
    """Return a level's length, in inches, as typed; a bare number is in `unit`. Raises `BadInput`,
    also for a length that no level has: every gap read with it would be wrong."""
    level = read_length(text, unit=unit)
    if not SHORTEST_LEVEL <= level <= LONGEST_LEVEL:
        raise BadInput(
            "A level of {level} in can't be right; levels are from {shortest} to "
            "{longest} in long. Type the level's own length, not a reading.",
            level=level,
            shortest=SHORTEST_LEVEL,
            longest=LONGEST_LEVEL,
        )
    return level


class Reading(Row, noun="reading"):
    """One reading: `value` in inches; at an end also the `lean` and the `level`'s length.

    `typed` is the text as typed; `to` is the step it was read to, in inches, if not the
    instrument's usual one. `read_for` is the shape of the beam that a length was read for, or None
    if that isn't known.
    """

    value: Fraction = field(EXACT, "reading")
    when: datetime = field(TIME)
    who: str = field(SHORT, "person who measured", default="")
    instrument: str = field(SHORT, default="")
    typed: str = field(SHORT, "typed text of a reading", default="")
    lean: str = field(SHORT, default="")
    level: Fraction = field(EXACT, "level", default=Fraction(0), given=lambda one: one.lean)
    to: Fraction | None = field(EXACT, "reading's step", default=None)
    read_for: ReadFor | None = field(ReadFor, key=FOR, default=None)

    @property
    def read_to(self) -> Fraction:
        """The step that it was read to, in inches; the instrument's usual one by default."""
        return self.to or READ_TO.get(self.instrument, COARSEST)

    @cached_property
    def end(self) -> EndReading:
        """Return the reading as an `EndReading`; raises `BadInput`."""
        return EndReading(self.value, self.lean, self.level)  # type: ignore[arg-type]


def check_step(step: Fraction, name: str) -> None:
    """Raise `NotAllowed` if that instrument can't be read to a step, in inches."""
    if not 0 < step <= COARSEST_STEP:
        raise NotAllowed(f"The {name}'s step must be more than 0 and up to {COARSEST_STEP} in.")


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
    """The ceiling's heights over one level laser line, spot by spot from end 1; `read_for` is the
    beam's shape at that time, or None if unknown."""

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
        """Raise `BadInput` for a reading that no wall can give."""
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
        """The latest reading of the ceiling."""
        return self.ceilings[-1] if self.ceilings else None

    def square(self, end: int) -> SquareRead | None:
        """Return the latest reading with the square at an end."""
        taken = self.squares[f"square{end}"]
        return taken[-1] if taken else None

    @property
    def skews(self) -> tuple[SkewReading, SkewReading] | None:
        """Both ends' readings with the square, or None if neither was taken."""
        taken = (self.square(1), self.square(2))
        if taken == (None, None):
            return None
        first, second = (one.reading if one else SQUARE for one in taken)
        return first, second


NOTHING_READ = Pair()


def edit_pair(tables: Tables, row: str, taken: dict[str, list[Doc]]) -> Edit:
    """Return the edit that adds readings over a whole beam, by name, beside those of other
    names."""
    at = ("beams", row, "pair")
    before = look(tables, at)
    return edit(tables, at, {**({} if before is ABSENT else before), **taken})
