"""How a side is cut to length: square to the blank, then its left and its right end."""

from collections.abc import Collection, Iterable

from crewdesk.job.bevel_settings import seen_at
from crewdesk.job.cut import MITER, Cut, Part
from crewdesk.job.end_settings import MITER_SAW
from crewdesk.job.in_plan import CompoundAt
from crewdesk.length import Length, Step, Way, show_length
from crewdesk.trade.cuts.side_board import End, EndCut, Side, SideCut, ends_left_to_right

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
        return (Cut("saw stop", (stop,), SQUARE_LENGTH, notes=(_DONE,)),)
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
            )
        )
    return tuple(cuts)


def _blank(side: Side, cut: SideCut, square: Collection[End]) -> Cut:
    """The cut of a side's blank, with its `square` end, if it has one, cut for good."""
    note = _MARK_NEXT
    for end in square:
        seen = seen_at(side, end)
        other = "right" if seen == "left" else "left"
        note = (
            f"Not the finished length: the {seen} end is square and stays; mark each board from "
            f"it and cut its {other} end next."
        )
    return Cut("saw stop", (Part(BLANK, cut.blank, "up"),), SQUARE_BLANK, notes=(note,))


def _notes(end: EndCut) -> tuple[str, ...]:
    if not end.offset:
        return (_LIES, _WIDE)
    edge = "bottom" if end.offset > 0 else "top"
    return (_LIES, f"Long point on the {edge} edge.", _WIDE)


def _top(end: EndCut, step: Step) -> str:
    """How far the top goes off the square line through the bottom corner, rounded so that the
    top never comes out longer."""
    if not end.offset:
        return "square"
    if end.offset > 0:
        return f"top cut back {_shown(end.offset, step, 'up')} from the square line"
    return f"top runs out {_shown(-end.offset, step, 'down')} past the square line"


def _corner(end: EndCut, step: Step) -> str:
    """The same offset once more, so in the same figure."""
    return f"bottom corner {_shown(-end.offset, step, 'down')} inside the blank's end"


def _blade(degrees: float) -> str:
    longer = "show face" if degrees > 0 else "back"
    return (
        f"for the wall out of square, or back-bevel it later: blade {abs(degrees):.2f}\u00b0, "
        f"{longer} longer"
    )


def _shown(value: Length, step: Step, way: Way) -> str:
    return show_length(value, step, way=way) + ("" if step.mm else " in")
