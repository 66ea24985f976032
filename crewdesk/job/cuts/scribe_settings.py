"""The scriber's setting, and the saw's for a side's cut to the scribe line."""

from fractions import Fraction

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.as_built import board_as_cut, lead_of, left_as_cut, side_thickness
from crewdesk.job.cuts.cut import (
    BACK_CUT,
    BLADE,
    EDGE_BEVEL,
    Cut,
    Part,
    in_words,
)
from crewdesk.job.cuts.scribe_way import line_blade, ridge_slope, scribe_cut_of
from crewdesk.job.cuts.scribing import (
    ToolTaken,
    lead_setting,
    scribe_by_readings,
    scribe_of,
    sides_under,
    tool_taken,
)
from crewdesk.length import Step, show_length
from crewdesk.trade.angle import tangent, times
from crewdesk.trade.cuts.ceiling import Scribe
from crewdesk.trade.cuts.saw_passes import Hand, fence_side
from crewdesk.trade.cuts.shop_machine import (
    ShopMachine,
    Way,
    scriber_for,
    way_to_cut,
)

OPENING, PROUD = "opening", "proud of the line"
ALONG_RIDGE = "top edge along the ridge"
"""The name of a cut whose blade is tilted for the slope, not back-cut alone."""
LINE_ON_BACK = "line on the back, farther up by"
CAUTIONS: dict[Way, str] = {
    "table saw": (
        "Never steer a board freehand along a table saw's blade. Keep guard and riving knife "
        "on, and stand out of the board's line."
    ),
    "circular saw": (
        "Hold the circular saw with both hands, set the blade just deeper than the board, let "
        "it stop before you set it down, and never force it around a bend."
    ),
    "track saw": (
        "Clamp the rail, keep both hands on the track saw, and lower it only when it is up to "
        "speed and its cord or hose hangs free."
    ),
    "plane": (
        "Clamp the board at two points and keep both hands on the plane; let a power plane "
        "stop before you set it down."
    ),
}
"""The caution for each way to cut a board to its line (common practice, no source)."""
_HOW: dict[Way, str] = {
    "table saw": (
        "Fasten the board, {up} up, to a straight carrier that rides the fence: the line parallel "
        "to the blade, the wood that stays over the carrier, the waste past the blade."
    ),
    "circular saw": (
        "Clamp the board {up} up and steer along the waste side of the line, the wide part of "
        "the saw's base on the wood that stays."
    ),
    "track saw": (
        "Clamp the board {up} up and lay the rail along the line, its strip on the wood that stays."
    ),
    "plane": (
        "Clamp the board on edge, show face toward you, and plane down to the line, from both "
        "ends toward the middle."
    ),
}
"""Instructions for each way to cut a board to its line; `up` is the face that is up (common
practice, no source)."""


def how_to_cut(way: Way, tilts: Hand, blade: Fraction, *, back_longer: bool = False) -> str:
    """Return how to lay a board for its cut to the line, and which way the blade leans.

    A hand-held saw's blade leans under its base or rail, and a table saw's, leaning away from
    the fence, under the board that stays: either undercuts the wood that stays, so the face that
    is down comes out the shorter (common practice, no source). The face that must come out the
    longer is therefore up. `tilts` is the side to which the table saw tilts, `blade` in degrees.
    """
    up, down = ("back", "show face") if back_longer else ("show face", "back")
    how = _HOW[way].format(up=up)
    if not blade:
        return how
    if way == "plane":
        more = "show face" if back_longer else "back"
        return f"{how} Tilt the plane so that it takes more off the {more}."
    leans = {
        "circular saw": "under the base",
        "track saw": "under the rail",
        "table saw": f"{tilts}, away from the fence",
    }[way]
    return f"{how} The blade leans {leans}, so that the {down}, which is down, comes out shorter."


def how_for(beam: Beam, piece: Piece, way: Way, machine: ShopMachine) -> str:
    """Return how a side would be cut to its line that way, as `how_to_cut` does."""
    back_longer = ridge_slope(beam, piece) > machine.back_cut
    return how_to_cut(way, machine.tilts, line_blade(beam, piece, machine), back_longer=back_longer)


def _placed(way: Way, tilts: Hand) -> str:
    """Return where the fence is: the blade leans away from it."""
    return f"fence {fence_side(tilts, away=True)} of the blade" if way == "table saw" else ""


def scriber_cut(beam: Beam, machine: ShopMachine, step: Step) -> Cut | None:
    """Return the scriber's opening, never under the scribe's setting, and the tool to use; None
    until the ceiling was measured. Raises `BadInput`."""
    made = scribe_of(beam)
    if made is None:
        return None
    taken = tool_taken(beam, made, machine.scribers)
    opening = Part(OPENING, made.setting, "up") if taken is None else Part(OPENING, taken.offset)
    notes = figures = _tool_notes(beam, made, taken, machine, step)
    by_readings = scribe_by_readings(beam)
    lead = None if by_readings is None else lead_setting(beam, by_readings)
    if lead is not None:
        kept = f" and kept: {lead.reason}" if lead.reason else ""
        notes = (f"As side {lead.side} was scribed{kept}.", *notes)
    elif before := left_as_cut(beam, made):
        notes = (
            f"Side {before} was cut to its line before, and both sides hang level: don't set it "
            "to less.",
            *notes,
        )
    return Cut("scriber", (opening,), notes=notes, figures=figures)


def _tool_notes(
    beam: Beam, made: Scribe, taken: ToolTaken | None, machine: ShopMachine, step: Step
) -> tuple[str, ...]:
    if not machine.scribers:
        return ()
    wanted = _up_in_words(made.setting, step)
    one = len(sides_under(beam)) == 1
    narrow, both = ("the side", "") if one else ("the narrower side", " Use it for both sides.")
    finishes = f"{narrow} finishes {in_words(made.lowest_drop, step)} wide"
    if taken is not None:
        takes = f"Take: {taken.name}, {in_words(taken.offset, step)}. Wanted setting: {wanted}."
        if not taken.more:
            return (f"{takes} With it {finishes}.",)
        return (
            f"{takes} The tool takes off {in_words(taken.more, step)} more everywhere: with it "
            f"{narrow} finishes {in_words(taken.lowest_drop, step)} wide, not "
            f"{in_words(made.lowest_drop, step)}.{both}",
        )
    reaching = scriber_for(machine.scribers, made.setting)
    if reaching is None:
        name, most = max(machine.scribers, key=lambda one: one[1])
        return (
            f"None of your scribing tools reaches that far: {name} is {in_words(most, step)}. "
            "Set a scriber.",
        )
    name, offset = reaching
    if lead_of(beam, "setting") is not None:
        return (
            f"Set a scriber to it: {name}, {in_words(offset, step)}, would take off more here "
            "than on the other side.",
        )
    left = in_words(made.lowest_drop - (offset - made.setting), step)
    asked = "" if beam.drop is None else f" the {in_words(beam.drop, step)}"
    return (
        f"With {name}, {in_words(offset, step)}, the beam would hang {left} down, less than{asked} "
        "asked for: set a scriber instead.",
    )


def _up_in_words(value: Fraction, step: Step) -> str:
    """Return a length rounded up to the step, like a scriber's setting."""
    shown = show_length(value, step, way="up")
    return shown if step.mm else f"{shown} in"


def line_cut(beam: Beam, piece: Piece, machine: ShopMachine, step: Step) -> Cut:
    """Return how a side is cut to its scribe line, and why. Raises `BadInput` if the ceiling's
    readings make no scribe."""
    chosen = scribe_cut_of(beam, piece, machine, step)
    way = chosen.way
    slope, blade = ridge_slope(beam, piece), line_blade(beam, piece, machine)
    back_longer = slope > machine.back_cut
    notes = _to_the_line(way, machine, step, blade, back_longer=back_longer)
    if slope:
        longer = "longer" if back_longer else "shorter"
        notes.append(
            f"The bevel is the slope less the back-cut, so the back comes out {longer}: only the "
            "show edge touches."
        )
    elif blade:
        notes.append("Only the show edge touches.")
    tilt = EDGE_BEVEL if way == "plane" else BLADE
    parts = [Part(tilt if slope else BACK_CUT, blade)]
    name = ALONG_RIDGE if slope else ""
    if back_longer and way != "plane":
        over = times(side_thickness(beam, piece.key), tangent(blade))
        parts.append(Part(LINE_ON_BACK, over, "up"))
        name = f"{ALONG_RIDGE}, back up"
        notes.insert(
            0,
            "Carry the line over to the back first: at every spot it is that much farther from "
            "the bottom edge there than on the show face. Cut to the line on the back.",
        )
    parts += [] if way == "plane" else [Part(PROUD, machine.proud)]
    return Cut(
        way,
        tuple(parts),
        name,
        _placed(way, machine.tilts),
        (*notes, f"! {CAUTIONS[way]}"),
        why=chosen.why,
    )


def wall_edge_cuts(
    beam: Beam, piece: Piece, length: Fraction | None, machine: ShopMachine, step: Step
) -> tuple[Cut, ...]:
    """Return how a bottom's edge B is scribed to the wall along the beam and cut to that line;
    `length` is the board's in inches, or None if unknown.

    The board was ripped with extra width. Held against the wall, its edge A is past its place by
    the amount to come off where the wall is closest: the opening.
    """
    board = board_as_cut(beam, piece.key)
    width = board.width - board.stock
    opening = Part("opening, usual", board.stock)
    left = Part("width left, usual", width, "down")
    held = (
        "Hold the board up under its place, its wall edge touching the wall, edge A parallel to "
        "side A. Set the scriber to how far edge A then stands past its place: the usual opening "
        f"where the wall is straight. The width left there is {in_words(width, step)}; it is more "
        "where the wall falls away."
    )
    way = machine.scribe_cut or way_to_cut(length, board.stock, None).way
    notes = _to_the_line(way, machine, step, machine.back_cut)
    if machine.back_cut:
        notes.append("Only the show edge touches.")
    parts = [Part(BACK_CUT, machine.back_cut)]
    parts += [] if way == "plane" else [Part(PROUD, machine.proud)]
    return (
        Cut("scriber", (opening, left), "scribe line, edge B", notes=(held,)),
        Cut(
            way,
            tuple(parts),
            "edge B to the line",
            _placed(way, machine.tilts),
            (*notes, f"! {CAUTIONS[way]}"),
            turn=2,
        ),
    )


def _to_the_line(
    way: Way, machine: ShopMachine, step: Step, blade: Fraction, *, back_longer: bool = False
) -> list[str]:
    """Return the instructions for a cut to a line, and how proud of it to leave the board."""
    how = how_to_cut(way, machine.tilts, blade, back_longer=back_longer)
    proud = f"Leave {in_words(machine.proud, step)} proud of the line, then plane to it."
    return [how, *([proud] if way != "plane" and machine.proud else [])]
