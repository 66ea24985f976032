"""The readings of a beam one number after the other, as they are taken on the ladder."""

from fractions import Fraction
from typing import NamedTuple

from crewdesk.job.beam import Beam
from crewdesk.job.edges import out_of_square
from crewdesk.job.heights import Heights
from crewdesk.job.missing import LATER, missing_of
from crewdesk.job.needs import EDGES
from crewdesk.job.pair import SQUARES
from crewdesk.job.piece import Spot
from crewdesk.job.read_early import read_early
from crewdesk.job.readings import OPTIONAL
from crewdesk.job.record import Record
from crewdesk.job.under_ceiling import sides_under
from crewdesk.trade.cuts.side_board import Side

LEG, HEIGHT, STATION = "leg", "height", "station"
_SCRIBED = "scribe"
"""The usual step after which the ceiling need not be read any more."""


class OverBeam(NamedTuple):
    """One number that is read over a whole beam: the square's `LEG`, the gap at it (one of
    `SQUARES`), the ceiling's `HEIGHT` over a side at a place from end 1, or where one more
    `STATION` stands."""

    row: str
    what: str
    at: Fraction = Fraction(0)
    side: Side = "A"

    @property
    def of_ceiling(self) -> bool:
        """Whether it is one of the ceiling's."""
        return self.what in (HEIGHT, STATION)


Asked = tuple[Spot, str] | OverBeam
"""A piece and the name of one of its readings, or a number over the whole beam."""
_NONE_TYPED = Heights()


def asked_in_turn(record: Record, row: str, heights: Heights = _NONE_TYPED) -> tuple[Asked, ...]:
    """Every number that can be read of a beam now: of side A, of side B, of the walls in
    plan, of the ceiling once a run is known, and of the bottom once the sides are up; along
    edge B only where the walls are out of square."""
    beam = record.beam(row)
    boards: list[Asked] = [
        (Spot(row, key), what)
        for key, piece in beam.pieces.items()
        for what in piece.takes
        if (what not in OPTIONAL or (what in EDGES and out_of_square(beam) is not None))
        and not any(
            one.sort == LATER and what in one.readings
            for one in missing_of(record.stages, beam, piece)
        )
    ]
    sides = [one for one in boards if beam.piece(one[0].piece).kind == "side"]  # type: ignore[union-attr]
    over = [OverBeam(row, what) for what in (LEG, *SQUARES)]
    places = heights.places_over(beam) if sides_under(beam) else ()
    over += [OverBeam(row, HEIGHT, at, side) for at in places for side in sides_under(beam)]
    if places:
        over.append(OverBeam(row, STATION))
    return (*sides, *over, *boards[len(sides) :])


def next_unread(
    record: Record, row: str, after: Asked | None, heights: Heights = _NONE_TYPED
) -> Asked | None:
    """The first number of a beam after one that was not read yet, and round again; None
    where all were read.

    What may be left out, the walls in plan and one more station, is asked for as one comes
    by, and not gone back to; nor is the ceiling by one who comes from it.
    """
    turn = asked_in_turn(record, row, heights)
    at = turn.index(after) + 1 if after in turn else 0
    beam = record.beam(row)
    left = isinstance(after, OverBeam) and after.of_ceiling
    for one in turn[at:]:
        if not _read(record, beam, one, heights) and (
            at or not _may_be_left_out(record, beam, one)
        ):
            return one
    for one in turn[:at]:
        over = isinstance(one, OverBeam) and (left or _may_be_left_out(record, beam, one))
        if not over and not _read(record, beam, one, heights):
            return one
    return None


def _read(record: Record, beam: Beam, one: Asked, heights: Heights) -> bool:
    if not isinstance(one, OverBeam):
        piece = beam.piece(one[0].piece)
        early = (found.what for found in read_early(record.stages, beam, piece))
        return piece.latest(one[1]) is not None and one[1] not in early
    if one.what == HEIGHT:
        return heights.height(beam, one.at, one.side) is not None
    return one.what == LEG or (
        one.what in SQUARES and beam.pair.square(SQUARES.index(one.what) + 1) is not None
    )


def _may_be_left_out(record: Record, beam: Beam, one: Asked) -> bool:
    """Whether nobody need read it: the walls, one more station, the ceiling over sides that
    are scribed."""
    if not isinstance(one, OverBeam):
        return False
    if one.what != HEIGHT or not record.stages.has(_SCRIBED):
        return True
    marks = (beam.pieces[side].steps.get(_SCRIBED) for side in sides_under(beam))
    return all(mark is not None and mark.behind for mark in marks)


def next_beam(record: Record, row: str, by: int) -> str:
    """The row of the beam so many further on, and round again."""
    rows = [beam.row for beam in record.beams]
    return rows[(rows.index(row) + by) % len(rows)]
