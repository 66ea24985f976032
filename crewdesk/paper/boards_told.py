"""The boards of a plan in lines, each drawn to scale with its cuts."""

from collections.abc import Iterable
from fractions import Fraction

from crewdesk.job.lumber.board import Board
from crewdesk.job.lumber.kept import label_of
from crewdesk.job.record import Record
from crewdesk.paper.board_bar import bar, rows_of
from crewdesk.paper.lengths import board_length, with_unit
from crewdesk.paper.plain import plain
from crewdesk.trade.length import Step

_COLUMNS = 72


def board_head(board: Board) -> str:
    """A board's number, kind and length, and how far it has come."""
    state = "on hand" if board.hand and board.state == "bought" else board.state
    return f"{board.row:>3}  {plain(board.label)}, {board_length(board.length)}  ({state})"


def scarfed(record: Record, boards: Iterable[Board]) -> bool:
    """Whether any of these boards is cut to a scarf."""
    return record.job.cutting.splices == "scarf" and any(
        one.parts > 1 for board in boards for one in board.pieces
    )


def board_lines(
    record: Record, board: Board, longest: Fraction, *, scarfs: bool = False
) -> list[str]:
    """One board: what to rip it to, its rows drawn to scale and told."""
    step = record.job.step
    lines = [f"{board_head(board)}  {first_told(board, step)}".rstrip()]
    for near, row in rows_of(board):
        lines.append(f"     {bar(board, row, _COLUMNS, longest, scarfs=scarfs)}")
        told = [
            f"{plain(label_of(record, p))} {with_unit(p.length, step)}"
            for p in sorted(board.pieces, key=lambda p: p.start)
            if p.near == near
        ]
        told += [f"cleat {with_unit(c.end - c.start, step)}" for c in row if c.name]
        lines.append(f"     {', '.join(told)}")
    return lines


def first_told(board: Board, step: Step) -> str:
    """Which cut comes first, and the widths to rip, from the first edge on."""
    if board.state == "spoiled":
        return ""
    if not board.pieces and not board.cleats:
        return "nothing is cut from it"
    if board.first == "crosscut":
        return "crosscut first"
    widths = rips_of(board)
    return "rip " + ", ".join(with_unit(far - near, step) for near, far in widths)


def rips_of(board: Board) -> list[tuple[Fraction, Fraction]]:
    """The strips of a board, each from where to where across it."""
    strips = {(p.near, p.far) for p in board.pieces} | {(c.near, c.far) for c in board.cleats}
    return sorted(strips)
