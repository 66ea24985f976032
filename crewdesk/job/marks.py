"""The marks of a piece, from its beam's section and its readings."""

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from crewdesk.job.beam import Beam
from crewdesk.job.bottoms import cut_of
from crewdesk.job.piece import Piece
from crewdesk.job.readings import ENDS, Reading
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.cuts.pitch import Pitch, slope
from crewdesk.trade.cuts.section import cleat_line
from crewdesk.trade.cuts.side_board import EndCut, SideCut, side_cut
from crewdesk.trade.cuts.sloped_side import (
    IntoRidge,
    SlopedSide,
    at_ridge_face,
    sloped_side,
)
from crewdesk.trade.length import Length


class SideMarks(NamedTuple):
    """A side board's marks; `height` at its show face, `back_height` at its back, whose
    top edge is tilted by `top_blade` along a ridge and square else; `blade` is the tilt
    for a mitred bottom edge, 0 where it is square; `cleat_line` is None where there are
    no cleats; `cut` is None until all of its readings are there, and the pitch where the
    beam is sloped."""

    height: Fraction
    blade: Fraction
    cleat_line: Fraction | None
    cut: SideCut | None
    back_height: Length
    top_blade: Fraction


class BottomMarks(NamedTuple):
    """A bottom board's marks; `cut` is None until it was read between the walls."""

    width: Fraction
    back_width: Length
    flat: Fraction
    bevel: Fraction
    cut: BottomCut | None = None
    own: bool = False

    @property
    def length(self) -> Fraction | None:
        """The longer edge, in inches: what the board is cut from."""
        return None if self.cut is None else max(self.cut.edge_a, self.cut.edge_b)


class CleatMarks(NamedTuple):
    """Two cleats, to be fixed with their lower edge at `line`; `lengths` follow the runs."""

    line: Fraction
    lengths: tuple[Fraction | None, ...]


Marks = SideMarks | BottomMarks | CleatMarks


def marks(beam: Beam, piece: Piece, typed: dict[str, Reading] | None = None) -> Marks:
    """The marks of one piece.

    `typed` stands in for readings of the record, by name, so that a cut can be seen
    before anything is saved. Raises `Refusal` where the readings make no board.
    """
    section = beam.section

    if piece.kind != "cleats":
        board = beam.boards[piece.key]
    if piece.kind == "side":
        run, end1, end2 = piece.read(("run", *ENDS), typed)
        cut = _side_cut(beam, board.width, run, end1, end2) if run and end1 and end2 else None
        line = cleat_line(section) if "cleats" in piece.traits else None
        tilted = board.second_blade if board.second_edge == "scribed" else Fraction(0)
        return SideMarks(board.width, board.first_blade, line, cut, board.back_width, tilted)
    if piece.kind == "bottom":
        made = cut_of(beam, piece, typed)
        flat = section.flat if board.first_edge == "relief" else Fraction(0)
        return BottomMarks(
            board.width, board.back_width, flat, board.first_blade, made, piece.own_cut is not None
        )
    if piece.kind == "top":
        return BottomMarks(board.width, board.back_width, Fraction(0), board.first_blade)
    sides = [one for one in beam.pieces.values() if one.kind == "side"]
    runs = tuple(run.value if (run := one.latest("run")) else None for one in sides)
    return CleatMarks(cleat_line(section), runs)


def _side_cut(
    beam: Beam, height: Fraction, run: Reading, end1: Reading, end2: Reading
) -> SideCut | None:
    """The cut of a side; on a sloped beam the run was read along the slope."""
    if beam.ceiling != "sloped":
        return side_cut(run.value, height, end1.end, end2.end)
    if beam.pitch is None:
        return None
    made = sloped(beam, beam.pitch, height, run, end1, end2)
    ends = (made.low, made.high) if beam.low == 1 else (made.high, made.low)
    first, second = (EndCut(end.offset, end.angle_deg) for end in ends)
    return SideCut(height, made.bottom_length, made.top_length, made.blank, first, second)


def sloped(
    beam: Beam, pitch: Pitch, height: Fraction, run: Reading, end1: Reading, end2: Reading
) -> SlopedSide:
    """A side of a sloped beam as the trade tells it; raises `Refusal`."""
    readings = (end1.end, end2.end)
    low, high = readings if beam.low == 1 else readings[::-1]
    return sloped_side(slope(pitch, length=run.value), height, low, high)


def at_ridge(
    beam: Beam, piece: Piece, typed: Mapping[str, Reading] | None = None
) -> IntoRidge | None:
    """How a sloped side meets the ridge beam it dies into, or None where it meets none or
    is not read yet. Raises `Refusal`."""
    if piece.kind != "side" or beam.ceiling != "sloped":
        return None
    run, end1, end2 = piece.read(("run", *ENDS), typed)
    if not (beam.pitch and beam.ridge_side and run and end1 and end2):
        return None
    side = sloped(beam, beam.pitch, beam.height(piece.key), run, end1, end2)
    return at_ridge_face(side, beam.ridge_side)
