"""The user's own lengths for a bottom board."""

from datetime import datetime

from crewdesk.errors import NotAllowed
from crewdesk.job.bottoms import cut_of
from crewdesk.job.change import ABSENT, Change, edit
from crewdesk.job.piece import OwnCut, Spot
from crewdesk.job.record import Record
from crewdesk.job.words import checked_note
from crewdesk.length import show_length
from crewdesk.trade.read_length import read_off


def own_cut(
    record: Record, spot: Spot, edge_a: str, edge_b: str, reason: str, now: datetime
) -> Change:
    """The change that gives the bottom board lengths of the user's own, as typed.

    An empty `edge_b` follows from edge A and the walls; an empty `edge_a` takes the own cut back. A
    length over its reading takes a `reason`. Raises `NotAllowed`, and `BadInput` for a
    length that makes no sense or is over its reading.
    """
    beam = record.beam(spot.beam)
    piece = beam.piece(spot.piece)
    if piece.kind != "bottom":
        raise NotAllowed(f"Only the bottom board takes a length of one's own, not {piece.name}.")
    at = ("beams", spot.beam, "pieces", spot.piece, "own_cut")
    whose = f"of {beam.label} {piece.name}"
    if not edge_a.strip():
        if piece.own_cut is None:
            raise NotAllowed("No length was given for edge A; nothing was changed.")
        return Change(f"took back the own cut {whose}", (edit(record.tables, at, ABSENT),), now)
    if piece.latest("opening") is None:
        raise NotAllowed(
            f"The length between the walls {whose} has not been read; read it first, so that "
            "the cut can be held against it."
        )
    unit = "mm" if record.job.step.mm else "in"
    first = read_off(edge_a, unit=unit)
    second = read_off(edge_b, unit=unit) if edge_b.strip() else first
    own = OwnCut(first, second, now, checked_note(reason, "reason"))
    made = cut_of(beam, piece, own=own)
    if edge_b.strip() and made is not None and made.edge_b != second:
        must = show_length(made.edge_b, record.job.step, way="down")
        raise NotAllowed(
            f"With edge A at {show_length(first, record.job.step)}, edge B must be {must} by the "
            "slants of both walls. Leave edge B empty, or read the walls and both edges again."
        )
    return Change(f"chose the cut {whose}", (edit(record.tables, at, own.to_doc()),), now)
