"""Walls out of square: the square's readings and what follows from them."""

from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.measured import a_over_b, slants_of
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.readings import ENDS, Reading, SquareRead, edit_pair
from crewdesk.job.change import Change
from crewdesk.job.cuts.as_built import side_thickness
from crewdesk.job.cuts.walls import behind_side, skew_at
from crewdesk.job.record import Record
from crewdesk.length import exact
from crewdesk.trade.angle import tangent
from crewdesk.trade.cuts.skew import (
    BACK_BEVEL,
    BottomEdges,
    SkewedBoardEnd,
    SkewReading,
    board_ends,
    edges_by,
)
from crewdesk.trade.cuts.sloped_side import Compound, SlopeEnd, compound_end, lean_ratio
from crewdesk.trade.read_length import read_length, read_off


class TypedSquare(NamedTuple):
    """A square's reading at an end as it was typed: gap, leg, and the longer side."""

    end: int
    gap: str
    leg: str
    longer: str


def read_squares(
    record: Record, row: str, typed: tuple[TypedSquare, ...], now: datetime, *, who: str = ""
) -> Change:
    """Return the change that adds readings with the square to a beam; earlier ones stay.

    An end with an empty gap is skipped. Raises `BadInput` and `NotAllowed`.
    """
    beam = record.beam(row)
    taken = {}
    for one in typed:
        if not one.gap.strip():
            continue
        name = f"square{one.end}"
        every = (*beam.pair.squares[name], typed_square(record, one, now, who=who))
        taken[name] = [read.to_doc() for read in every]
    if not taken:
        raise NotAllowed("No gap was typed at either end.")
    made = edit_pair(record.tables, row, taken)
    return Change(f"measured the walls of {beam.label} with the square", (made,), now)


def typed_square(record: Record, one: TypedSquare, now: datetime, *, who: str = "") -> SquareRead:
    """Return the square's reading from typed text; a wall without a gap has no longer side. Raises
    `BadInput` and `NotAllowed`."""
    unit = "mm" if record.job.step.mm else "in"
    gap, longer = read_off(one.gap, unit=unit), one.longer.strip().upper().removeprefix("SIDE ")
    if not longer and gap:
        raise NotAllowed(f"Type which side is the longer at end {one.end}: A or B.")
    reading = SkewReading(
        gap,
        read_length(one.leg, unit=unit),
        longer or "A",  # type: ignore[arg-type]
    )
    return SquareRead(*reading, now, who)


def with_square(beam: Beam, end: int, read: SquareRead) -> Beam:
    """Return the beam with one more reading of the square at an end."""
    name = f"square{end}"
    squares = {name: (*beam.pair.squares[name], read)}
    return beam._replace(pair=beam.pair._replace(**squares))


def ends_in_plan(beam: Beam, piece: Piece) -> tuple[SkewedBoardEnd, ...]:
    """Return how a side's two ends meet the walls in plan, on a slope along it; nothing if no wall
    was measured with the square."""
    skews = beam.pair.skews
    if skews is None or piece.kind != "side":
        return ()
    thick = side_thickness(beam, piece.key)
    found = []
    for one in board_ends(skews, thick, BACK_BEVEL):
        if one.side == piece.key:
            skew = abs(exact(skew_at(beam, one.end, piece=piece) or Fraction(0)))
            if one.long_face == "show":
                skew = exact(behind_side(beam, piece, one.end) or Fraction(0))
            hidden = one.long_face != "show" or exact(tangent(BACK_BEVEL)) >= skew
            found.append(one._replace(by=thick * skew, hidden=hidden))
    return tuple(found)


class CompoundAt(NamedTuple):
    """One board's compound cut at an end: miter and blade tilt together."""

    end: int
    slope_end: SlopeEnd
    cut: Compound


def compound_cuts(
    beam: Beam, piece: Piece, typed: Mapping[str, Reading] | None = None
) -> tuple[CompoundAt, ...]:
    """Return a side's compound cuts, at each end of a sloped beam whose wall the square found out
    of square; `typed` replaces the piece's readings of the record.

    A lean that was not measured counts as plumb. The bottom board's ends are cut as its own
    marks say (`crewdesk.trade.cuts.board_end`). Raises `BadInput`.
    """
    if beam.ceiling != "sloped" or beam.pitch is None or piece.kind != "side":
        return ()
    cuts = []
    for end, name in enumerate(ENDS, 1):
        square = beam.pair.square(end)
        if square is None or square.reading.ratio == 0:
            continue
        (read,) = piece.read((name,), typed)
        lean = Fraction(0) if read is None else lean_ratio(read.end)
        at: SlopeEnd = "low" if beam.low == end else "high"
        made = compound_end(beam.pitch, lean, square.reading.ratio, at)
        cuts.append(CompoundAt(end, at, made.side_a if piece.key == "A" else made.side_b))
    return tuple(cuts)


def bottom_edges(beam: Beam) -> BottomEdges | None:
    """Return the bottom board's two edges, from the square, the sides' lengths or both.
    `crewdesk.job.beams.plausibility` checks whether both agree."""
    if "A" not in beam.pieces or "B" not in beam.pieces:
        return None
    runs = [run.value for key in "AB" if (run := beam.pieces[key].latest("run"))]
    section, across = beam.section, beam.boards["bottom"].width
    if len(runs) < 2:
        if beam.pair.skews is None:
            return None
        slants = sum((one.value for one in slants_of(beam) if one is not None), Fraction(0))
        return edges_by(section.width, across, slants, None)
    # One square alone leaves the other wall to the runs: there is nothing to check them against.
    by_squares = a_over_b(beam)
    per_inch = None if by_squares is None else by_squares.value / section.width
    return edges_by(section.width, across, per_inch, (runs[0], runs[1]))
