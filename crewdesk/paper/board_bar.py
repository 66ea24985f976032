"""A board drawn to scale as lines of text: its pieces, cleats, kerfs and what is left."""

from fractions import Fraction

from crewdesk.job.lumber.board import Board
from crewdesk.trade.boards.stock import Placed

PIECE, CLEAT, WASTE, BAD, CUT, SCARF = "=", "-", ".", "x", "|", "/"


def rows_of(board: Board) -> list[tuple[Fraction, list[Placed]]]:
    """What lies side by side, by the edge where it begins, each from the first end on."""
    pieces = [Placed("", p.start, p.end, p.near, p.far) for p in board.pieces]
    rows: dict[Fraction, list[Placed]] = {}
    for one in (*pieces, *board.cleats):
        rows.setdefault(one.near, []).append(one)
    return [(near, sorted(row, key=lambda p: p.start)) for near, row in sorted(rows.items())]


def splice_ends(board: Board) -> set[tuple[Fraction, Fraction]]:
    """The ends of parts where they meet another, as (place along, edge where it begins);
    end 1 of a piece lies towards the board's first end."""
    first = {(one.start, one.near) for one in board.pieces if one.part > 1}
    return first | {(one.end, one.near) for one in board.pieces if one.part < one.parts}


def bar(
    board: Board, row: list[Placed], columns: int, longest: Fraction, *, scarfs: bool = False
) -> str:
    """One row of a board: `columns` stand for `longest` inches; a cut at each piece's ends,
    with `scarfs` a slanted one where it is spliced.

    A place is rounded to the nearest column.
    """
    slanted = splice_ends(board) if scarfs else set()
    wide = max(2, round(board.length * columns / longest))
    signs = [WASTE] * wide
    for bad in board.bad:
        _fill(signs, bad.start, bad.end, board.length, BAD)
    for one in row:
        _fill(signs, one.start, one.end, board.length, CLEAT if one.name else PIECE)
    for one in row:
        for end in (one.start, one.end):
            at = round(end * (wide - 1) / board.length)
            signs[at] = SCARF if (end, one.near) in slanted else CUT
    return "".join(signs)


def _fill(signs: list[str], start: Fraction, end: Fraction, length: Fraction, sign: str) -> None:
    last = len(signs) - 1
    first, stop = round(start * last / length), round(end * last / length)
    signs[first : stop + 1] = sign * (stop + 1 - first)
