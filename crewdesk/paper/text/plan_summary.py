"""A plan's boards in lines, each drawn to scale with its cuts."""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import Any

from crewdesk.job.beams.piece import NAME_OF
from crewdesk.job.lumber.kept import label_of
from crewdesk.job.lumber.spliced import Spliced, spliced, start_of
from crewdesk.job.lumber.takeoff import Board, CutFrom
from crewdesk.job.record import Record
from crewdesk.length import Step
from crewdesk.paper.lengths import board_length, length_json, with_unit
from crewdesk.paper.plain import plain
from crewdesk.trade.boards.stock import OnBoard, Placed, Strip, strips_of

PIECE, CLEAT, WASTE, BAD, CUT, SCARF = "=", "-", ".", "x", "|", "/"
_COLUMNS = 72


def within_cheapest(cost: Decimal, bound: Decimal, sign: str = "$") -> str:
    """Return how much more than the cheapest possible plan, `bound`, a plan costs at most; the
    percentage is rounded up."""
    share = f" ({ceil(1000 * (cost - bound) / bound) / 10:g}%)" if bound > 0 else ""
    return f"within {sign}{cost - bound:,.2f}{share} of the cheapest there can be"


def board_head(board: Board) -> str:
    """Return a board's number, kind, length and state."""
    state = "on hand" if board.hand and board.state == "bought" else board.state
    return f"{board.row:>3}  {plain(board.label)}, {board_length(board.length)}  ({state})"


def scarfed(record: Record, boards: Iterable[Board]) -> bool:
    """Return whether any of these boards is cut to a scarf."""
    return record.job.cutting.splices == "scarf" and any(
        one.parts > 1 for board in boards for one in board.pieces
    )


def board_lines(
    record: Record, board: Board, longest: Fraction, *, scarfs: bool = False
) -> list[str]:
    """Return one board: its rips, and its rows drawn to scale and in words."""
    step = record.job.step
    lines = [f"{board_head(board)}  {first_cut_text(board, step)}".rstrip()]
    again = ripped_again(board)
    for near, row in rows_of(board):
        lines.append(f"     {bar(board, row, _COLUMNS, longest, scarfs=scarfs)}")
        texts = [
            f"{plain(label_of(record, p))} {with_unit(p.length, step)}"
            + (f" (ripped to {with_unit(p.width, step)})" if p in again else "")
            for p in sorted(board.pieces, key=lambda p: p.start)
            if p.near == near
        ]
        texts += [f"cleat {with_unit(c.end - c.start, step)}" for c in row if c.name]
        lines.append(f"     {', '.join(texts)}")
    return lines


def first_cut_text(board: Board, step: Step) -> str:
    """Return which cut comes first, and the widths to rip, from the first edge on."""
    if board.state == "spoiled":
        return ""
    if not board.pieces and not board.cleats:
        return "nothing is cut from it"
    before = "crosscut at the defect, then " if len(_parts(board)) > 1 else ""
    if board.first == "crosscut":
        return f"{before}crosscut" if before else "crosscut first"
    widths = rips_of(board.on_it)
    if before and len({rips_of(part) for part in _parts(board)}) > 1:
        return f"{before}rip each part as drawn"
    return f"{before}rip " + ", ".join(with_unit(far - near, step) for near, far in widths)


def rips_of(on_it: Iterable[OnBoard]) -> tuple[Strip, ...]:
    """Return the strips of a board that is ripped first, as places across it."""
    return tuple(
        (min(one.near for one in strip), max(one.far for one in strip))
        for strip in strips_of(on_it)
    )


def ripped_again(board: Board) -> frozenset[CutFrom]:
    """Return the pieces narrower than the strip they are crosscut from, and all of a board that is
    crosscut first."""
    if board.first == "crosscut":
        return frozenset(board.pieces)
    strips = rips_of(board.on_it)
    return frozenset(p for p in board.pieces if (p.near, p.far) not in strips)


def _parts(board: Board) -> list[list[OnBoard]]:
    """Return the pieces of each part of a board between its defects, without empty parts."""
    walls = [Fraction(0), *(bad.end for bad in board.bad), board.length]
    parts = (
        [one for one in board.on_it if start <= one.start and one.end <= end]
        for start, end in pairwise(walls)
    )
    return [part for part in parts if part]


def rows_of(board: Board) -> list[tuple[Fraction, list[Placed]]]:
    """Return rows of pieces by the edge where they begin, each from the first end on."""
    pieces = [Placed("", p.start, p.end, p.near, p.far) for p in board.pieces]
    rows: dict[Fraction, list[Placed]] = {}
    for one in (*pieces, *board.cleats):
        rows.setdefault(one.near, []).append(one)
    return [(near, sorted(row, key=lambda p: p.start)) for near, row in sorted(rows.items())]


def splice_ends(board: Board) -> set[tuple[Fraction, Fraction]]:
    """Return the ends of parts that meet another, as (place along, edge where it begins); end 1 of
    a piece is toward the board's first end."""
    first = {(one.start, one.near) for one in board.pieces if one.part > 1}
    return first | {(one.end, one.near) for one in board.pieces if one.part < one.parts}


def bar(
    board: Board, row: list[Placed], columns: int, longest: Fraction, *, scarfs: bool = False
) -> str:
    """Return one row of a board: `columns` for `longest` inches; a cut at each piece's ends,
    slanted if in `scarfs`.

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


SIGN = {"scarf": "/"}
"""The sign of a splice; all but a scarf are square across."""
SQUARE = "|"
_LEAST = 12


def splice_text(one: Spliced, step: Step) -> str:
    """Return the joint, and the place of its middle along the blank."""
    places = ", ".join(with_unit(place, step) for place in one.places)
    return f"{one.joint} at {places} from end 1"


def splice_lines(record: Record, boards: "Iterable[Board]", columns: int) -> list[str]:
    """Return each spliced beam's boards under one another as they hang, to show the distances of
    splices, in `columns` columns."""
    from crewdesk.job.lumber.blanks import boards_to_cut  # only for spliced boards

    every = list(boards)
    found = {(one.row, one.piece): one for one in spliced(record, every)}
    whole = {(one.beam, one.piece): one.length for b in every for one in b.pieces if one.parts == 1}
    lines = []
    for row in dict.fromkeys(row for row, _ in found):
        beam = record.beam(row)
        lines.append(plain(beam.label))
        lies: dict[str, tuple[Fraction, Fraction]] = {}
        for key in boards_to_cut(beam):
            one = found.get((row, key))
            length = whole.get((row, key)) if one is None else one.length
            if length is not None:
                start = start_of(record, row, key) if one is None else one.start
                lies[key] = (start, start + length)
        first = min(start for start, _ in lies.values())
        inches = max(end for _, end in lies.values()) - first
        for key, (start, end) in lies.items():
            one = found.get((row, key))
            text = "" if one is None else f"  {splice_text(one, record.job.step)}"
            before = " " * round((start - first) * columns / inches)
            bar = _bar(one, end - start, inches, columns)
            lines.append(f"  {NAME_OF[key]:<8}{before}{bar}{text}")
    return lines


def _bar(one: Spliced | None, length: Fraction, inches: Fraction, columns: int) -> str:
    wide = max(_LEAST, round(length * columns / inches))
    signs = [SQUARE, *"=" * (wide - 2), SQUARE]
    for place in () if one is None else one.places:
        signs[round(place * (wide - 1) / length)] = SIGN.get(one.joint if one else "", SQUARE)
    return "".join(signs)


def splices_json(record: Record, boards: "Iterable[Board]") -> list[dict[str, Any]]:
    """Return every spliced piece as JSON."""
    step = record.job.step
    return [
        {"name": f"{record.beam(one.row).label} {one.name}", **splice_json(one, step)}
        for one in spliced(record, boards)
    ]


def splice_json(one: Spliced, step: Step) -> dict[str, Any]:
    """Return one piece's splices as JSON: from end 1 of its blank, along the hanging beam, and
    how."""
    return {
        "places": [length_json(place, step) for place in one.places],
        "along": [length_json(place, step) for place in one.along],
        "joint": one.joint,
    }
