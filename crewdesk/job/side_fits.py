"""A side tried in its room by itself."""

from crewdesk.job.as_built import side_as_cut, side_thickness
from crewdesk.job.beam import Beam
from crewdesk.job.marks import SideMarks
from crewdesk.job.piece import Piece
from crewdesk.job.walls import BOTH, skew_at, wall_ratio
from crewdesk.length import Step, rounded
from crewdesk.trade.cuts.dry_fit import DryFit, SideRoom, side_fit


def side_fit_of(beam: Beam, piece: Piece, made: SideMarks, step: Step) -> DryFit | None:
    """Return how a side fits by itself, its lengths rounded to `step`; None until it is
    measured. `made` are its marks; where it was kept as cut it is that board."""
    run = piece.latest("run")
    cut = None if made.cut is None else side_as_cut(beam, piece.key, made.cut)
    first, second = (wall_ratio(beam, piece, end) for end in BOTH)
    if run is None or cut is None or first is None or second is None:
        return None
    sign = 1 if piece.key == "A" else -1
    skews = [skew_at(beam, end, None, piece) for end in BOTH]
    behind = [None if one is None else sign * one for one in skews]
    return side_fit(
        SideRoom(run.value, (first, second), (behind[0], behind[1])),
        rounded(cut.bottom_length, step.size, "down"),
        (rounded(cut.end1.offset, step.size, "up"), rounded(cut.end2.offset, step.size, "up")),
        cut.height,
        side_thickness(beam, piece.key),
        step.size,
        alone="top" not in beam.pieces,
    )
