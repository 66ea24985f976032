"""A side tried in its room by itself."""

from contextlib import suppress
from fractions import Fraction

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.forms import check_thickness
from crewdesk.job.beams.pair import Pair, SquareRead
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.as_built import (
    built_figure,
    cut_with,
    side_as_cut,
    side_thickness,
)
from crewdesk.job.cuts.cut_figures import AsCut
from crewdesk.job.cuts.walls import BOTH, behind_side, side_cut_of, wall_ratio
from crewdesk.length import Length, Step, exact, rounded
from crewdesk.trade.angle import tangent, times
from crewdesk.trade.cuts.dry_fit import BackCut, DryFit, SideRoom, side_fit
from crewdesk.trade.cuts.side_board import End
from crewdesk.trade.cuts.skew import BACK_BEVEL


def side_fit_of(beam: Beam, piece: Piece, step: Step) -> DryFit | None:
    """Return how a side fits by itself, its lengths rounded to `step`; None until it is
    measured. Where it was kept as cut it is that board. Raises `BadInput`."""
    check_thickness(beam.form.id, beam.section)
    run, made = piece.latest("run"), side_cut_of(beam, piece)
    cut = None if made is None else side_as_cut(beam, piece.key, made)
    first, second = (wall_ratio(beam, piece, end) for end in BOTH)
    if run is None or cut is None or first is None or second is None:
        return None
    behind1, behind2 = (behind_side(beam, piece, end) for end in BOTH)
    back1, back2 = (_back_as_cut(beam, piece, end, step) for end in BOTH)
    return side_fit(
        SideRoom(run.value, (first, second), (behind1, behind2)),
        rounded(cut.bottom_length, step.size, "down"),
        (rounded(cut.end1.offset, step.size, "up"), rounded(cut.end2.offset, step.size, "up")),
        cut.height,
        side_thickness(beam, piece.key),
        step.size,
        alone="top" not in beam.pieces,
        backs=(back1, back2),
    )


def _back_as_cut(beam: Beam, piece: Piece, end: End, step: Step) -> BackCut | None:
    """What the back of an end lost to the back bevel that was cut; None where none was cut yet.

    The part below the bevel was pared only where the wall of that time asked for it, as much as
    was shown: rounded up to `step`.
    """
    name = f"bevel{end}_deg"
    made, degrees = cut_with(beam, piece.key, name), built_figure(beam, piece.key, name)
    if made is None or degrees is None:
        return None
    thick = side_thickness(beam, piece.key)
    above = times(thick, tangent(degrees))
    below: Length = Fraction(0)
    if degrees and (square := _square_then(made, end)) is not None:
        then = beam._replace(pair=Pair(beam.pair.ceilings, **{f"square{end}": (square,)}))
        asked = max(Fraction(0), exact(behind_side(then, piece, end) or 0)) * thick
        below = rounded(asked, step.size, "up")
        if asked and degrees > BACK_BEVEL:
            below = max(below, above)
    return BackCut(below, max(below, above))


def _square_then(made: AsCut, end: End) -> SquareRead | None:
    """The square's reading at an end that a cut was made by; None where none can be read there."""
    with suppress(CrewdeskError, LookupError, TypeError):
        return SquareRead.from_doc(made.readings[f"square{end}"])
    return None
