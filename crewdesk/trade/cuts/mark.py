"""A mark: one thing to set or to draw on a board, described once for all who show it."""

from typing import NamedTuple

from crewdesk.length import Length, Way


class Mark(NamedTuple):
    """One mark of a board.

    `id` never changes; `name` says what it is, `at` where on the board, `note` the rest;
    `end` is the end of the beam that it is at, 0 where it is at neither. `value` is in
    inches, None where the mark is an angle or words alone; `way` is how it is rounded when
    shown; `deg` is an angle in degrees that goes with it. `within` is how far the value can
    be off, in inches. Marks of the same `row` are read together; `feeds` is the reading that
    it answers at once; a `large` one is set at a machine or drawn on the board.

    Of a board that was cut and kept though today's readings make another, `kept` is the
    reason, the mark is as it was cut, and `today` is the one by today's readings, None where
    they make none.
    """

    id: str
    name: str
    value: Length | None = None
    way: Way = "near"
    at: str = ""
    note: str = ""
    deg: float | None = None
    within: Length | None = None
    row: str = ""
    feeds: str = ""
    large: bool = False
    end: int = 0
    kept: str = ""
    today: "Mark | None" = None
