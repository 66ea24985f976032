"""Notes beside marks: on the scribe and its tools, and on walls out of square."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.ceiling import doubtful_ceiling
from crewdesk.job.beams.in_plan import bottom_edges, compound_cuts, ends_in_plan
from crewdesk.job.beams.measured import BOTH
from crewdesk.job.beams.other_shape import ceiling_for_other
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.readings import Reading
from crewdesk.job.beams.uncertainty import scribe_sure
from crewdesk.job.cuts.as_built import open_at_ceiling, side_thickness
from crewdesk.job.cuts.bottoms import taken_as_square
from crewdesk.job.cuts.marks import BottomMarks, marks
from crewdesk.job.cuts.scribe_way import ScribeCut
from crewdesk.job.cuts.scribing import (
    lead_setting,
    pry_line,
    scribe_by_readings,
    scribe_of,
    scribed_with_tool,
    sides_under,
    tool_taken,
)
from crewdesk.job.cuts.walls import at_ridge
from crewdesk.length import Step, mixed, rounded_down, show_length, show_up
from crewdesk.paper.lengths import degrees_shown, length_json, lengths_json, with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.text.mark_text import within, within_json
from crewdesk.trade.cuts.bottom_cut import OTHER_SLANTS
from crewdesk.trade.cuts.ceiling import SIDES, Scribe
from crewdesk.trade.cuts.measured import skew_off
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE, Scribers, ShopMachine
from crewdesk.trade.cuts.sloped_side import Compound


def scribe_lines(made: Scribe, step: Step, beam: Beam) -> list[str]:
    """Return the setting, how far to pry each end down, if the sides touch first, the uncertainty,
    and the lowest drop, each on a line."""
    shown = show_length(made.setting, step, way="up")
    sides = sides_under(beam)
    both = ", the same on both sides" if len(sides) > 1 else ""
    unit = "" if step.mm else " in"
    lines = [f"set the scriber to {shown}{unit}{both}", *kept_lines(beam, step)]
    lines += [pry_line(pry, step) for pry in made.pry_down if pry.side in sides]
    for side, rest in zip(SIDES, (made.rest_a, made.rest_b), strict=True):
        if side not in sides:
            continue
        places = " and ".join(with_unit(at, step) for at in rest.touches)
        lines.append(f"side {side} pushed up touches first at {places} from end 1")
    sure = scribe_sure(beam, made.marks)
    lines.append(
        f"the setting is within {within(sure.setting, step)}, a gap within "
        f"{within(max(sure.gaps.values()), step)}, by the laser line"
    )
    lines.append(f"narrowest finished side {with_unit(made.lowest_drop, step)}")
    return [*lines, *tool_lines(beam, made, beam.scribers, step)]


def kept_lines(beam: Beam, step: Step) -> list[str]:
    """Return why the setting is that of a scribed side, what today's readings give, and the gap
    left at the ceiling; none if they agree."""
    today = scribe_by_readings(beam)
    lead = None if today is None else lead_setting(beam, today)
    if lead is None or today is None or today.setting == lead.value:
        return []
    kept = f" and kept: {plain(lead.reason)}" if lead.reason else ""
    lines = [
        f"side {lead.side} was scribed at that{kept}; today it would be "
        f"{with_unit(today.setting, step, 'up')}"
    ]
    made = scribe_of(beam)
    if made is not None and (gap := open_at_ceiling(made)):
        lines.append(f"where the ceiling is highest {with_unit(gap, step)} stays open")
    return lines


def tool_lines(beam: Beam, made: Scribe, scribers: Scribers, step: Step) -> list[str]:
    """Return the effect of the shop's tool on the setting, in one line; none without a tool for
    it."""
    taken = tool_taken(beam, made, scribers)
    if taken is None:
        return []
    tool = f"with {plain(taken.name)}, {with_unit(taken.offset, step)}"
    if not taken.more:
        return [f"{tool}, just that"]
    return [
        f"{tool}, {with_unit(taken.more, step)} more comes off everywhere, and it finishes "
        f"{with_unit(taken.lowest_drop, step)} wide"
    ]


def _tool_json(beam: Beam, made: Scribe, machine: ShopMachine, step: Step) -> dict[str, Any] | None:
    taken = tool_taken(beam, made, machine.scribers)
    if taken is None:
        return None
    return {
        "name": taken.name,
        **lengths_json(taken, step, "offset", "more", "lowest_drop"),
    }


def scribe_cut_line(cut: ScribeCut) -> str:
    """Return how a side is cut to its scribe line and why, in one line."""
    return f"cut to the scribe line: {cut.way} ({plain(cut.why)})"


def scribe_cut_json(cut: ScribeCut | None) -> dict[str, str] | None:
    """Return the same as JSON, null if unknown."""
    return None if cut is None else cut._asdict()


def scribe_json(
    beam: Beam, made: Scribe, step: Step, machine: ShopMachine = USUAL_MACHINE
) -> dict[str, Any]:
    """Return a scribe as JSON; the setting is rounded up, so that the line reaches the ceiling.

    tool: the shop's tool and the finished width with it, null if none. within: the uncertainty of
    the setting, or of a gap. marks: those at the setting; `with_tool` in each is the cut depth and
    finished width with the tool.
    """
    sure = scribe_sure(beam, made.marks)
    taken = tool_taken(beam, made, machine.scribers) is not None
    drawn = scribed_with_tool(beam, made, machine.scribers).marks
    return {
        **lengths_json(made, step, "setting", way="up"),
        **_kept_json(beam, step),
        "tool": _tool_json(beam, made, machine, step),
        "within": within_json(sure.setting, step),
        "reads_from": "slope" if beam.ceiling == "sloped" else "level",
        **lengths_json(made, step, "lowest_drop"),
        "meets_drop": made.meets_drop,
        "cautions": [*filter(None, (ceiling_for_other(beam),)), *caution_lines(beam, made)],
        "marks": [
            {
                "side": mark.side,
                **lengths_json(mark, step, "at", "gap", *_CUT),
                "with_tool": lengths_json(tool, step, *_CUT) if taken else None,
                "within": within_json(sure.gaps.get((mark.side, mark.at), sure.most), step),
            }
            for mark, tool in zip(made.marks, drawn, strict=True)
            if mark.side in sides_under(beam)
        ],
    }


_CUT = ("cut_depth", "finished_height")


def _kept_json(beam: Beam, step: Step) -> dict[str, Any]:
    """Return why the setting is that of a scribed side, and today's setting."""
    today = scribe_by_readings(beam)
    lead = None if today is None else lead_setting(beam, today)
    if lead is None or today is None:
        return {}
    makes = length_json(today.setting, step, "up")
    return {"kept": {"side": lead.side, "reason": lead.reason, "today": makes}}


def caution_lines(beam: Beam, made: Scribe) -> list[str]:
    """Return the cautions, a sentence each, an implausible ceiling first."""
    doubt = doubtful_ceiling(beam, made)
    return [
        *([doubt] if doubt else []),
        *(one.shown(beam.habits.step) for one in made.cautions),
    ]


def gap_at(beam: Beam, made: Scribe, side: str, at: Fraction, step: Step) -> list[str]:
    """Return the gap to hold and the cut depth at one spot of a side, with the chosen tool, in a
    line."""
    return [
        f"here: hold a gap of {with_unit(mark.gap, step)}, {with_unit(mark.cut_depth, step)} cut"
        for mark in scribed_with_tool(beam, made, beam.scribers).marks
        if (mark.side, mark.at) == (side, at)
    ]


def station_rows(made: Scribe, step: Step, beam: Beam) -> list[tuple[str, str, str, str, str]]:
    """Return side, place, gap to hold, cut depth and finished width with the chosen tool, as
    shown."""
    return [
        (
            mark.side,
            show_length(mark.at, step),
            show_length(mark.gap, step),
            show_length(mark.cut_depth, step),
            show_length(mark.finished_height, step),
        )
        for mark in scribed_with_tool(beam, made, beam.scribers).marks
        if mark.side in sides_under(beam)
    ]


_WAYS = {
    "side": ("top cut back", "top out past"),
    "bottom": ("edge A longer", "edge B longer"),
}


def compound_text(cut: Compound, kind: str) -> str:
    """Return both settings of a side or a bottom board, each with its direction."""
    way, longer = compound_way(cut, kind)
    miter = f"miter {degrees_shown(abs(cut.mitre_deg))}" + (f" ({way})" if way else "")
    blade = f"blade {degrees_shown(abs(cut.blade_deg))}" + (f" ({longer})" if longer else "")
    return f"{miter}, {blade}"


def compound_way(cut: Compound, kind: str) -> tuple[str, str]:
    """Return which way the miter and the blade go, in words; "" for one that is square."""
    positive, negative = _WAYS[kind]
    way = positive if cut.mitre_deg > 0 else negative
    face = "show face" if cut.blade_deg > 0 else "back"
    return way if cut.mitre_deg else "", f"{face} longer" if cut.blade_deg else ""


def compound_json(cut: Compound) -> dict[str, Any]:
    """Return both settings in degrees, signed as in `Compound`."""
    return {"mitre_deg": cut.mitre_deg, "blade_deg": cut.blade_deg}


def skew_notes(
    beam: Beam, piece: Piece, step: Step, typed: Mapping[str, Reading] | None = None
) -> list[str]:
    """Return a side's ends in plan, or the bottom board's two edges, with compound cuts on a slope;
    raises `BadInput`."""
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
    """Return the sentences for a bottom's or a top's ends that only count as square, and for your
    own lengths that don't fit the walls; raises `BadInput`."""
    if piece.kind not in ("bottom", "top"):
        return []
    made = marks(beam, piece, projection=beam.habits.cleat)
    cut = made.cut if isinstance(made, BottomMarks) else None
    if cut is None:
        return []
    text = taken_as_square(cut.ends, [end for end in BOTH if beam.pair.square(end) is None])
    own = [one.shown(beam.habits.step) for one in cut.cautions if one.text == OTHER_SLANTS]
    return ([text] if text else []) + own


def wall_mark(beam: Beam, end: int, step: Step) -> tuple[str, str, tuple[str, ...]]:
    """Return what one wall in plan requires of the sides: what the side with more room at its show
    face must lose off its back, and each side's lines; raises `BadInput`."""
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
    """Return how much more room a face has, rounded up; in words if under one step."""
    if by < step.size:
        return "under 1 mm" if step.mm else f"under {mixed(step.size)} in"
    return with_unit(by, step, "up")


def _off(beam: Beam, piece: Piece, end: int, step: Step) -> str:
    """Return its uncertainty, over a side's thickness and the square's leg."""
    square = beam.pair.square(end)
    if square is None:
        return ""
    leg, across = square.reading.leg, side_thickness(beam, piece.key)
    return f" (within {within(skew_off(leg, across, beam.instruments.square), step)})"
