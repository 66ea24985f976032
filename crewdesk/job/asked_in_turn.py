"""The readings of a beam one after the other, as they are taken on the ladder."""

from crewdesk.job.missing import LATER, missing_of
from crewdesk.job.piece import Spot
from crewdesk.job.readings import OF_KIND, OPTIONAL
from crewdesk.job.record import Record

Asked = tuple[Spot, str]
"""A piece, and the name of one of its readings."""


def asked_in_turn(record: Record, row: str) -> tuple[Asked, ...]:
    """Every reading that can be taken of a beam now: of side A, of side B, and of the
    bottom once the sides are up."""
    beam = record.beam(row)
    return tuple(
        (Spot(row, key), what)
        for key, piece in beam.pieces.items()
        for what in OF_KIND[piece.kind]
        if what not in OPTIONAL
        and not any(
            one.sort == LATER and what in one.readings
            for one in missing_of(record.stages, beam, piece)
        )
    )


def next_unread(record: Record, row: str, after: Asked | None) -> Asked | None:
    """The first reading of a beam after one that was not taken yet, and round again; None
    where all were taken."""
    turn = asked_in_turn(record, row)
    at = turn.index(after) + 1 if after in turn else 0
    beam = record.beam(row)
    for spot, what in (*turn[at:], *turn[:at]):
        if beam.piece(spot.piece).latest(what) is None:
            return spot, what
    return None


def next_beam(record: Record, row: str, by: int) -> str:
    """The row of the beam so many further on, and round again."""
    rows = [beam.row for beam in record.beams]
    return rows[(rows.index(row) + by) % len(rows)]
