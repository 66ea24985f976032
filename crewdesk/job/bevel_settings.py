"""The back bevel of a side's ends: which end of which board, at which angle, from how high."""

from collections.abc import Sequence

from crewdesk.job.cut import BACK_BEVEL as BEVEL
from crewdesk.job.cut import Cut, Part
from crewdesk.job.marks import BackRelief
from crewdesk.job.walls import BOTH
from crewdesk.trade.cuts.dry_fit import BEVEL_FROM, DryFit
from crewdesk.trade.cuts.side_board import End, Side, ends_left_to_right
from crewdesk.trade.cuts.skew import BACK_BEVEL
from crewdesk.trade.length import SIXTY_FOURTH, Length, Step, exact, show_length

BEGINS = "begins up from the bottom"
NO_BEVEL = "No back bevel needed: these boards go straight up and no wall asks for one."
NO_BEVEL_CUT = "none needed"
NOT_KNOWN = (
    "Which end slides in isn't known yet: measure wall to wall and the gap at both ends first."
)
_STAYS = "The show face stays as it is. Below where the bevel begins the end stays square."


def seen_at(side: Side, end: End) -> str:
    """Return where an end of a side is, looking at its show face: "left" or "right"."""
    return "left" if ends_left_to_right(side)[0] == end else "right"


def bevel_cuts(
    side: Side, reliefs: Sequence[BackRelief | None], fit: DryFit | None, step: Step
) -> tuple[Cut, ...] | str:
    """Return a side's cuts, one for each end whose back must be relieved; `NO_BEVEL` where the
    board goes straight up and neither must, `NOT_KNOWN` where it isn't measured.

    An end's back is relieved for a wall that leaves the show face more room (`reliefs`, those of
    end 1 and end 2, see `SideMarks`), or because that end swings in last (`fit`). The angle is
    the usual one, or what the wall asks for where that is more.
    """
    swings = {} if fit is None else {one.end: one for one in fit.bevels}
    cuts: list[Cut] = []
    for end, relief in zip(BOTH, reliefs, strict=True):
        swing = swings.get(end)
        if relief is None and swing is None:
            continue
        degrees = [BACK_BEVEL]
        degrees += [exact(one.deg) for one in (relief, swing) if one is not None]
        notes = [_for_wall(relief, step)] if relief is not None else []
        if relief is not None and relief.compound:
            notes.append("The end's compound setting (cut list) does all of it in one cut.")
        if relief is None or (fit is not None and fit.way == "one end first" and end == 2):
            other = 3 - end
            notes.append(
                f"This end swings in last, so put end {other} up first. If you start with this "
                f"end instead, bevel end {other} the same way."
            )
        if relief is None:
            notes.append(_STAYS)
        name = f"end {end}, the {seen_at(side, end)} end seen from the show face"
        parts = (Part(BEVEL, max(degrees), "up"), Part(BEGINS, BEVEL_FROM))
        cuts.append(Cut("saw or plane", parts, name, notes=tuple(notes), turn=end))
    if cuts:
        return tuple(cuts)
    return NOT_KNOWN if fit is None else NO_BEVEL


def _for_wall(relief: BackRelief, step: Step) -> str:
    """What the back must lose for the wall, and how the lowest inch is brought to it."""
    by = _at_least(relief.by, step)
    return (
        f"This wall is out of square: the back must be {by} shorter than the show face. The bevel "
        f"leaves the lowest inch square, so pare {by} off its back too, up to the show face's line."
    )


def _at_least(by: Length, step: Step) -> str:
    if exact(by) < SIXTY_FOURTH and not step.mm:
        return "up to 1/64 in"
    shown = show_length(by, step, way="up") + ("" if step.mm else " in")
    return f"at least {shown}"
