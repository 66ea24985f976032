"""What walls that aren't square in plan ask of a board, in lines."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.in_plan import bottom_edges, compound_cuts, ends_in_plan
from crewdesk.job.beams.measured import BOTH
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.readings import Reading
from crewdesk.job.cuts.as_built import side_thickness
from crewdesk.job.cuts.bottoms import taken_as_square
from crewdesk.job.cuts.marks import BottomMarks, marks
from crewdesk.job.cuts.walls import at_ridge
from crewdesk.length import (
    Step,
    mixed,
    rounded_down,
    show_up,
)
from crewdesk.paper.lengths import degrees_shown, with_unit
from crewdesk.paper.text.mark_text import within
from crewdesk.trade.cuts.bottom_cut import OTHER_SLANTS
from crewdesk.trade.cuts.measured import skew_off
from crewdesk.trade.cuts.sloped_side import Compound

_WAYS = {
    "side": ("top cut back", "top out past"),
    "bottom": ("edge A longer", "edge B longer"),
}


def compound_text(cut: Compound, kind: str) -> str:
    """Both settings of a side or a bottom board, each with the way it goes."""
    positive, negative = _WAYS[kind]
    way = positive if cut.mitre_deg > 0 else negative
    face = "show face" if cut.blade_deg > 0 else "back"
    miter = f"miter {degrees_shown(abs(cut.mitre_deg))}" + (f" ({way})" if cut.mitre_deg else "")
    blade = f"blade {degrees_shown(abs(cut.blade_deg))}" + (
        f" ({face} longer)" if cut.blade_deg else ""
    )
    return f"{miter}, {blade}"


def compound_json(cut: Compound) -> dict[str, Any]:
    """Both settings in degrees, signed as `Compound` has them."""
    return {"mitre_deg": cut.mitre_deg, "blade_deg": cut.blade_deg}


def skew_notes(
    beam: Beam, piece: Piece, step: Step, typed: Mapping[str, Reading] | None = None
) -> list[str]:
    """A side's ends in plan, or the bottom board's two edges, and the compound cuts of
    either on a slope; raises `BadInput`."""
    compound = compound_cuts(beam, piece, typed)
    lines = [
        f"end {one.end} ({one.slope_end}) compound: {compound_text(one.cut, piece.kind)}"
        for one in compound
    ]
    for one in ends_in_plan(beam, piece):
        if one.long_face != "back" or one.end in {cut.end for cut in compound}:
            continue
        room = f"the back has {_by(one.by, step)} more room, so a square end hides the gap"
        lines.append(f"end {one.end} in plan: {room}{_off(beam, piece, one.end, step)}")
    if (ridge := at_ridge(beam, piece, typed)) is not None:
        end = with_unit(ridge.side.plumb_height, step)
        lines.append(f"at the ridge beam: {end} down its face")
        lines += [caution.shown(step) for caution in ridge.cautions]
    if piece.kind == "bottom" and beam.pair.skews is not None and not piece.latest("opening"):
        edges = bottom_edges(beam)
        if edges is not None:
            if edges.edge_a is not None and edges.edge_b is not None:
                low_a, low_b = (rounded_down(e, step.size) for e in (edges.edge_a, edges.edge_b))
                lines.append(
                    f"by the walls in plan: edge A about {with_unit(low_a, step)}, "
                    f"edge B about {with_unit(low_b, step)}"
                )
            elif edges.a_over_b:
                longer = "A" if edges.a_over_b > 0 else "B"
                by = with_unit(abs(edges.a_over_b), step)
                lines.append(f"by the walls in plan: edge {longer} is the longer by {by}")
    return lines


def square_lines(beam: Beam, piece: Piece) -> list[str]:
    """Return the sentences for a bottom's or a top's ends that are only taken as square, and for
    own lengths that don't go with the walls; raises `BadInput`."""
    if piece.kind not in ("bottom", "top"):
        return []
    made = marks(beam, piece, projection=beam.habits.cleat)
    cut = made.cut if isinstance(made, BottomMarks) else None
    if cut is None:
        return []
    told = taken_as_square(cut.ends, [end for end in BOTH if beam.pair.square(end) is None])
    own = [one.shown(beam.habits.step) for one in cut.cautions if one.text == OTHER_SLANTS]
    return ([told] if told else []) + own


def wall_mark(beam: Beam, end: int, step: Step) -> tuple[str, str, tuple[str, ...]]:
    """Return what one wall in plan asks of the sides: in words and figures what the side whose
    show face has more room must lose off its back, and each side's lines; raises `BadInput`."""
    sides = [piece for piece in beam.pieces.values() if piece.kind == "side"]
    lines = [
        f"{piece.name}: {line}"
        for piece in sides
        for line in skew_notes(beam, piece, step)
        if line.startswith(f"end {end} ")
    ]
    square = beam.pair.square(end)
    if square is None:
        return "", "", ()
    if square.reading.gap == 0:
        return f"end {end}: square", "0", ()
    lost = [
        one
        for piece in sides
        for one in ends_in_plan(beam, piece)
        if one.end == end and one.long_face == "show"
    ]
    words = f"off the back of side {lost[0].side} at end {end}" if lost else ""
    return words, show_up(lost[0].by, step) if lost else "", tuple(lines)


def _by(by: Fraction, step: Step) -> str:
    """Return how much more room a face has, rounded up; under one step in words."""
    if by < step.size:
        return "under 1 mm" if step.mm else f"under {mixed(step.size)} in"
    return with_unit(by, step, "up")


def _off(beam: Beam, piece: Piece, end: int, step: Step) -> str:
    """How far that can be off, as a side's thickness was read with the square's leg."""
    square = beam.pair.square(end)
    if square is None:
        return ""
    leg, across = square.reading.leg, side_thickness(beam, piece.key)
    return f" (within {within(skew_off(leg, across, beam.instruments.square), step)})"
