"""How a board goes up: its earlier cuts, its way in, and the work at the wall.

A board that is ripped again keeps its eased bottom edge, its cleat line and its ends, if only its
top edge loses wood.
"""

import math
from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.measured import BOTH
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.as_built import height_as_cut
from crewdesk.job.cuts.cut import in_words
from crewdesk.job.cuts.dry_fits import TO_LENGTH, dry_fit_of
from crewdesk.job.cuts.marks import SideMarks, marks
from crewdesk.job.cuts.scribing import pry_line, scribe_of, sides_under
from crewdesk.job.steps.usual_stages import is_made_for
from crewdesk.length import HIDDEN_AT_MOST, SIXTY_FOURTH, Length, Step, exact
from crewdesk.trade.cuts.dry_fit import BEVEL_FROM, BackBevel, DryFit
from crewdesk.trade.cuts.side_board import SideCut
from crewdesk.trade.cuts.skew import BACK_BEVEL

AGAIN = ("ease", "sand", "cleat-line")
"""The usual steps that stay done on a board that is ripped again along its top edge."""
CHECK_OFF = "done on this board before: check it, then check it off"
ENDS_STAY = (
    "Both ends are cut already and stay as they are, a narrower board's too: check them and check "
    "this off."
)


def figure_before(piece: Piece, step_id: str, name: str) -> Fraction | None:
    """Return a figure, in inches, that this very board was cut to before its cut was opened again;
    or None if it wasn't."""
    mark = piece.before.get(step_id)
    figure = None if mark is None or mark.cut is None else mark.cut.figures.get(name)
    return None if figure is None else figure.exact


def done_before(beam: Beam, piece: Piece, step_id: str) -> bool:
    """Return whether a step that a rip along the top edge doesn't affect was done on this board
    before: bottom edge eased, face sanded, cleat line where it is today."""
    if step_id not in AGAIN or step_id not in piece.before or piece.kind != "side":
        return False
    if step_id != "cleat-line":
        return True
    made = marks(beam, piece, projection=beam.habits.cleat)
    line = made.cleat_line if isinstance(made, SideMarks) else None
    was = figure_before(piece, step_id, "cleat_line")
    return line is not None and was is not None and abs(exact(line) - was) <= HIDDEN_AT_MOST


def rip_again(piece: Piece, width: Length, step: Step) -> str:
    """Return in words how a side is ripped to another width, or that its board is too narrow; "" if
    there is nothing to say."""
    names = {"side": "height", "bottom": "width", "top": "width"}
    was = figure_before(piece, f"rip-{piece.kind}", names[piece.kind])
    if was is None:
        return ""
    if exact(width) > was:
        return (
            f"ripped to {in_words(was, step)} before, too narrow for {in_words(width, step)}: "
            "take a new board"
        )
    if piece.kind != "side":
        return ""
    done = [what for id_, what in _AT_BOTTOM if id_ in piece.before]
    edge = f"the bottom edge ({' and '.join(done)})" if done else "the bottom edge"
    return (
        f"ripped to {in_words(was, step)} before: run {edge} along the fence, so that the waste, "
        f"{in_words(was - exact(width), step)}, comes off the top edge"
    )


_AT_BOTTOM = (("ease", "eased"), ("cleat-line", "cleat line inside"))


def ends_before(piece: Piece, cut: SideCut, step: Step) -> Literal["", "stay", "short", "recut"]:
    """Return whether a side's ends, cut before its rip was opened again, `stay`, the board is too
    `short` for its cut of today, or must be `recut`; or "" if its ends aren't cut."""
    bottom = figure_before(piece, "cut-side", "bottom_length")
    if bottom is None:
        return ""
    more = exact(cut.bottom_length) - bottom
    if more > step.size / 2:
        return "short"
    high = _height_then(piece)
    if high is None:
        return "recut"
    apart = [abs(more)]
    for end, now in (("end1_offset", cut.end1), ("end2_offset", cut.end2)):
        was = figure_before(piece, "cut-side", end)
        assert was is not None
        apart.append(abs(was / high * cut.height - exact(now.offset)))
    return "stay" if max(apart) <= step.size / 2 else "recut"


def _height_then(piece: Piece) -> Fraction | None:
    """Return a side's width when its ends were cut; None along a ridge, where the slopes determine
    it."""
    cut = piece.before["cut-side"].cut
    if cut is None or cut.settings.get("form") == "ridge":
        return None
    own = cut.settings.get("height_b") if piece.key == "B" else None
    return Fraction(own or cut.section["height"])


def too_short(piece: Piece, cut: SideCut, step: Step) -> str:
    """Return the sentence for a board that was cut shorter before than it must be now."""
    was = figure_before(piece, "cut-side", "bottom_length")
    assert was is not None
    return (
        f"Cut to {in_words(was, step)} along the bottom edge before, and now "
        f"{in_words(cut.bottom_length, step)} is needed: take a new board."
    )


def edge_too_short(piece: Piece, edges: tuple[Length, Length], step: Step) -> str:
    """Return the sentence for a bottom or top that was cut shorter than its edges A and B must be
    today; "" if it wasn't."""
    for step_id in ("cut-bottom", "fix-top"):
        for name, now in zip(("edge_a", "edge_b"), edges, strict=True):
            was = figure_before(piece, step_id, name)
            if was is not None and exact(now) - was > step.size / 2:
                return (
                    f"Cut to {in_words(was, step, 'down')} along edge {name[-1].upper()} before, "
                    f"and now {in_words(now, step, 'down')} is needed: take a new board."
                )
    return ""


_BLUR = 1e-6
"""The floating-point error of hundredths of a degree."""


def bevels_of(beam: Beam, piece: Piece, fit: DryFit | None) -> tuple[BackBevel, ...]:
    """Return the back bevels of a side for its dry `fit`; if it can't be tried yet, those for a
    wall out of square. Raises `BadInput`."""
    if fit is not None:
        return fit.bevels
    made = marks(beam, piece)
    if not isinstance(made, SideMarks):
        return ()
    usual = float(BACK_BEVEL)
    return tuple(
        BackBevel(end, one.by, max(usual, one.deg), BEVEL_FROM, pare=True, relief=one.by)
        for end, one in zip(BOTH, made.reliefs, strict=True)
        if one is not None
    )


def way_up_lines(beam: Beam, piece: Piece, step: Step) -> list[str]:
    """Return how a board goes up, in lines; none if it goes straight up without a back bevel, or if
    that isn't known. Computed once for each beam."""
    if piece.kind not in TO_LENGTH:
        return []
    return beam.once(f"way up {piece.key} {step.name}", lambda: _lines(beam, piece, step))


def _lines(beam: Beam, piece: Piece, step: Step) -> list[str]:
    try:
        fit = dry_fit_of(beam, piece, step)
        bevels = bevels_of(beam, piece, fit)
    except BadInput:
        return []
    return [*order_lines(fit), *(bevel_line(one, step) for one in bevels)]


def way_up_words(beam: Beam, piece: Piece, step: Step) -> str:
    """Return the same in one line for the installer, also if it doesn't go in or isn't known."""
    if lines := way_up_lines(beam, piece, step):
        return "; ".join(lines)
    try:
        fit = dry_fit_of(beam, piece, step)
    except BadInput:
        fit = None
    if fit is None:
        return "which way it goes up isn't known yet"
    return "doesn't go in: see its dry fit" if fit.way == "no way" else ""


def fit_way_lines(fit: DryFit, step: Step) -> list[str]:
    """Return the lines on how a board goes up, from its dry fit."""
    return [*order_lines(fit), *(bevel_line(one, step) for one in fit.bevels)]


def order_lines(fit: DryFit | None) -> list[str]:
    """Return which end goes up first, in a line; none if the board goes straight up."""
    if fit is None or fit.first is None:
        return []
    other = 3 - fit.first
    if fit.as_one:
        return [f"put end {fit.first} of the sides and the top, as one, up first, then end {other}"]
    how = "swing" if any(one.swings for one in fit.bevels) else "push"
    return [f"put end {fit.first} up first, then {how} end {other} in"]


def bevel_line(one: BackBevel, step: Step) -> str:
    """Return in one line what the back must lose at an end, and why. The amount is the cut list's,
    left out if the angle alone is enough. The angle covers both the wall and swinging in, and is
    never shown too small.

    The bevel leaves the part below it square (see `BackBevel`). That part is pared too for a wall
    out of square, but not for an end that only swings in.
    """
    angle = math.ceil(one.deg * 100 - _BLUR) / 100
    line = f"back bevel at end {one.end}: set {angle:.2f}\u00b0 from {in_words(one.start, step)} up"
    more = exact(one.by) - exact(one.relief) > SIXTY_FOURTH
    if by := exact(one.by if more else one.relief):
        line += f", {in_words(by, step, 'up')} or more off the back"
    why = " and ".join(
        reason
        for reason, is_so in (
            ("for the wall out of square", exact(one.relief) > 0),
            ("to let it swing in", one.swings),
        )
        if is_so
    )
    below = "pare as much off the part below" if one.pare else "the part below stays square"
    return f"{line}, {why}; {below}"


GOES_UP = ("tack", "nail-side", "nail-bottom", "glue-bottom")
"""The usual steps that put a board up."""
LEVEL = "Level: hold the bottom edges level by the laser's line."
TO_SLOPE = (
    "Sloped: don't level these. Hold the bottom edges parallel to the slope: the same distance "
    "off the laser's line, tilted along the slope, at both ends and the center."
)
STRAIGHT_UP = "A board goes straight up where no end is named to go first."
NO_PRY = "Measure the ceiling, and how far to pry each end down shows here."


class AtTheWall(NamedTuple):
    """The text of a step without a machine: `notes` common to all boards, `own` for one board."""

    notes: tuple[str, ...] = ()
    own: str = ""


def at_the_wall(beam: Beam, piece: Piece, step_id: str, step: Step) -> AtTheWall:
    """Return the notes for a step at the wall; empty if nothing is known."""
    if step_id in GOES_UP:
        return AtTheWall((STRAIGHT_UP,), way_up_words(beam, piece, step))
    if step_id == "level" and is_made_for(step_id, piece):
        return _level(beam, piece, step)
    if done_before(beam, piece, step_id):
        return AtTheWall(own=CHECK_OFF)
    return AtTheWall()


def _level(beam: Beam, piece: Piece, step: Step) -> AtTheWall:
    notes = [TO_SLOPE if beam.ceiling == "sloped" else LEVEL]
    own = []
    try:
        made = scribe_of(beam)
    except BadInput:
        made = None
    if made is None:
        notes.append(NO_PRY)
    else:
        own += [pry_line(one, step) for one in made.pry_down if one.side == piece.key]
        own = own or ["pushed up it hangs right: pry nothing down"]
    return AtTheWall(tuple(notes), "; ".join([*own, *_apart(beam, piece, step)]))


def _apart(beam: Beam, piece: Piece, step: Step) -> list[str]:
    """Return how side B differs from side A in width, and how far apart their bottom edges hang."""
    if piece.key != "B" or len(sides_under(beam)) < 2:
        return []
    more = height_as_cut(beam, "B") - height_as_cut(beam, "A")
    lower = (beam.height_b or beam.section.height) - beam.section.height
    lines = []
    if more:
        how = "wider" if more > 0 else "narrower"
        lines.append(
            f"{in_words(abs(more), step)} {how} than side A: go by the bottom edges, not the top "
            "edges"
        )
    if beam.form.id == "ridge" and lower:
        how = "below" if lower > 0 else "above"
        lines.append(f"its bottom edge hangs {in_words(abs(lower), step)} {how} side A's")
    return lines
