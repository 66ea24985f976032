"""Settings for a side's ends: cut to length, and the back bevel."""

from collections.abc import Collection, Iterable
from typing import Literal

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.in_plan import CompoundAt, compound_cuts
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.at_the_wall import bevel_line, bevels_of, order_lines
from crewdesk.job.cuts.bottoms import square_unread
from crewdesk.job.cuts.cut import BACK_BEVEL as BEVEL
from crewdesk.job.cuts.cut import MITER, Cut, Lies, Part
from crewdesk.job.cuts.dry_fits import dry_fit_of
from crewdesk.job.cuts.end_settings import MITER_SAW
from crewdesk.length import Length, Step, Way, show_length
from crewdesk.trade.cuts.saw_passes import Hand
from crewdesk.trade.cuts.side_board import End, EndCut, Side, SideCut, ends_left_to_right

BEGINS = "starts at a height of"
NO_BEVEL = "No back bevel needed: these boards don't swing in and no wall asks for one."
NO_BEVEL_CUT = "none needed"
NOT_KNOWN = (
    "Which end slides in isn't known yet: measure wall to wall and the gap at both ends first."
)
_STAYS = "The show face stays as it is."


def seen_at(side: Side, end: End) -> Hand:
    """Return where an end of a side is, seen from its show face: "left" or "right"."""
    return "left" if ends_left_to_right(side)[0] == end else "right"


def bevel_cuts(beam: Beam, piece: Piece, step: Step) -> tuple[Cut, ...] | str:
    """Return a side's cuts, one for each end whose back must be relieved.

    `NO_BEVEL` if the board goes straight up and needs none, `NOT_KNOWN` if it isn't measured, or
    what to measure if a wall needs the square first. Raises `BadInput`. An end's back is relieved
    for a wall that leaves the show face more room, or because that end swings in last. The angle is
    the usual one, or the wall's if larger.
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


SQUARE_BLANK = "square both ends, to the blank"
SQUARE_LENGTH = "square both ends, to length"
BLANK, FINISHED = "blank for marking", "finished length"
_MARK_NEXT = "Not the finished length: mark each board and cut both of its ends next."
_DONE = "Both ends are square: this is the finished length. Square one end, then turn the board."
_LIES = "Show face up, bottom edge against the fence."
_WIDE = "A board wider than your saw cuts: draw the line through the two marks and saw to it."


def side_cuts_to_length(
    side: Side, cut: SideCut, compound: Iterable[CompoundAt], step: Step, *, again: bool = False
) -> tuple[Cut, ...]:
    """Return a side's cuts: square to its blank, then its left and its right end as seen from
    the show face; without the first where its ends were cut before and are cut `again`.
    Each end's miter is its setting; what is marked on that board is in `own`.

    The blank reaches to the outer corner of each end: a top that is cut back is marked from the
    blank's end, and a top that runs out past leaves the bottom corner inside it. An end that is
    square is done with the blank and isn't cut again, and a side with two of them is cut to its
    finished length at once. `compound` are the board's compound cuts, if it has any.
    """
    blades = {one.end: one.cut.blade_deg for one in compound}
    ends: dict[End, EndCut] = {1: cut.end1, 2: cut.end2}
    square = {end for end, one in ends.items() if not one.offset and not blades.get(end)}
    if len(square) == len(ends):
        stop = Part(FINISHED, cut.bottom_length, "down")
        return (_stopped(stop, SQUARE_LENGTH, _DONE),)
    cuts = [] if again else [_blank(side, cut, square)]
    long = (
        f"bottom edge {_shown(cut.bottom_length, step, 'down')} long, "
        f"top edge {_shown(cut.top_length, step, 'down')}"
    )
    done: set[End] = set() if again else square
    to_cut = [end for end in ends_left_to_right(side) if end not in done]
    for end in to_cut:
        seen, one = seen_at(side, end), ends[end]
        marked = [f"end {end}: {_top(one, step)}"]
        if end == to_cut[-1]:
            marked.append(long)
        elif one.offset < 0 and not again:
            marked.append(_corner(one, step))
        if blades.get(end):
            marked.append(_blade(blades[end]))
        cuts.append(
            Cut(
                MITER_SAW,
                (Part(MITER, abs(one.angle_deg)),),
                f"{seen} end, seen from the show face",
                notes=_notes(one),
                turn=2 if seen == "left" else 3,
                own="; ".join(marked),
                lies=_lies(seen, one),
            )
        )
    return tuple(cuts)


def _blank(side: Side, cut: SideCut, square: Collection[End]) -> Cut:
    """Return the cut of a side's blank, with its `square` end, if any, cut for good."""
    note = _MARK_NEXT
    for end in square:
        seen = seen_at(side, end)
        other = "right" if seen == "left" else "left"
        note = (
            f"Not the finished length: the {seen} end is square and stays; mark each board from "
            f"it and cut its {other} end next."
        )
    return _stopped(Part(BLANK, cut.blank, "up"), SQUARE_BLANK, note)


def _stopped(stop: Part, name: str, note: str) -> Cut:
    """Return a square cut to a stop, which can be on either side of the blade."""
    return Cut("saw stop", (stop,), name, notes=(note,), lies=Lies("above"))


def _lies(seen: Hand, end: EndCut) -> Lies:
    """Return how a side lies for the miter of an end that is at `seen` from the show face: with its
    bottom edge at the fence, away from the user, that end is turned to the other hand, so the board
    is on the side of the blade that the end is named for."""
    point: Literal["fence", "free", ""] = ""
    if end.offset:
        point = "fence" if end.offset > 0 else "free"
    return Lies("above", seen, "", "back", True, point, "bottom edge")


def _notes(end: EndCut) -> tuple[str, ...]:
    if not end.offset:
        return (_LIES, _WIDE)
    edge = "bottom" if end.offset > 0 else "top"
    return (_LIES, f"Long point on the {edge} edge.", _WIDE)


def _top(end: EndCut, step: Step) -> str:
    """Return how far the top goes off the square line through the bottom corner, rounded so that
    the top is never too long."""
    if not end.offset:
        return "square"
    if end.offset > 0:
        return f"top cut back {_shown(end.offset, step, 'up')} from the square line"
    return f"top runs out {_shown(-end.offset, step, 'down')} past the square line"


def _corner(end: EndCut, step: Step) -> str:
    """Return the same offset again, as the same figure."""
    return f"bottom corner {_shown(-end.offset, step, 'down')} inside the blank's end"


def _blade(degrees: float) -> str:
    longer = "show face" if degrees > 0 else "back"
    return (
        f"for the wall out of square, or back-bevel it later: blade {abs(degrees):.2f}\u00b0, "
        f"{longer} longer"
    )


def _shown(value: Length, step: Step, way: Way) -> str:
    return show_length(value, step, way=way) + ("" if step.mm else " in")
