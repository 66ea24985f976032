"""Whether the lengths of a bottom's two edges are known, or edge B must be read too.

One rule for all: the gate of its cut goes by it, the marks, and what is missing (see
`crewdesk.job.gates`, `crewdesk.job.marks` and `crewdesk.job.missing`).
"""

from typing import Final

from crewdesk.job.beam import Beam
from crewdesk.job.how_sure import read_with
from crewdesk.job.piece import Piece
from crewdesk.job.readings import Reading
from crewdesk.trade.cuts.instruments import apart_off
from crewdesk.trade.length import show_length

EDGE_B: Final = "edge_b"
"""The name of the reading along a bottom's edge B."""


def runs_of(beam: Beam) -> list[Reading]:
    """The sides' lengths wall to wall that were read."""
    return [run for one in beam.pieces.values() if (run := one.latest("run")) is not None]


def reads_as_one(beam: Beam, piece: Piece) -> str:
    """Return why a bottom that was read along one line has no lengths yet, and what to read; ""
    where it has, or where nothing was read."""
    if piece.latest("opening") is None or piece.latest("edge_b") is not None:
        return ""
    return unread_edge(beam, piece, "edge_b") or ""


def unread_edge(beam: Beam, piece: Piece, what: str) -> str | None:
    """Return None unless the walls are known to be out of square and edge B, `what`, has not
    been read, or it was and the slants are unknown; else one sentence that says so."""
    if piece.latest(what) is not None:
        return slant_unknown(beam, piece)
    if (why := out_of_square(beam)) is None:
        return None
    return (
        f"{why}, so the two edges of {beam.label} {piece.name} differ; read edge B too, and "
        "enter it among its readings."
    )


def slant_unknown(beam: Beam, piece: Piece) -> str | None:
    """Return None unless a bottom's two edges differ and no square says at which end; else one
    sentence. Lengths of the user's own count in place of the slants."""
    edge_a, edge_b = piece.latest("opening"), piece.latest("edge_b")
    if edge_a is None or edge_b is None or edge_a.value == edge_b.value:
        return None
    if piece.own_cut is not None or any(beam.pair.square(end) is not None for end in (1, 2)):
        return None
    return (
        f"Edge A and edge B of {beam.label} {piece.name} differ by "
        f"{show_length(abs(edge_a.value - edge_b.value))} in, and nothing says at which end the "
        "slant is; read the square at each wall, or give your own lengths for the board."
    )


def out_of_square(beam: Beam) -> str | None:
    """None unless a square found a wall out of square, or the sides' lengths differ by more
    than what they were read to allows; else the beginning of a sentence that says so."""
    for end in (1, 2):
        square = beam.pair.square(end)
        if square is not None and square.reading.ratio:
            return f"The wall at end {end} of {beam.label} is out of square"
    runs = runs_of(beam)
    if len(runs) < 2:
        return None
    apart = abs(runs[0].value - runs[1].value)
    if apart <= apart_off(read_with(beam, runs[0]), read_with(beam, runs[1])):
        return None
    return f"Side A and side B of {beam.label} differ by {show_length(apart)} in, wall to wall"
