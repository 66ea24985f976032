"""The back bevel of a side's ends: which end, at which angle, from how high up."""

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from crewdesk.job.cut import BACK_BEVEL, Cut, Part, in_words
from crewdesk.job.in_plan import BACK_BEVEL as USUAL_BEVEL
from crewdesk.trade.length import SIXTY_FOURTH, Length, Step, exact, rounded_up

BEGINS = "begins up from the bottom"
BEGINS_AT = Fraction(1)
"""How far up the back bevel begins, so that it never shows, in inches (common practice, no
source)."""
NO_END = "the end that slides in"


class BackRelief(NamedTuple):
    """The least that an end's back must lose: `by` inches over the thickness, `deg` degrees."""

    end: int
    by: Length
    deg: Length


def bevel_cuts(reliefs: Sequence[BackRelief], step: Step) -> tuple[Cut, ...]:
    """One cut for each end whose back must be relieved, or one for the end that slides in
    where none must. The angle is the usual one, or what the wall asks for where that is more.
    """
    if not reliefs:
        return (_cut(NO_END, USUAL_BEVEL, ()),)
    cuts = []
    for one in sorted(reliefs, key=lambda one: one.end):
        by = rounded_up(one.by, step.size if step.mm else SIXTY_FOURTH)
        pare = (
            f"Its back must lose {in_words(by, step)} for the wall: pare that off the lowest "
            "inch too, by hand, to the show face's line."
        )
        cuts.append(_cut(f"end {one.end}", max(USUAL_BEVEL, exact(one.deg)), (pare,)))
    return tuple(cuts)


def _cut(where: str, angle: Fraction, notes: tuple[str, ...]) -> Cut:
    parts = (Part(BACK_BEVEL, angle, "up"), Part(BEGINS, BEGINS_AT))
    stays = "The show face stays as it is. Below where it begins the end stays square."
    return Cut("saw or plane", parts, where, notes=(*notes,) if notes else (stays,))
