"""What isn't known between walls out of square: a bottom's two edges, a side's back bevels.

One rule for all: the gate of its cut goes by it, the marks, and what is missing (see
`crewdesk.job.gates`, `crewdesk.job.marks` and `crewdesk.job.missing`).
"""

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from crewdesk.errors import BadInput
from crewdesk.job.beam import Beam
from crewdesk.job.bottoms import top_cut_of
from crewdesk.job.cut import in_sentence
from crewdesk.job.how_sure import read_with, runs_of, squares_of
from crewdesk.job.piece import Piece
from crewdesk.job.walls import BOTH
from crewdesk.length import exact
from crewdesk.trade.cuts.board_end import BoardEnd
from crewdesk.trade.cuts.instruments import apart_off

EDGE_B: Final = "edge_b"
"""The name of the reading along a bottom's edge B."""


def reads_as_one(beam: Beam, piece: Piece) -> str:
    """Return why a bottom that was read along one line has no lengths yet, and what to read; ""
    where it has, or where nothing was read."""
    if piece.latest("opening") is None or piece.latest(EDGE_B) is not None:
        return ""
    return unread_edge(beam, piece, EDGE_B) or ""


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
    """Return None unless a bottom's or a top's two edges differ and no square says at which end;
    else one sentence. Lengths of the user's own count in place of the slants."""
    if piece.kind == "top":
        return _top_slant_unknown(beam, piece)
    edge_a, edge_b = piece.latest("opening"), piece.latest("edge_b")
    if edge_a is None or edge_b is None or edge_a.value == edge_b.value:
        return None
    if piece.own_cut is not None or any(beam.pair.square(end) is not None for end in (1, 2)):
        return None
    by = in_sentence(abs(edge_a.value - edge_b.value), beam.habits.step)
    return (
        f"Edge A and edge B of {beam.label} {piece.name} differ by {by}, and nothing says at which "
        "end the slant is; read the square at each wall, or give your own lengths for the board."
    )


def _top_slant_unknown(beam: Beam, piece: Piece) -> str | None:
    try:
        cut = top_cut_of(beam)
    except BadInput:  # what is wrong with a side's own reading is said there
        return None
    if cut is None or all(end.known for end in cut.ends):
        return None
    by = in_sentence(abs(exact(cut.rooms[0]) - exact(cut.rooms[1])), beam.habits.step)
    return (
        f"Edge A and edge B of {beam.label} {piece.name} differ by {by}, by the sides' readings, "
        "and nothing says at which end the slant is; read the square at each wall."
    )


def square_unread(beam: Beam) -> str:
    """Return that a wall no square was held to isn't known to be square, since the sides' lengths
    differ by more than the squares that were read say; "" where that isn't so. Raises
    `BadInput`."""
    squares, runs = squares_of(beam), runs_of(beam)
    unread = [end for end, one in enumerate(squares, 1) if one is None]
    if not unread or len(runs) < 2:
        return ""
    wide, read = beam.section.width, [one for one in squares if one is not None]
    apart = runs[0].value - runs[1].value
    rest = apart - sum((one.value for one in read), Fraction(0)) * wide
    allowed = apart_off(read_with(beam, runs[0]), read_with(beam, runs[1]))
    allowed += sum((one.off for one in read), Fraction(0)) * wide
    if abs(rest) <= allowed:
        return ""
    which = f"the wall at end {unread[0]} is" if read else "a wall is"
    where = f"end {unread[0]}" if read else "each wall"
    return (
        f"Which end's back must be beveled isn't known: side A and side B of {beam.label} differ "
        f"by {in_sentence(abs(apart), beam.habits.step)}, wall to wall, so {which} out of square. "
        f"Read the square at {where}."
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
    by = in_sentence(apart, beam.habits.step)
    return f"Side A and side B of {beam.label} differ by {by}, wall to wall"


def guessed_ends(ends: Sequence[BoardEnd], unread: Sequence[int]) -> list[int]:
    """Return the ends that are cut square across only because no square was held to their wall."""
    return [end.end for end in ends if end.end in unread and end.known and end.longer is None]


def taken_as_square(ends: Sequence[BoardEnd], unread: Sequence[int]) -> str:
    """Return the sentence for the ends that are cut square across only because no square was
    held to their wall (`unread`); empty where there are none."""
    guessed = guessed_ends(ends, unread)
    where = "both ends" if len(guessed) == len(BOTH) else f"end {guessed[0]}" if guessed else ""
    return f"Taken as square at {where}: no square was held there." if guessed else ""
