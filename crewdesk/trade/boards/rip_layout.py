"""A rip plan's answer laid out: every board with its pieces and cleats in place."""

from dataclasses import replace
from fractions import Fraction

from crewdesk.trade.boards.contents import contents
from crewdesk.trade.boards.problem import Layout
from crewdesk.trade.boards.rip_model import RipModel, WidePiece, side_by_side
from crewdesk.trade.boards.rip_stock import First, Placed, RipBoard, Saws
from crewdesk.trade.boards.ripping import clear_width

CLEAT = "cleat"

_Part = tuple[Fraction, WidePiece | None]
"""A width in a section, and the piece in it; None for a cleat."""
_Section = tuple[Fraction, list[_Part]]
"""A section's length and what lies side by side in it, the widest first."""


def lay_out(
    model: RipModel, layout: Layout, saws: Saws, cleats_wanted: Fraction
) -> tuple[RipBoard, ...]:
    """Return every board of a layout, widest and longest first.

    A strip is only as wide as what comes from it, and a section only as long. A board that
    is crosscut first is ripped first instead where its pieces lie in strips all the same.
    No more cleats are ripped than are wanted.
    """
    waiting = contents(model.problem, layout, [list(pieces) for pieces in model.pieces])
    boards: list[RipBoard] = []
    for number, times in enumerate(layout.boards):
        along = model.stock[number].length - 2 * saws.crosscut.end_trim
        for _ in range(times):
            strips = []
            for width in model.way[number]:
                here = waiting[model.strip[along, width]]
                strips.append((width, _sections(model, here.pop() if here else [])))
            boards.append(_Laying(model, number, saws).board(strips))
    boards = _without_needless(boards, cleats_wanted)
    boards.sort(key=lambda b: (-b.width, -b.length, b.stock, [p.name for p in b.pieces]))
    return tuple(boards)


def _sections(model: RipModel, cuts: list[tuple[int, list[WidePiece]]]) -> list[_Section]:
    """A strip's sections, the longest first; a width that no piece needs is left out."""
    made: list[_Section] = []
    for cut, pieces in cuts:
        section, left = model.section[cut], list(pieces)
        parts: list[_Part] = []
        for width in section.way:
            if width == model.cleat:
                parts.append((width, None))
            elif (piece := next((p for p in left if p.width == width), None)) is not None:
                left.remove(piece)
                parts.append((width, piece))
        if parts:
            made.append((section.length, parts))
    return sorted(made, key=lambda one: -one[0])


class _Laying:
    """One board, its pieces laid one after another."""

    def __init__(self, model: RipModel, number: int, saws: Saws) -> None:
        self.model, self.saws = model, saws
        self.stock, self.uncut = model.stock[number], number in model.uncut
        self.pieces: list[Placed] = []
        self.cleats: list[Placed] = []

    def board(self, strips: list[tuple[Fraction, list[_Section]]]) -> RipBoard:
        """Lay every strip of the board."""
        first: First = "rip"
        if self.uncut:
            sections = strips[0][1]
            slots = self._slots(sections)
            first = "crosscut" if slots is None else "rip"
            strips = [(Fraction(0), sections)] if slots is None else slots
        near = self.saws.rip.edge_trim
        for width, sections in strips:
            near = self._strip(near, width, sections)
        return RipBoard(
            self.stock.name,
            self.stock.width,
            self.stock.length,
            self.stock.price,
            first,
            tuple(self.pieces),
            tuple(self.cleats),
        )

    def _slots(self, sections: list[_Section]) -> list[tuple[Fraction, list[_Section]]] | None:
        """Sections across the board as strips along it; None where they are too wide for
        that, or where boards may not be ripped first."""
        kerf = self.saws.rip.kerf
        widest = side_by_side(tuple(width for width, _ in parts) for _, parts in sections)
        room = clear_width(self.stock.width, self.saws.rip)
        if "rip" not in self.saws.first or sum(widest, kerf * (len(widest) - 1)) > room:
            return None
        return [
            (
                width,
                [(length, parts[place : place + 1]) for length, parts in sections
                 if place < len(parts)],
            )
            for place, width in enumerate(widest)
        ]  # fmt: skip

    def _strip(self, near: Fraction, width: Fraction, sections: list[_Section]) -> Fraction:
        """Lay a strip's sections from an edge on; return where the next strip begins."""
        trim, kerf = self.saws.crosscut.end_trim, self.saws.rip.kerf
        if sections and width == self.model.cleat:
            end = self.stock.length - trim
            self.cleats.append(Placed(CLEAT, trim, end, near, near + width))
            return near + width + kerf
        at, after = trim, near
        for length, parts in sections:
            edge, end = near, at
            for wide, piece in parts:
                long = length if piece is None else piece.length
                name = CLEAT if piece is None else piece.name
                placed = Placed(name, at, at + long, edge, edge + wide)
                (self.cleats if piece is None else self.pieces).append(placed)
                edge, end = edge + wide + kerf, max(end, at + long)
            at, after = end + self.saws.crosscut.kerf, max(after, edge)
        return after


def _without_needless(boards: list[RipBoard], wanted: Fraction) -> list[RipBoard]:
    """Leave out the cleats that nobody wants: first on boards without pieces, then the
    shortest and the outermost. A board that is left with nothing is left out too."""
    spare = sum((c.end - c.start for b in boards for c in b.cleats), -wanted)
    every = sorted(
        (bool(board.pieces), cleat.end - cleat.start, -cleat.near, number, place)
        for number, board in enumerate(boards)
        for place, cleat in enumerate(board.cleats)
    )
    gone: set[tuple[int, int]] = set()
    for _, long, _, number, place in every:
        if long <= spare:
            spare -= long
            gone.add((number, place))
    left = (
        replace(
            board,
            cleats=tuple(c for place, c in enumerate(board.cleats) if (number, place) not in gone),
        )
        for number, board in enumerate(boards)
    )
    return [board for board in left if board.pieces or board.cleats]
