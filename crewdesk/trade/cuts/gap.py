"""A gap found at the fix-up: compared with published workmanship, and the wedge that closes it.

Installed trim, Architectural Woodwork Standards, 1st edition, 2009, p. 331: a joint of wood
to wood, flat, stands open no more than .012 in, one of wood to another material no more
than .050 in; a wall or ceiling out by more than 1/4 in in 144 in is not the installer's.

The wedge is a sliver of matching scrap: an edge is ripped with the blade tilted; the fence is
moved, the board turned face for face, and ripped again, so that the cutoff comes to a point. Common
practice, no source: about 5 degrees on 3/4 in stock, a back of 1/16 to 1/8 in; glued, pushed in and
cut off flush.
"""

import math
from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.errors import BadInput
from crewdesk.length import THIRTY_SECOND, Length, exact, rounded_up
from crewdesk.sentence import Caution, caution
from crewdesk.trade.angle import arctangent, tangent, times
from crewdesk.trade.bounds import more_than_zero

Against = Literal["wood", "other"]

MOST: dict[Against, Fraction] = {"wood": Fraction("0.012"), "other": Fraction("0.050")}
"""The widest gap of good work in inches, by what the wood meets (source above)."""
WIDEST = Fraction(1)
"""The widest gap, in inches; a wider one is treated as a typo."""
THOUSANDTH = Fraction(1, 1000)
_SOURCE = "(Architectural Woodwork Standards, 1st ed. 2009, p. 331)"
_OVER: dict[Against, str] = {
    "wood": (
        f"Over the {{thousandths}} thousandths of an inch allowed between wood and wood "
        f"in good work {_SOURCE}."
    ),
    "other": (
        f"Over the {{thousandths}} thousandths of an inch allowed between wood and a "
        f"wall or ceiling in good work {_SOURCE}, unless that is out by more than 1/4 "
        "in in 12 ft."
    ),
}


def gap_cautions(width: Fraction, against: Against) -> tuple[Caution, ...]:
    """Return the cautions for a gap of `width` inches; none if good work may have it.

    Raises `BadInput`.
    """
    more_than_zero("width of the gap", width)
    if width > WIDEST:
        raise BadInput(
            "A gap of {gap} in can't be right; the limit is {limit} in. Measure it again.",
            gap=width,
            limit=WIDEST,
        )
    if width <= MOST[against]:
        return ()
    return (caution(_OVER[against], thousandths=int(MOST[against] / THOUSANDTH)),)


STEEPEST_BEVEL = 45
"""The largest tilt of a saw's blade, in degrees."""
TENTH = Fraction(1, 10)


class Wedge(NamedTuple):
    """A wedge's shape: `included_deg` at its point, `back_thickness` opposite to it, and
    how deep it goes into the gap before it is tight, `seats_at`; lengths in inches.

    `seats_at` is None if no gap was given.
    """

    included_deg: Fraction
    back_thickness: Length
    seats_at: Length | None


def wedge(stock: Fraction, bevel: Fraction, gap: Fraction | None = None) -> Wedge:
    """Return the wedge ripped from `stock` inches at `bevel` degrees, and how it fits in `gap`.

    Its section is an isosceles triangle as high as the stock is thick, each flank
    `bevel` off the middle: so included = 2 x bevel, back = 2 x stock x tan(bevel), and
    it is as thick as the gap at gap / (2 x tan(bevel)) from its point.

    Raises `BadInput`, the last with the bevel (up to the
    next tenth of a degree) and the stock (up to the next 1/32 in) that would do.
    """
    more_than_zero("thickness of the stock", stock)
    if not 0 < bevel <= STEEPEST_BEVEL:
        raise BadInput(
            "A bevel of {bevel} degrees makes no wedge; it must be more than 0 and at "
            "most {limit}. About 5 is usual.",
            bevel=float(bevel),
            limit=STEEPEST_BEVEL,
        )
    back = times(2 * stock, tangent(bevel))
    if gap is None:
        return Wedge(2 * bevel, back, None)
    if gap <= 0:
        raise BadInput("The gap is {gap} in. A wedge needs a gap of more than zero.", gap=gap)
    if gap > back:
        raise BadInput(
            "A gap of {gap} in is wider than the wedge's back, {back} in. Use a bevel "
            "of {bevel} degrees, or stock {stock} in thick.",
            gap=gap,
            back=exact(back),
            bevel=float(bevel_for(gap, stock)),
            stock=rounded_up(_seat(gap, bevel), THIRTY_SECOND),
        )
    return Wedge(2 * bevel, back, _seat(gap, bevel))


def bevel_for(gap: Fraction, stock: Fraction) -> Fraction:
    """Return the least bevel, to the next tenth of a degree, whose back is as thick as `gap`."""
    return math.ceil(exact(arctangent(gap / (2 * stock))) / TENTH) * TENTH


def _seat(gap: Fraction, bevel: Fraction) -> Length:
    slope = tangent(bevel)
    if isinstance(slope, Fraction):
        return gap / (2 * slope)
    return float(gap) / (2 * slope)
