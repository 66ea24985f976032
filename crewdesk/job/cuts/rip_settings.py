"""The table saw's settings to rip a board: a square rip to width, then the tilted passes."""

from collections.abc import Mapping
from fractions import Fraction

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.as_built import cleat_height
from crewdesk.job.cuts.cut import (
    BLADE,
    BY_HAND,
    EDGE_BEVEL,
    SAW_TILTS_AT_MOST,
    Cut,
    Lies,
    Part,
    in_words,
    leaves_flat,
    too_steep,
)
from crewdesk.length import Step, exact, rounded
from crewdesk.trade.angle import tangent, times
from crewdesk.trade.cuts.forms import FormBoard
from crewdesk.trade.cuts.saw_passes import TiltedEdge, fence_side, flat_left
from crewdesk.trade.cuts.shop_machine import ShopMachine

TABLE_SAW = "table saw"
FENCE, AT_TABLE = "fence", "fence at the table"
SQUARE_RIP = "square rip to width"
_NAMES = {
    "side": ("bottom edge", "top edge"),
    "bottom": ("edge A", "edge B"),
    "top": ("edge A", "edge B"),
}
_SHARP = "The edge cut first is sharp at the table: leave no gap under the fence."
_LEANS_OVER = (
    "! The board is under the blade, between it and the fence, and can bind and kick back: use "
    "a push block and stand aside, or choose the narrower face in Business settings."
)


def rip_cuts(beam: Beam, piece: Piece, machine: ShopMachine, step: Step) -> tuple[Cut, ...]:
    """Return the cuts that rip a side, bottom or top, in order; raises `BadInput`.

    A board with one tilted edge has a square one to run along the fence, so one tilted pass brings
    it to width. If both edges are tilted, the board is first ripped square to its width, and each
    tilted pass then leaves that width alone. A bottom or top goes between other boards, so its
    width is never set over; a side is ripped to its rough width.
    """
    board = beam.boards[piece.key]
    edges = _tilted_edges(beam, piece, board)
    between = piece.kind != "side"
    if not edges:
        return (square_rip(board.width, between=between),)
    if any(edge.blade > SAW_TILTS_AT_MOST for edge in edges.values()):
        return _steep(piece, board, edges)
    if len(edges) == 1 and not between:
        return (_pass(piece, board, edges, machine, step, alone=True),)
    square = square_rip(board.width, between=between)
    passes = [{at: edge} for at, edge in edges.items()]
    if len({(_joint(piece, board, at, edge), edge) for at, edge in edges.items()}) == 1:
        passes = [edges]
    tilted = (
        _pass(piece, board, one, machine, step, before=before) for before, one in enumerate(passes)
    )
    return (square, *tilted)


def _steep(piece: Piece, board: FormBoard, edges: Mapping[int, TiltedEdge]) -> tuple[Cut, ...]:
    """Return the cuts of a side whose top edge is steeper than the saw tilts: ripped square to its
    back's width, then beveled by hand, or on edge at the complement of the angle."""
    at, edge = next(iter(edges.items()))
    parts = (
        Part(EDGE_BEVEL, edge.blade),
        Part("show face narrower by", times(edge.thickness, tangent(edge.blade))),
    )
    notes = (
        "Mark the show face that much in from the edge and plane or saw from there to the back's "
        f"corner. Or stand the board on this edge along a tall fence: blade tilt "
        f"{float(90 - edge.blade):.2f}\u00b0, back against the fence.",
        f"! {too_steep(edge.blade)} Clamp the board; a board on edge needs a tall fence, "
        "featherboards and the guard.",
    )
    name = f"steep bevel, {_NAMES[piece.kind][at]}"
    return (
        square_rip(exact(board.back_width)),
        Cut(BY_HAND, parts, name, notes=notes, turn=2),
    )


def square_rip(width: Fraction, *, between: bool = False) -> Cut:
    """Return a rip with the blade square; `between` if the board must go in between others."""
    fence = Part(FENCE, width, "down" if between else "near")
    return Cut(TABLE_SAW, (Part(BLADE, Fraction(0)), fence), SQUARE_RIP, lies=Lies("front"))


def cleat_cut(beam: Beam, projection: Fraction, step: Step) -> Cut:
    """Return the rip of the cleats, which reach `projection` inches from their side."""
    thick = in_words(cleat_height(beam), step)
    note = (
        f"The sawn face goes against the side; the stock's own {thick} goes up the side. "
        "Hold the strips with featherboards."
    )
    return square_rip(projection)._replace(notes=(note,))


def _tilted_edges(beam: Beam, piece: Piece, board: FormBoard) -> dict[int, TiltedEdge]:
    """Return the edges that the blade is tilted for, 0 the first and 1 the second; an edge whose
    flat is the whole thickness needs no cut."""
    edges = {}
    of_board = ((board.first_edge, board.first_blade), (board.second_edge, board.second_blade))
    for at, (joint, blade) in enumerate(of_board):
        ridge = piece.kind == "side" and joint == "scribed"
        flat = beam.section.flat if piece.kind != "side" and joint != "mitre" else Fraction(0)
        if blade and flat < board.thickness:
            edges[at] = TiltedEdge(board.thickness, blade, flat, ridge)
    return edges


def _joint(piece: Piece, board: FormBoard, at: int, edge: TiltedEdge) -> str:
    joint = (board.first_edge, board.second_edge)[at]
    if joint == "mitre":
        return "miter"
    if piece.kind == "side":
        return "bevel"
    return "relief bevel" if edge.flat else "relief bevel to a knife edge"


def _pass(
    piece: Piece,
    board: FormBoard,
    edges: Mapping[int, TiltedEdge],
    machine: ShopMachine,
    step: Step,
    *,
    before: int = 0,
    alone: bool = False,
) -> Cut:
    """Return one tilted pass over the edge or both edges of one setting.

    before: number of earlier tilted passes. alone: whether there was no square rip either. Square
    rips of other boards come before any tilted one. A bottom's or top's passes start from its
    ripped width.
    """
    at, edge = next(iter(edges.items()))
    names = _NAMES[piece.kind]
    where, how = names[at], f"{names[1 - at]} along the fence"
    if len(edges) == 2:
        where, how = "both edges", "one edge, then the board turned end for end"
    down = machine.down(edge)
    away = edge.leans_away(down)
    side = fence_side(machine.tilts, away=away)
    leans = "away from" if away else "toward"
    face = "Back" if down == "back" else "Show face"
    notes = [f"{face} down, {how}. The blade leans {leans} the fence."]
    set_to = board.width if piece.kind == "side" else rounded(board.width, step.size, "down")
    # Never into the show face: a board that was ripped to its width keeps it in this pass.
    fence = Part(AT_TABLE, edge.at_table(set_to, down), "near" if alone else "up")
    figures: tuple[str, ...] = ()
    if edge.flat:
        takes = times(edge.thickness - edge.flat, tangent(edge.blade))
        past = fence.as_set(step)[0] - exact(fence.value)
        left = flat_left(edge.flat, edge.blade, past, takes)
        figures = (leaves_flat(left, step),)
        notes += figures
    elif down == "show" and (len(edges) == 2 or before):
        notes.append(_SHARP)
    if not away:
        notes.append(_LEANS_OVER)
    if alone:
        notes.append("No square rip for these first: this one pass makes the width.")
    parts = (Part(BLADE, edge.blade), fence)
    name = f"{_joint(piece, board, at, edge)}, {where}"
    placed = f"fence {side} of the blade"
    lies = Lies("front", side, machine.tilts, down, whole=alone)
    made = Cut(TABLE_SAW, parts, name, placed, tuple(notes), 2 + before, figures=figures)
    return made._replace(lies=lies)
