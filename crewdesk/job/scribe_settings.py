"""The scriber of a beam, and how each of its sides is cut to the scribe line."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.job.as_built import kept_setting
from crewdesk.job.beam import Beam
from crewdesk.job.cut import BACK_CUT, BLADE, Cut, Part, in_words
from crewdesk.job.marks import SideMarks, marks
from crewdesk.job.piece import Piece
from crewdesk.job.scribing import scribe_of
from crewdesk.job.shop_machine import ShopMachine
from crewdesk.trade.cuts.ceiling import Scribe
from crewdesk.trade.cuts.forms import TO_SCRIBE
from crewdesk.trade.cuts.scribe_cut import (
    PLANE_AT_MOST,
    STRAIGHT,
    TABLE_SAW_AT_MOST,
    Way,
    Why,
    bend,
    way_to_cut,
)
from crewdesk.trade.length import Step, exact
from crewdesk.trade.refusal import Refusal

OPENING, PROUD = "opening", "proud of the line"
ALONG_RIDGE = "top edge along the ridge"
"""The name of a cut whose blade is tilted for the slope, not back-cut alone."""
HOW: dict[Way, tuple[str, str]] = {
    "table saw": (
        "Fasten the board to a straight carrier that rides the fence, with the line parallel "
        "to the blade.",
        "Never steer a board freehand along a table saw's blade. Keep guard and riving knife "
        "on, and stand out of the board's line.",
    ),
    "circular saw": (
        "Clamp the board show face up and steer along the waste side of the line.",
        "Hold the circular saw with both hands, set the blade just deeper than the board, let "
        "it stop before you set it down, and never force it around a bend.",
    ),
    "track saw": (
        "Lay the rail along the line, its strip on the wood that stays.",
        "Clamp the rail, keep both hands on the track saw, and lower it only when it is up to "
        "speed and its cord or hose hangs free.",
    ),
    "plane": (
        "Plane down to the line, from both ends toward the middle.",
        "Clamp the board at two points and keep both hands on the plane; let a power plane "
        "stop before you set it down.",
    ),
}
"""By the way a board is cut to its line: how to go about it, and its caution (common practice,
no source)."""


def scriber_cut(beam: Beam, machine: ShopMachine, step: Step) -> Cut | None:
    """The scriber's opening, never under the scribe's setting, and the tool to take: None
    until the ceiling was read. Raises `Refusal`."""
    made = scribe_of(beam)
    if made is None:
        return None
    opening = Part(OPENING, made.setting, "up")
    notes = _tool_notes(beam, made, machine, step)
    if (kept := kept_setting(beam)) is not None:
        as_kept = f"As side {kept.side} was scribed and kept: {kept.reason}."
        notes = (as_kept, *notes)
    return Cut("scriber", (opening,), notes=notes)


def _tool_notes(beam: Beam, made: Scribe, machine: ShopMachine, step: Step) -> tuple[str, ...]:
    if not machine.scribers:
        return ()
    tool = machine.scriber_for(made.setting)
    if tool is None:
        name, most = max(machine.scribers, key=lambda one: one[1])
        return (
            f"None of your scribing tools reaches that far: {name} is {in_words(most, step)}. "
            "Set a scriber.",
        )
    name, offset = tool
    more = offset - made.setting
    takes = f"Take: {name}, {in_words(offset, step)}."
    if not more:
        return (f"{takes} It takes off just the setting where the ceiling is lowest.",)
    notes = [
        f"{takes} It takes off {in_words(offset, step)} where the ceiling is lowest, "
        f"{in_words(more, step)} more than the setting everywhere."
    ]
    if beam.drop is not None and made.lowest_drop - more < beam.drop:
        notes.append(
            f"With it the beam hangs {in_words(made.lowest_drop - more, step)} down, less than "
            f"the {in_words(beam.drop, step)} asked for: set a scriber instead."
        )
    return tuple(notes)


class ScribeCut(NamedTuple):
    """How a side is cut to its scribe line, and why: the user chose it for the board
    ("board") or for every board ("every board"), or the board and its ceiling make it so
    ("rule")."""

    way: Way
    chosen: Literal["board", "every board", "rule"]
    why: str


def scribe_cut_of(beam: Beam, piece: Piece, machine: ShopMachine, step: Step) -> ScribeCut:
    """How a side is cut to its scribe line. Raises `Refusal` where the ceiling's readings make
    no scribe."""
    if (own := piece.scribe_cut) is not None:
        reason = f": {own.reason}" if own.reason else ""
        return ScribeCut(own.way, "board", f"chosen for this board{reason}")
    if machine.scribe_cut is not None:
        return ScribeCut(
            machine.scribe_cut, "every board", "chosen for every board in Business settings"
        )
    made = scribe_of(beam)
    marks_of = [] if made is None else [one for one in made.marks if one.side == piece.key]
    deepest = max((one.cut_depth for one in marks_of), default=None)
    bent = bend([(one.at, one.finished_height) for one in marks_of]) if marks_of else None
    found = way_to_cut(_board_length(beam, piece), deepest, bent)
    return ScribeCut(found.way, "rule", _reason(found.why, step))


def scribe_cut_known(
    beam: Beam, piece: Piece, machine: ShopMachine, step: Step
) -> ScribeCut | None:
    """How a side is cut to its scribe line, None where it isn't scribed, or where that
    follows from the ceiling and the ceiling isn't measured or makes no scribe."""
    if piece.kind != "side" or "ceiling" not in piece.traits:
        return None
    if beam.pair.ceiling is None and piece.scribe_cut is None and machine.scribe_cut is None:
        return None
    try:
        return scribe_cut_of(beam, piece, machine, step)
    except Refusal:
        return None


def _reason(why: Why, step: Step) -> str:
    straight, short = in_words(STRAIGHT, step), in_words(TABLE_SAW_AT_MOST, step)
    reasons: Mapping[Why, str] = {
        "shallow": f"no more than {in_words(PLANE_AT_MOST, step)} comes off anywhere",
        "not known": "the ceiling is not measured, so the line may bend",
        "bent": f"the ceiling bends the line by more than {straight}",
        "straight and short": f"straight within {straight}, board no longer than {short}",
        "straight and long": f"straight within {straight}, board may be longer than {short}",
    }
    return reasons[why]


def _board_length(beam: Beam, piece: Piece) -> Fraction | None:
    """How long a side is as far as is known, in inches: its blank, or a wall-to-wall reading."""
    try:
        made = marks(beam, piece)
    except Refusal:
        return None
    if isinstance(made, SideMarks) and made.cut is not None:
        return exact(made.cut.blank)
    known = [run.value for one in beam.pieces.values() if (run := one.latest("run"))]
    return max(known, default=beam.rough)


def line_cut(beam: Beam, piece: Piece, machine: ShopMachine, step: Step) -> Cut:
    """How a side is cut to its scribe line, and why that way. Raises `Refusal` where the
    ceiling's readings make no scribe."""
    chosen = scribe_cut_of(beam, piece, machine, step)
    way = chosen.way
    notes, caution = _to_the_line(way, machine, step), HOW[way][1]
    slope = beam.boards[piece.key].second_blade if beam.form.id == "ridge" else Fraction(0)
    blade = abs(slope - machine.back_cut)
    if slope:
        longer = "longer" if slope > machine.back_cut else "shorter"
        notes.append(
            f"Tilt for the slope less the back-cut, so that the back is {longer}: only the show "
            "edge touches."
        )
    elif machine.back_cut:
        notes.append("Tilt so that the back is cut shorter: only the show edge touches.")
    parts = [Part(BLADE if slope else BACK_CUT, blade)]
    parts += [] if way == "plane" else [Part(PROUD, machine.proud)]
    name = ALONG_RIDGE if slope else ""
    return Cut(way, tuple(parts), name, notes=(*notes, f"! {caution}"), why=chosen.why)


def wall_edge_cuts(
    beam: Beam, piece: Piece, length: Fraction | None, machine: ShopMachine, step: Step
) -> tuple[Cut, ...]:
    """How a bottom's edge B is scribed to the wall that a beam stands along, and cut to that
    line; `length` is the board's in inches, None where it is not known.

    The board was ripped `TO_SCRIBE` over its width. Held where it touches the wall, its edge A
    stands past its place by all that must come off where the wall comes closest: the opening.
    """
    width = beam.boards[piece.key].width - TO_SCRIBE
    opening = Part("opening, usual", TO_SCRIBE)
    left = Part("width left, usual", width, "down")
    held = (
        "Hold the board up under its place, its wall edge touching the wall, edge A parallel to "
        "side A. Set the scriber to how far edge A then stands past its place: the usual opening "
        f"where the wall is straight. The width left there is {in_words(width, step)}; it is more "
        "where the wall falls away."
    )
    way = machine.scribe_cut or way_to_cut(length, TO_SCRIBE, None).way
    notes = _to_the_line(way, machine, step)
    if machine.back_cut:
        notes.append("Tilt so that the back is cut shorter: only the show edge touches.")
    parts = [Part(BACK_CUT, machine.back_cut)]
    parts += [] if way == "plane" else [Part(PROUD, machine.proud)]
    return (
        Cut("scriber", (opening, left), "scribe line, edge B", notes=(held,)),
        Cut(way, tuple(parts), "edge B to the line", notes=(*notes, f"! {HOW[way][1]}"), turn=2),
    )


def _to_the_line(way: Way, machine: ShopMachine, step: Step) -> list[str]:
    """How to go about a cut to a line, and how proud of it to leave the board."""
    proud = f"Leave {in_words(machine.proud, step)} proud of the line, then plane to it."
    return [HOW[way][0], *([proud] if way != "plane" and machine.proud else [])]
