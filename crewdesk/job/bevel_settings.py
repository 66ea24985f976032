"""The back bevel of a side's ends: which end, at which angle, from how high up."""

from collections.abc import Sequence
from fractions import Fraction

from crewdesk.job.cut import BACK_BEVEL as BEVEL
from crewdesk.job.cut import Cut, Part
from crewdesk.job.marks import BackRelief
from crewdesk.trade.cuts.skew import BACK_BEVEL
from crewdesk.trade.length import Step, exact, show_length

BEGINS = "begins up from the bottom"
BEGINS_AT = Fraction(1)
"""How far up the back bevel begins, so that it never shows, in inches (common practice, no
source)."""
NO_END = "the end that slides in"
_STAYS = "The show face stays as it is. Below where the bevel begins the end stays square."


def bevel_cuts(reliefs: Sequence[BackRelief | None], step: Step) -> tuple[Cut, ...]:
    """Return one cut for each end whose back must be relieved, or one for the end that slides
    in where neither must. The angle is the usual one, or what the wall asks for where that is
    more. `reliefs` are those of end 1 and end 2 (see `SideMarks`)."""
    cuts: list[Cut] = []
    for end, one in enumerate(reliefs, 1):
        if one is None:
            continue
        by = show_length(one.by, step, way="up") + ("" if step.mm else " in")
        notes = [
            f"The back must lose {by} or more for the wall: pare that off the lowest inch too, "
            "up to the show face's line."
        ]
        if one.compound:
            notes.append("The end's compound setting (cut list) does all of it in one cut.")
        angle = max(BACK_BEVEL, exact(one.deg))
        cuts.append(_cut(f"end {end}", angle, notes)._replace(turn=len(cuts) + 1))
    return tuple(cuts) or (_cut(NO_END, BACK_BEVEL, [_STAYS]),)


def _cut(where: str, angle: Fraction, notes: Sequence[str]) -> Cut:
    parts = (Part(BEVEL, angle, "up"), Part(BEGINS, BEGINS_AT))
    return Cut("saw or plane", parts, where, notes=tuple(notes))
