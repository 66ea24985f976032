"""The ends of bottom boards and sides as a saw's settings need them."""

import math
from fractions import Fraction
from typing import NamedTuple

from crewdesk.job.beam import Beam
from crewdesk.job.bevel_settings import BackRelief
from crewdesk.job.piece import Piece
from crewdesk.trade.angle import arctangent
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.length import Length, exact


class BoardEnd(NamedTuple):
    """An end of a bottom or top board (see `EndOfBoard`)."""

    end: int
    known: bool
    offset: Length | None
    miter_deg: Length | None
    joint: str
    blade_deg: Length
    flat: Length
    back_short: Length


def ends_of(beam: Beam, piece: Piece, cut: BottomCut) -> tuple[BoardEnd, BoardEnd]:
    """Both ends of a bottom or top board."""
    relief = piece.kind == "bottom" and beam.boards[piece.key].first_edge == "relief"
    squares = [beam.pair.square(1), beam.pair.square(2)]
    apart = cut.edge_a - cut.edge_b
    ratios = [None if one is None else one.reading.ratio for one in squares]
    offsets: list[Fraction | None] = [None if r is None else r * cut.width for r in ratios]
    if offsets[0] is not None and offsets[1] is not None:
        off = (apart - offsets[0] - offsets[1]) / 2
        offsets = [offsets[0] + off, offsets[1] + off]
    elif offsets[0] is not None:
        offsets[1] = apart - offsets[0]
    elif offsets[1] is not None:
        offsets[0] = apart - offsets[1]
    elif not apart:
        offsets = [Fraction(0), Fraction(0)]
    first, second = (
        BoardEnd(
            end,
            ratios[end - 1] is not None,
            offset,
            None if offset is None else arctangent(abs(offset) / cut.width),
            "relief" if relief else "square",
            cut.bevel_deg if relief else Fraction(0),
            cut.flat,
            cut.relief,
        )
        for end, offset in enumerate(offsets, 1)
    )
    return first, second


def back_reliefs(beam: Beam, piece: Piece) -> tuple[BackRelief, ...]:
    """The ends of a side whose back must be relieved: those where its show face has more
    room than its back, by thickness x the wall's slant."""
    found = []
    for end in (1, 2):
        square = beam.pair.square(end)
        ratio = Fraction(0) if square is None else square.reading.ratio
        ratio = ratio if piece.key == "A" else -ratio
        if ratio > 0:
            by = exact(beam.section.side_thickness * ratio)
            found.append(BackRelief(end, by, math.degrees(math.atan(ratio))))
    return tuple(found)
