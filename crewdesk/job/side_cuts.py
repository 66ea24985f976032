"""The cut of a side board, flat or on a slope."""

from collections.abc import Mapping
from fractions import Fraction

from crewdesk.job.as_built import board_as_cut, height_as_cut
from crewdesk.job.beam import Beam
from crewdesk.job.piece import Piece
from crewdesk.job.readings import ENDS, Reading
from crewdesk.job.ridge_line import check_ridge
from crewdesk.job.walls import slope_end
from crewdesk.trade.cuts.pitch import Pitch, slope
from crewdesk.trade.cuts.side_board import EndCut, SideCut, side_cut
from crewdesk.trade.cuts.sloped_side import IntoRidge, SlopedSide, at_ridge_face, sloped_side


def side_cut_of(
    beam: Beam, piece: Piece, typed: Mapping[str, Reading] | None = None
) -> SideCut | None:
    """Return the cut of a side; None until its run and both ends are measured, and the pitch
    where the beam is sloped: its run was then measured along the slope. It is as wide as it was
    ripped. That of the record is worked out once. Raises `BadInput`."""
    if typed is None and beam.pieces.get(piece.key) is piece:
        return beam.once(f"cut of {piece.key}", lambda: _side_cut_of(beam, piece, None))
    return _side_cut_of(beam, piece, typed)


def _side_cut_of(beam: Beam, piece: Piece, typed: Mapping[str, Reading] | None) -> SideCut | None:
    run, end1, end2 = piece.read(("run", *ENDS), typed)
    if run is None or end1 is None or end2 is None:
        return None
    check_ridge(beam)
    height: Fraction = board_as_cut(beam, piece.key).width
    if beam.ceiling != "sloped":
        return side_cut(run.value, height, end1.end, end2.end)
    if beam.pitch is None:
        return None
    made = sloped(beam, beam.pitch, height, run, end1, end2)
    ends = (made.low, made.high) if slope_end(beam, 1) == "low" else (made.high, made.low)
    first, second = (EndCut(end.offset, end.angle_deg) for end in ends)
    return SideCut(height, made.bottom_length, made.top_length, made.blank, first, second)


def sloped(
    beam: Beam, pitch: Pitch, height: Fraction, run: Reading, end1: Reading, end2: Reading
) -> SlopedSide:
    """Return a side of a sloped beam; raises `BadInput`."""
    readings = (end1.end, end2.end)
    low, high = readings if beam.low == 1 else readings[::-1]
    return sloped_side(slope(pitch, length=run.value), height, low, high)


def at_ridge(
    beam: Beam, piece: Piece, typed: Mapping[str, Reading] | None = None
) -> IntoRidge | None:
    """Return how a sloped side meets the ridge beam it dies into, or None where it meets none
    or is not measured yet. Raises `BadInput`."""
    if piece.kind != "side" or beam.ceiling != "sloped":
        return None
    run, end1, end2 = piece.read(("run", *ENDS), typed)
    if not (beam.pitch and beam.ridge_side and run and end1 and end2):
        return None
    side = sloped(beam, beam.pitch, height_as_cut(beam, piece.key), run, end1, end2)
    return at_ridge_face(side, beam.ridge_side)
