"""A beam's two walls: where they are, a side's cut between them, and a side tried in that room
alone."""

import math
from collections.abc import Mapping
from contextlib import suppress
from fractions import Fraction

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams.beam import Beam, check_ridge
from crewdesk.job.beams.forms import check_thickness
from crewdesk.job.beams.measured import BOTH, ZERO, side_twist_of, slants_of
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.readings import ENDS, Pair, Reading, SquareRead
from crewdesk.job.cuts.as_built import (
    board_as_cut,
    built_figure,
    cut_with,
    height_as_cut,
    side_as_cut,
    side_thickness,
)
from crewdesk.job.cuts.cut_figures import AsCut
from crewdesk.length import Length, Step, exact, rounded
from crewdesk.trade.angle import tangent, times
from crewdesk.trade.cuts.board_end import WallAt
from crewdesk.trade.cuts.dry_fit import BackCut, DryFit, SideRoom, side_fit
from crewdesk.trade.cuts.pitch import Pitch, slope
from crewdesk.trade.cuts.side_board import End, EndCut, SideCut, side_cut
from crewdesk.trade.cuts.skew import BACK_BEVEL
from crewdesk.trade.cuts.sloped_side import (
    IntoRidge,
    SlopedSide,
    SlopeEnd,
    at_ridge_face,
    end_ratio,
    lean_ratio,
    sloped_side,
)

_NONE = Fraction(0)


def slope_end(beam: Beam, end: int) -> SlopeEnd:
    """Return whether an end of a sloped beam is its low or its high one."""
    return "low" if beam.low == end else "high"


def wall_ratio(
    beam: Beam, piece: Piece, end: int, typed: Mapping[str, Reading] | None = None
) -> Length | None:
    """Return how far the wall at an end comes in per inch up a side, square to its bottom edge; or
    None if that end was not measured. On a slope a plumb wall comes in by the pitch at the low end
    and goes away by it at the high end. Raises `BadInput`."""
    (read,) = piece.read((ENDS[end - 1],), typed)
    if read is None:
        return None
    lean = lean_ratio(read.end)
    if beam.ceiling != "sloped" or beam.pitch is None:
        return lean
    return end_ratio(beam.pitch, lean, slope_end(beam, end))


def comes_in(beam: Beam, end: int) -> Length:
    """Return the most that the wall at an end comes in per inch up, over both sides; a wall
    that was not measured counts as plumb. Raises `BadInput`."""
    sides = [one for one in beam.pieces.values() if one.kind == "side"]
    known = [one for side in sides if (one := wall_ratio(beam, side, end)) is not None]
    if known:
        return max(known)
    if beam.ceiling == "sloped" and beam.pitch is not None:
        return end_ratio(beam.pitch, _NONE, slope_end(beam, end))
    return _NONE


def skew_at(
    beam: Beam, end: int, typed: Mapping[str, Reading] | None = None, piece: Piece | None = None
) -> Length | None:
    """Return how much farther side A reaches per inch across at an end, along the beam; or None if
    no square was held there.

    On a slope of angle h the wall's plane, normal (1, s, -a), meets the board along a line
    whose tangent off square is s / (cos h - a sin h), h negative at the high end.
    """
    square = beam.pair.square(end)
    if square is None:
        return None
    skew = square.reading.ratio
    if beam.ceiling != "sloped" or beam.pitch is None or not skew:
        return skew
    sides = [piece] if piece else [one for one in beam.pieces.values() if one.kind == "side"]
    reads = [read for one in sides for read in one.read((ENDS[end - 1],), typed) if read]
    lean = sum((lean_ratio(one.end) for one in reads), _NONE) / max(1, len(reads))
    low = slope_end(beam, end) == "low"
    slope = math.radians(beam.pitch.degrees if low else -beam.pitch.degrees)
    return float(skew) / (math.cos(slope) - float(lean) * math.sin(slope))


def behind_side(
    beam: Beam, piece: Piece, end: End, typed: Mapping[str, Reading] | None = None
) -> Length | None:
    """Return how far the wall at an end comes in per inch behind a side's show face, at its bottom
    or upper edge, whichever is more: a wall with another lean at the other side is twisted. None
    without a square's reading. Raises `BadInput`."""
    skew = skew_at(beam, end, typed, piece)
    if skew is None:
        return None
    way = 1 if piece.key == "A" else -1
    return way * skew + max(_NONE, way * side_twist_of(beam, piece, end, typed).value)


def walls_of(beam: Beam, *, square: bool = False) -> tuple[WallAt, WallAt]:
    """Return both walls in the bottom board's own frame. square: count a wall without a reading as
    square. Raises `BadInput`.

    A bottom tilted by t with edge A the lower goes up by sin t per inch across and its back
    leans toward edge A: a wall x = s y + l z meets it as s cos t + l sin t across and comes in
    by l cos t - s sin t behind its show face.
    """
    tilt = math.radians(beam.boards["bottom"].tilt)
    first, second = (
        _wall_at(beam, end, tilt, ZERO if slant is None else slant.off, square=square)
        for end, slant in zip(BOTH, slants_of(beam), strict=True)
    )
    return first, second


def _wall_at(beam: Beam, end: int, tilt: float, off: Fraction, *, square: bool) -> WallAt:
    lean, skew = comes_in(beam, end), skew_at(beam, end)
    if not tilt:
        return WallAt(lean, skew, off)
    across = float(skew or 0) * math.cos(tilt) + float(lean) * math.sin(tilt)
    known = skew is not None or square
    behind = float(lean) * math.cos(tilt) - float(skew or 0) * math.sin(tilt)
    return WallAt(behind, across if known else None, off)


def side_cut_of(
    beam: Beam, piece: Piece, typed: Mapping[str, Reading] | None = None
) -> SideCut | None:
    """Return the cut of a side; None until its run, both ends and, if sloped, the pitch are
    measured; a sloped run is measured along the slope. The side has its width as ripped. The
    record's cut is computed once. Raises `BadInput`."""
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
    """Return how a sloped side meets the ridge beam it dies into, or None if it meets none or is
    not measured yet. Raises `BadInput`."""
    if piece.kind != "side" or beam.ceiling != "sloped":
        return None
    run, end1, end2 = piece.read(("run", *ENDS), typed)
    if not (beam.pitch and beam.ridge_side and run and end1 and end2):
        return None
    side = sloped(beam, beam.pitch, height_as_cut(beam, piece.key), run, end1, end2)
    return at_ridge_face(side, beam.ridge_side)


def side_fit_of(beam: Beam, piece: Piece, step: Step) -> DryFit | None:
    """Return how a side fits by itself, its lengths rounded to `step`; None until measured. A kept
    side is tried as cut. Raises `BadInput`."""
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
    """Return what an end's back lost to its back bevel; None if none was cut.

    The part below the bevel was pared only if the wall required it, by the shown amount: rounded up
    to `step`.
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
    """Return the square's reading at an end that a cut was made by; None if there is none."""
    with suppress(CrewdeskError, LookupError, TypeError):
        return SquareRead.from_doc(made.readings[f"square{end}"])
    return None
