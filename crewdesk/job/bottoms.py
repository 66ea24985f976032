"""The bottom board's cut, from what was read between the walls and what the user chose."""

from collections.abc import Mapping

from crewdesk.job.beam import Beam
from crewdesk.job.piece import OwnCut, Piece
from crewdesk.job.readings import Reading
from crewdesk.trade.cuts.bottom_cut import BottomCut, BottomReading, bottom_cut


def cut_of(
    beam: Beam,
    piece: Piece,
    typed: Mapping[str, Reading] | None = None,
    own: OwnCut | None = None,
) -> BottomCut | None:
    """The bottom board's cut, or None until it was read; along one line, or both edges.

    `typed` stands in for readings of the record and `own` for the record's own cut.
    Raises `Refusal`, as where a cut of one's own is over its reading without a reason.
    """
    edge_a, edge_b = piece.read(("opening", "edge_b"), typed)
    if edge_a is None:
        return None
    own = own or piece.own_cut
    return bottom_cut(
        beam.section,
        BottomReading(edge_a.value, None if edge_b is None else edge_b.value),
        board=beam.boards[piece.key],
        wanted=None if own is None else (own.edge_a, own.edge_b),
        reason="" if own is None else own.reason,
    )
