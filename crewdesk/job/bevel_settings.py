"""The back bevel of a side's ends: which end of which board, at which angle, from how high."""

from crewdesk.job.beam import Beam
from crewdesk.job.cut import BACK_BEVEL as BEVEL
from crewdesk.job.cut import Cut, Part
from crewdesk.job.dry_fits import dry_fit_of
from crewdesk.job.edges import square_unread
from crewdesk.job.in_plan import compound_cuts
from crewdesk.job.piece import Piece
from crewdesk.job.way_up import bevel_line, bevels_of, order_lines
from crewdesk.length import Step
from crewdesk.trade.cuts.side_board import End, Side, ends_left_to_right

BEGINS = "starts at a height of"
NO_BEVEL = "No back bevel needed: these boards don't swing in and no wall asks for one."
NO_BEVEL_CUT = "none needed"
NOT_KNOWN = (
    "Which end slides in isn't known yet: measure wall to wall and the gap at both ends first."
)
_STAYS = "The show face stays as it is."


def seen_at(side: Side, end: End) -> str:
    """Return where an end of a side is, looking at its show face: "left" or "right"."""
    return "left" if ends_left_to_right(side)[0] == end else "right"


def bevel_cuts(beam: Beam, piece: Piece, step: Step) -> tuple[Cut, ...] | str:
    """Return a side's cuts, one for each end whose back must be relieved; `NO_BEVEL` where the
    board goes straight up and neither must, `NOT_KNOWN` where it isn't measured, and what to read
    where a wall's square must be read first. Raises `BadInput`.

    An end's back is relieved for a wall that leaves the show face more room, or because that end
    swings in last. The angle is the usual one, or what the wall asks for where that is more.
    """
    side: Side = "A" if piece.key == "A" else "B"
    fit = dry_fit_of(beam, piece, step)
    compound = {one.end for one in compound_cuts(beam, piece)}
    cuts: list[Cut] = []
    for one in bevels_of(beam, piece, fit):
        notes = [_STAYS]
        if one.end in compound and not one.swings:
            notes.append("The end's compound setting (cut list) does all of it in one cut.")
        name = f"end {one.end}, the {seen_at(side, one.end)} end seen from the show face"
        parts = (Part(BEVEL, one.deg, "up"), Part(BEGINS, one.start))
        own = "; ".join([*order_lines(fit), bevel_line(one, step)])
        cuts.append(Cut("saw or plane", parts, name, notes=tuple(notes), turn=one.end, own=own))
    unread = square_unread(beam)
    if not cuts:
        return NOT_KNOWN if fit is None else unread or NO_BEVEL
    if unread:
        cuts[-1] = cuts[-1]._replace(notes=(*cuts[-1].notes, f"! {unread}"))
    return tuple(cuts)
