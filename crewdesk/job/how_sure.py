"""How far each mark of a side can be off, by what its readings were read to."""

from collections.abc import Mapping
from fractions import Fraction

from crewdesk.job.beam import Beam
from crewdesk.job.piece import Piece
from crewdesk.job.readings import ENDS, Reading
from crewdesk.trade.cuts.side_board import EndReading, side_cut
from crewdesk.trade.cuts.sureness import (
    SideSureness,
    Steps,
    short_level,
    side_sureness,
    sloped_offset_off,
)
from crewdesk.trade.length import exact


def how_sure(
    beam: Beam, piece: Piece, typed: Mapping[str, Reading] | None = None
) -> SideSureness | None:
    """The worst case of every mark of a side, or None until all of its readings are there.

    `typed` stands in for readings of the record, as in `marks`. Raises `Refusal`.
    """
    if piece.kind != "side":
        return None
    run, end1, end2 = piece.read(("run", *ENDS), typed)
    if run is None or end1 is None or end2 is None:
        return None
    steps = Steps(tape=run.read_to, gap=max(end1.read_to, end2.read_to))
    height = beam.height(piece.key)
    if beam.ceiling != "sloped":
        cut = side_cut(run.value, height, end1.end, end2.end)
        return side_sureness(cut, end1.end, end2.end, steps)
    return _sloped(beam, height, (end1.end, end2.end), steps)


def _sloped(
    beam: Beam, height: Fraction, ends: tuple[EndReading, EndReading], steps: Steps
) -> SideSureness | None:
    """A sloped side's: its pitch is taken as told, its blank as off by all that its ends are."""
    if beam.pitch is None:
        return None
    offsets = [
        exact(
            sloped_offset_off(
                beam.pitch, reading, height, "low" if beam.low == end else "high", steps=steps
            )
        )
        for end, reading in enumerate(ends, 1)
    ]
    run = steps.tape / 2
    cautions = (one for e, r in enumerate(ends, 1) for one in short_level(e, r, height, steps))
    whole = run + offsets[0] + offsets[1]
    return SideSureness(run, whole, whole, offsets[0], offsets[1], tuple(cautions))
