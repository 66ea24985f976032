"""A sliver of matching scrap, ripped to a point, that closes a gap after the install.

An edge of scrap is ripped with the blade tilted; the fence is moved, the board turned
face for face, and ripped again, so that the off-cut comes to a point. Common practice,
no source: about 5 degrees on 3/4 in stock, a back of 1/16 to 1/8 in; glued, pushed in
and cut off flush.
"""

import math
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import BadInput
from crewdesk.length import THIRTY_SECOND, Length, exact, rounded_up
from crewdesk.trade.angle import arctangent, tangent, times
from crewdesk.trade.bounds import more_than_zero

STEEPEST_BEVEL = 45
"""A saw's blade tilts no further, in degrees."""
TENTH = Fraction(1, 10)


class Wedge(NamedTuple):
    """A wedge's shape: `included_deg` at its point, `back_thickness` opposite to it, and
    how deep it goes into the gap before it is tight, `seats_at`; lengths in inches.

    `seats_at` is None where no gap was given.
    """

    included_deg: Fraction
    back_thickness: Length
    seats_at: Length | None


def wedge(stock: Fraction, bevel: Fraction, gap: Fraction | None = None) -> Wedge:
    """The wedge ripped from `stock` inches at `bevel` degrees, and how it sits in `gap`.

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
    """The least bevel, to the next tenth of a degree, whose back is as thick as `gap`."""
    return math.ceil(exact(arctangent(gap / (2 * stock))) / TENTH) * TENTH


def _seat(gap: Fraction, bevel: Fraction) -> Length:
    slope = tangent(bevel)
    if isinstance(slope, Fraction):
        return gap / (2 * slope)
    return float(gap) / (2 * slope)
