"""A beam's boards as they are marked, tried in the room as it was measured."""

from collections.abc import Mapping
from fractions import Fraction

from crewdesk.job.as_built import board_as_cut, flat_as_cut, side_as_cut, side_thickness
from crewdesk.job.beam import Beam
from crewdesk.job.marks import BottomMarks, SideMarks, marks
from crewdesk.job.piece import Piece
from crewdesk.job.readings import Reading
from crewdesk.job.walls import BOTH, comes_in, skew_at, wall_ratio, walls_of
from crewdesk.trade.cuts.board_end import EdgeProfile
from crewdesk.trade.cuts.dry_fit import DryFit, FlatRoom, SideRoom, flat_fit, side_fit
from crewdesk.trade.length import Step, rounded


def dry_fit_of(
    beam: Beam, piece: Piece, step: Step, typed: Mapping[str, Reading] | None = None
) -> DryFit | None:
    """Return how a side or a bottom board fits, as marked to `step` or, where its cut was kept,
    as cut; None for other pieces and until its readings are there, or the slant of its ends is
    known. Raises `Refusal`."""
    if piece.kind == "side":
        return _side(beam, piece, step, typed)
    return _bottom(beam, piece, step, typed) if piece.kind == "bottom" else None


def _side(
    beam: Beam, piece: Piece, step: Step, typed: Mapping[str, Reading] | None
) -> DryFit | None:
    made = marks(beam, piece, typed)
    (run,) = piece.read(("run",), typed)
    if run is None or not isinstance(made, SideMarks) or made.cut is None:
        return None
    ratios = [wall_ratio(beam, piece, end, typed) for end in BOTH]
    assert ratios[0] is not None
    assert ratios[1] is not None
    sign = 1 if piece.key == "A" else -1
    skews = [skew_at(beam, end, typed, piece) for end in BOTH]
    behind = [None if one is None else sign * one for one in skews]
    cut = side_as_cut(beam, piece.key, made.cut)
    assert cut is not None
    return side_fit(
        SideRoom(run.value, (ratios[0], ratios[1]), (behind[0], behind[1])),
        rounded(cut.bottom_length, step.size, "down"),
        (rounded(cut.end1.offset, step.size, "up"), rounded(cut.end2.offset, step.size, "up")),
        cut.height,
        side_thickness(beam, piece.key),
        step.size,
    )


def _bottom(
    beam: Beam, piece: Piece, step: Step, typed: Mapping[str, Reading] | None
) -> DryFit | None:
    made = marks(beam, piece, typed)
    opening, edge_b = piece.read(("opening", "edge_b"), typed)
    if opening is None or not isinstance(made, BottomMarks) or made.cut is None:
        return None
    section, walls = beam.section, walls_of(beam, square=edge_b is None)
    plain, board = made.joints[0] != "relief", board_as_cut(beam, piece.key)
    thick, cut = board.thickness, flat_as_cut(beam, piece.key, made.cut)
    profile = EdgeProfile(thick, thick if plain else section.flat, section.bevel)
    if not all(end.known for end in made.cut.ends):
        return None
    between = beam.boards["bottom"].width + section.fit
    return flat_fit(
        FlatRoom(
            made.cut.rooms,
            (walls[0].comes_in, walls[1].comes_in),
            between,
            (comes_in(beam, 1), comes_in(beam, 2)),
        ),
        (
            rounded(cut.edge_a, step.size, "down"),
            rounded(cut.edge_b, step.size, "down"),
        ),
        rounded(board.width, step.size, "down"),
        profile,
        (made.cut.ends[0].joint == "bevel", made.cut.ends[1].joint == "bevel"),
        section.reveal + Fraction(thick),
    )
