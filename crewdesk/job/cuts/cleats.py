"""The cleats of a beam: their position and length."""

import math
from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.measured import BOTH
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.as_built import (
    cleat_height,
    cleat_line_as_marked,
    cleat_projection,
    goes_by,
    height_as_cut,
    lead_of,
    section_as_cut,
    side_as_cut,
    side_thickness,
)
from crewdesk.job.cuts.cut import in_words
from crewdesk.job.cuts.walls import side_cut_of, skew_at
from crewdesk.length import Length, exact
from crewdesk.trade.cuts.cleat import CLEAT, CleatCut, cleat_span, wall_cleat_span
from crewdesk.trade.cuts.section import cleat_line_at, is_on_back, on_relief, relief_per_edge
from crewdesk.trade.cuts.side_board import Side
from crewdesk.trade.cuts.skew import BACK_BEVEL

_NONE = Fraction(0)


def cleat_line_to_mark(beam: Beam, side: Side, projection: Fraction = CLEAT) -> Length:
    """Return where to mark a side for its cleat: as `cleat_line_of`, or level with the other side's
    line if that was marked first, since the bottom rests on both cleats."""
    line, lead = cleat_line_of(beam, side, projection), goes_by(beam, side, "cleat_line")
    if lead is None:
        return line
    return line + lead.value - cleat_line_of(beam, across(side), projection)


def reveal_of(beam: Beam, projection: Fraction = CLEAT) -> Fraction:
    """Return the reveal, in inches: the section's, or what the pair's marked cleat line leaves.
    Raises `BadInput`."""
    if (lead := lead_of(beam, "cleat_line")) is None:
        return beam.section.reveal
    side: Side = "A" if lead.side == "A" else "B"
    return beam.section.reveal + lead.value - exact(cleat_line_of(beam, side, projection))


def across(side: Side) -> Side:
    """Return the side that is across from one."""
    return "B" if side == "A" else "A"


def cleat_line_of(beam: Beam, side: Side, projection: Fraction = CLEAT) -> Length:
    """Return the height of a cleat's lower edge up the inside of a side, in inches, over a bottom
    as thick, and with cleats as wide, as they were ripped if that was kept.

    A cleat narrower than the relief of a level bottom meets the relief (see `cleat_line_at`).
    Where the bottom is tilted on purpose, its back stands bt / cos(tilt) over its show face
    at the lower side, where the square edge of a cleat is raised by projection x tan(tilt), so
    that the back clears it. On the higher side the back falls away from the side, so a cleat
    meets the highest of the relieved edge that is under it (see `on_relief`). Worked out once for
    each beam.
    """
    name = f"cleat line of {side}, cleats {projection}"
    return beam.once(name, lambda: _cleat_line(beam, side, projection))


def _cleat_line(beam: Beam, side: Side, projection: Fraction) -> Length:
    section, tilt = section_as_cut(beam, "bottom"), beam.boards["bottom"].tilt
    projection = cleat_projection(beam, projection)
    if not tilt:
        return cleat_line_at(section, projection)
    angle, thick = math.radians(abs(tilt)), float(section.bottom_thickness)
    if side == ("A" if tilt > 0 else "B"):
        return float(section.reveal) + thick / math.cos(angle) + float(projection) * math.tan(angle)
    return on_relief(section, angle, float(projection))


def cleats_of(beam: Beam, projection: Fraction = CLEAT) -> tuple[CleatCut, ...]:
    """Return the cleat on each side, and of a beam along a wall the one on the wall, where
    their sides and they were kept as cut by that. Raises `BadInput`, as `check_cleats` does."""
    check_cleats(beam, projection)
    height, projection = cleat_height(beam), cleat_projection(beam, projection)
    made = []
    for key, piece in beam.pieces.items():
        if piece.kind != "side":
            continue
        side: Side = "A" if key == "A" else "B"
        line = cleat_line_as_marked(beam, side, cleat_line_to_mark(beam, side, projection))
        made.append(_cleat(beam, piece, side, line, projection, height))
    if beam.form.id == "wall" and made:
        made.append(_on_wall(beam, made[0].line, projection, height))
    return tuple(made)


def check_cleats(beam: Beam, projection: Fraction) -> None:
    """Raise `BadInput` if a beam's cleats have no room beside one another, or under the top, or
    can't hold its bottom level.

    Between the sides' inner faces, or side A's and the wall, there must be room for both where
    they are at one height, and for each alone. A box's top lies between its sides, flush with
    their top edges, so the cleats must end below it.
    """
    projection, high = cleat_projection(beam, projection), cleat_height(beam)
    step = beam.habits.step
    _check_hold(beam, projection)
    sides = [key for key in ("A", "B") if key in beam.pieces]
    apart = beam.section.width - sum(side_thickness(beam, key) for key in sides)
    lines = _lines_across(beam, projection)
    level = abs(lines[0] - lines[1]) < high
    most = apart / 2 if level else apart
    if projection > most:
        there = "between the sides" if len(sides) > 1 else "between the side and the wall"
        each = f"two cleats of {in_words(projection, step)}" if level else "a cleat of that width"
        raise BadInput(
            f"{beam.label} has {in_words(apart, step)} {there}, too little for {each}. "
            f"Make the cleats {in_words(most, step, 'down')} wide or less in the "
            "cutting rules.",
            field="cleat",
        )
    if beam.form.id != "box":
        return
    top = min(height_as_cut(beam, key) for key in sides) - beam.boards["top"].thickness
    over = max(lines) + high - top
    if over > 0:
        raise BadInput(
            f"The cleats of {beam.label} reach {in_words(max(lines) + high, step)} up its sides, "
            f"but its top begins at {in_words(top, step)}. Make the beam "
            f"{in_words(beam.section.height + over, step, 'up')} deep or more.",
            field="height",
        )


def _check_hold(beam: Beam, projection: Fraction) -> None:
    """Raise `BadInput` if a cleat doesn't reach over a level bottom, or if one on a side meets the
    relief and the one on the wall across from it the flat back."""
    section, step = section_as_cut(beam, "bottom"), beam.habits.step
    if "bottom" not in beam.pieces or beam.boards["bottom"].tilt:
        return
    gap = section.fit / 2
    if projection <= gap:
        raise BadInput(
            f"A cleat of {in_words(projection, step)} doesn't reach over the bottom of "
            f"{beam.label}, which is {in_words(gap, step)} off each side. Make the "
            "cleats wider in the cutting rules.",
            field="cleat",
        )
    if beam.form.id == "wall" and not is_on_back(section, projection):
        least = in_words(relief_per_edge(section) + gap, step, "up")
        raise BadInput(
            f"A cleat of {in_words(projection, step)} on the side of {beam.label} meets "
            "the bottom's relief, and the one on the wall its flat back, so the bottom "
            f"can't hang level. Make the cleats {least} wide or more in the cutting "
            "rules, or the relief bevel smaller.",
            field="cleat",
        )


def _lines_across(beam: Beam, projection: Fraction) -> tuple[Fraction, Fraction]:
    """Return the heights of the cleats at side A and across from it, above the lower bottom
    edge."""
    both: tuple[Side, Side] = ("A", "B") if "B" in beam.pieces else ("A", "A")
    lines = [
        exact(cleat_line_as_marked(beam, side, cleat_line_to_mark(beam, side, projection)))
        for side in both
    ]
    hung, height_b = beam.as_hung
    if beam.form.id == "ridge" and height_b is not None:
        lower = height_b - hung.height
        lines = [lines[0] + max(_NONE, lower), lines[1] + max(_NONE, -lower)]
    return lines[0], lines[1]


def _skews(beam: Beam) -> tuple[Length, Length]:
    first, second = (skew_at(beam, end) or Fraction(0) for end in BOTH)
    return first, second


def _cleat(
    beam: Beam, piece: Piece, side: Side, line: Length, projection: Fraction, height: Fraction
) -> CleatCut:
    cut = side_as_cut(beam, side, side_cut_of(beam, piece))
    if cut is None:
        return CleatCut(side, line, projection, height)
    start, length = cleat_span(
        cut,
        side,
        line,
        projection,
        height,
        side_thickness(beam, side),
        BACK_BEVEL,
        _skews(beam),
    )
    return CleatCut(side, line, projection, height, start, length)


def _on_wall(beam: Beam, line: Length, projection: Fraction, height: Fraction) -> CleatCut:
    """Return the cleat on the wall along the beam, level with the one on side A."""
    cut = side_cut_of(beam, beam.pieces["A"])
    if cut is None:
        return CleatCut("wall", line, projection, height)
    rates = (cut.end1.offset / cut.height, cut.end2.offset / cut.height)
    skews, across = _skews(beam), beam.section.width
    room = cut.bottom_length
    for rate, skew in zip(rates, skews, strict=True):
        room = room - rate * line - exact(skew) * across
    start, length = wall_cleat_span(rates, skews, room, projection, height)
    return CleatCut("wall", line, projection, height, start, length)
