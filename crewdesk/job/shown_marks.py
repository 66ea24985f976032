"""The marks of a piece as they are shown, with those whose cut is asked about again."""

from collections.abc import Mapping
from fractions import Fraction

from crewdesk.job.beam import Beam
from crewdesk.job.changed_cuts import held_cuts
from crewdesk.job.marks import Marks, marks
from crewdesk.job.piece import Piece
from crewdesk.job.readings import Reading
from crewdesk.trade.cuts.cleat import CLEAT


def shown_marks(
    beam: Beam,
    piece: Piece,
    typed: Mapping[str, Reading] | None = None,
    projection: Fraction = CLEAT,
) -> Marks:
    """Return the marks of `marks`, with the figures of cuts that were kept once and wait for an
    answer again in `asked`. Raises `BadInput` as it does."""
    made = marks(beam, piece, typed, projection)
    if not made.kept:
        return made
    asked = frozenset(
        name
        for one in held_cuts(beam)
        if one.spot.piece == piece.key and one.mark.kept is not None
        for name in one.cut.figures
    )
    return made._replace(asked=asked) if asked else made
