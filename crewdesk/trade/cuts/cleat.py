"""A cleat's place and length on the back of a side, clear of the walls and the bevels."""

from fractions import Fraction
from typing import NamedTuple

from crewdesk.length import Length
from crewdesk.trade.angle import tangent
from crewdesk.trade.cuts.side_board import Side, SideCut

CLEAT = Fraction(3, 4)
"""The usual reach of a cleat off its side, and its height, in inches, if the job has no other rule
(common practice, no source)."""
CLEARANCE = Fraction(1, 16)
"""A cleat's clearance at each end, in inches (common practice, no source)."""


class CleatCut(NamedTuple):
    """A cleat, in inches.

    `line` is its lower edge up from the side's bottom edge, `projection` its reach off the side,
    `height` how far it goes up. It starts `start` from the bottom corner of the side's show face at
    end 1, measured along the bottom edge, or on a wall from the end wall at end 1, along its own
    lower edge, and is `length` long; both None until the side is measured.
    """

    on: str
    line: Length
    projection: Fraction
    height: Fraction
    start: Length | None = None
    length: Length | None = None


def cleat_span(
    cut: SideCut,
    side: Side,
    line: Length,
    projection: Fraction,
    height: Fraction,
    thickness: Fraction,
    back_bevel: Fraction,
    skews: tuple[Length, Length],
) -> tuple[Length, Length]:
    """Return where a cleat starts from its side's bottom corner at end 1, at the show face, and
    its length, in inches.

    At each end it stays inside the side's end at the worst of its own two heights (the cut
    moves by offset / side width per inch up), inside the back bevel there, thickness x
    tan(`back_bevel`), and off a wall whose line comes in behind the show face by its skew
    over thickness + projection; and `CLEARANCE` inside that. `skews` are how much farther
    side A reaches per inch across at end 1 and end 2.
    """
    bevel = thickness * tangent(back_bevel)
    taken = []
    for end, skew in zip((cut.end1, cut.end2), skews, strict=True):
        rate = end.offset / cut.height
        behind = skew if side == "A" else -skew
        face = max(rate * line, rate * (line + height))
        taken.append(face + max(bevel, behind * (thickness + projection)) + CLEARANCE)
    return taken[0], cut.bottom_length - taken[0] - taken[1]


def wall_cleat_span(
    rates: tuple[Length, Length],
    skews: tuple[Length, Length],
    room: Length,
    projection: Fraction,
    height: Fraction,
) -> tuple[Length, Length]:
    """Return where a cleat on the wall that a beam stands along starts from the end wall at end
    1, along its lower edge on that wall, and its length, in inches.

    `room` is between the end walls along that edge; `rates` are how far they come in per inch
    up, `skews` how far they reach toward the wall behind per inch across. Its ends are square:
    each stays off its end wall at the upper edge where that comes in, at the lower where it goes
    out, at the face that stands off the wall where the room is less there; and `CLEARANCE` off it.
    """
    zero = Fraction(0)
    first, second = (
        max(zero, rate * height) + max(zero, -skew * projection) + CLEARANCE
        for rate, skew in zip(rates, skews, strict=True)
    )
    return first, room - first - second
