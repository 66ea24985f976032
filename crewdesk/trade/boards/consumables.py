"""Supplies: how much tape, nails, adhesive, glue, sandpaper and wedge stock a job needs, in packs.

Every amount is exact; only the packs to buy are rounded, always up to whole ones.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.length import INCHES_PER_FOOT
from crewdesk.trade.bounds import more_than_zero, zero_or_more

CUBIC_INCHES_PER_FLUID_OUNCE = Fraction(231, 128)
"""A US gallon is 231 cubic inches and 128 fluid ounces (NIST Handbook 44, appendix C)."""
SQUARE_INCHES_PER_SQUARE_FOOT = 144


@dataclass(frozen=True)
class Spare:
    """How much more than needed: `percent` of it, or `count` pieces, whichever is more.

    Raises `BadInput`.
    """

    percent: Fraction = Fraction(0)
    count: int = 0

    def __post_init__(self) -> None:
        for name in ("percent", "count"):
            zero_or_more(f"spare {name}", getattr(self, name), "")


@dataclass(frozen=True)
class Packs:
    """`amount` of a supply, in the unit of one `pack`'s content, and the whole packs to buy."""

    amount: Fraction
    pack: Fraction
    buy: int


def with_spare(count: int, spare: Spare) -> int:
    """Return a count with its spares: a percentage is rounded up to a whole one.

    Raises `BadInput`.
    """
    zero_or_more("count", count, "")
    if count == 0:
        return 0
    return count + max(math.ceil(count * spare.percent / 100), spare.count)


def packs(amount: Fraction, pack: Fraction, waste_percent: Fraction = Fraction(0)) -> Packs:
    """Return the whole packs for an amount and a percentage of waste on it.

    Raises `BadInput`.
    """
    for name, value in (("amount", amount), ("waste", waste_percent)):
        zero_or_more(f"{name}", value, "")
    if pack <= 0:
        raise BadInput("A pack has {pack}; type a number above zero.", pack=pack)
    used = amount * (1 + waste_percent / 100)
    return Packs(used, pack, math.ceil(used / pack))


def tape(
    runs: Iterable[Fraction], roll_yards: Fraction = Fraction(60), tail: Fraction = Fraction(4)
) -> Packs:
    """Return rolls of tape for one strip along each run, in inches, and a tail at each.

    60 yards to a roll and a 4 in tail to tear at: common practice, no source.
    """
    found = list(runs)
    inches = sum(found, tail * len(found))
    return packs(inches, roll_yards * 3 * INCHES_PER_FOOT)


def nails_along(length: Fraction, spacing: Fraction, from_end: Fraction) -> int:
    """Return the nails along a run: one `from_end` inches from each end, none further apart than
    `spacing` between; a run too short for two gets one in its middle.

    Raises `BadInput`.
    """
    if length <= 0:
        raise BadInput(
            "A stretch of {length} in can't be nailed; it must be more than zero.", length=length
        )
    more_than_zero("nails' spacing", spacing)
    zero_or_more("distance from the end", from_end, "")
    between = length - 2 * from_end
    return 1 if between <= 0 else math.ceil(between / spacing) + 1


def nails(
    runs: Iterable[Fraction],
    spacing: Fraction,
    from_end: Fraction,
    box: int,
    waste_percent: Fraction = Fraction(0),
) -> Packs:
    """Return boxes of nails of one length for runs nailed at one spacing."""
    number = sum(nails_along(run, spacing, from_end) for run in runs)
    return packs(Fraction(number), Fraction(box), waste_percent)


def feet_of_bead(fluid_ounces: Fraction, diameter: Fraction) -> float:
    """Return the feet of round bead, `diameter` inches thick, in a tube.

    Volume over the circle's area: ounces x 231/128 / (pi d^2 / 4) / 12.
    Raises `BadInput`.
    """
    more_than_zero("thickness of the bead", diameter)
    if fluid_ounces <= 0:
        raise BadInput("A pack has {pack}; type a number above zero.", pack=fluid_ounces)
    area = math.pi * float(diameter) ** 2 / 4
    return float(fluid_ounces * CUBIC_INCHES_PER_FLUID_OUNCE) / area / INCHES_PER_FOOT


def adhesive(
    runs: Iterable[Fraction],
    diameter: Fraction,
    tube_ounces: Fraction,
    waste_percent: Fraction = Fraction(10),
) -> Packs:
    """Return tubes of adhesive for one bead along each run, amounts in feet of bead.

    A tenth stays in tubes and nozzles: common practice, no source.
    """
    feet = sum(runs, Fraction(0)) / INCHES_PER_FOOT
    return packs(feet, Fraction(feet_of_bead(tube_ounces, diameter)), waste_percent)


def glue(
    square_inches: Fraction,
    mils: Fraction,
    bottle_ounces: Fraction,
    waste_percent: Fraction = Fraction(0),
) -> Packs:
    """Return bottles of glue for an area at a spread of `mils` thousandths of an inch, in ounces.

    Raises `BadInput`, and what `packs` raises.
    """
    more_than_zero("glue's spread", mils, " mils")
    ounces = square_inches * mils / 1000 / CUBIC_INCHES_PER_FLUID_OUNCE
    return packs(ounces, bottle_ounces, waste_percent)


def sandpaper(square_inches: Fraction, square_feet_per_sheet: Fraction, grits: int = 1) -> Packs:
    """Return sheets for an area sanded with each grit in turn, in square feet.

    How far a sheet goes is the user's own figure; there is no source for one.
    """
    feet = square_inches / SQUARE_INCHES_PER_SQUARE_FOOT * grits
    return packs(feet, square_feet_per_sheet)


def wedges(joints: int, percent_with_gap: Fraction, each: Fraction, board: Fraction) -> Packs:
    """Return boards of `board` inches to rip wedge stock from, for the share of joints that will
    show a gap, `each` inches of wedge; whole joints, rounded up."""
    zero_or_more("joints", joints, "")
    gaps = math.ceil(joints * percent_with_gap / 100)
    return packs(gaps * each, board)
