"""How a board goes up, in words: which end first, which end's back is beveled, and how.

The one place for these sentences: the cut list, the sheets, the piece, the dry fit and the
batches all show them.
"""

import math

from crewdesk.errors import BadInput
from crewdesk.job.beam import Beam
from crewdesk.job.cut import in_words
from crewdesk.job.dry_fits import TO_LENGTH, dry_fit_of
from crewdesk.job.marks import SideMarks, marks
from crewdesk.job.piece import Piece
from crewdesk.job.walls import BOTH
from crewdesk.length import SIXTY_FOURTH, Step, exact
from crewdesk.trade.cuts.dry_fit import BEVEL_FROM, BackBevel, DryFit
from crewdesk.trade.cuts.skew import BACK_BEVEL

_BLUR = 1e-6
"""Hundredths of a degree that are floats' alone."""


def bevels_of(beam: Beam, piece: Piece, fit: DryFit | None) -> tuple[BackBevel, ...]:
    """Return the back bevels of a side as its dry `fit` needs them; where it can't be tried yet,
    those that a wall out of square asks for. Raises `BadInput`."""
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
    """Return how a board goes up, in lines; none where it goes straight up with no back bevel,
    or where that isn't known yet. Worked out once for each beam."""
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
    """Return the same in one line, for whoever puts the board up: also where it doesn't go in, or
    that isn't known."""
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
    """Return the same of a dry fit."""
    return [*order_lines(fit), *(bevel_line(one, step) for one in fit.bevels)]


def order_lines(fit: DryFit | None) -> list[str]:
    """Return which end goes up first, in a line; none where the board goes straight up."""
    if fit is None or fit.first is None:
        return []
    other = 3 - fit.first
    if fit.as_one:
        return [f"put end {fit.first} of the sides and the top, as one, up first, then end {other}"]
    how = "swing" if any(one.swings for one in fit.bevels) else "push"
    return [f"put end {fit.first} up first, then {how} end {other} in"]


def bevel_line(one: BackBevel, step: Step) -> str:
    """Return what the back must lose at an end, and why, in one line. The figure is the cut
    list's, and none where the angle alone takes enough. The angle is the one to set, for the wall
    and for swinging in alike, and is never shown under what is needed.

    The bevel leaves the part below it square (see `BackBevel`): a wall out of square has that
    pared as well, an end that only swings in doesn't.
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
