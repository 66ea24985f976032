"""The nails that hold a side, through its face into the framing behind the drywall."""

from fractions import Fraction

from crewdesk.trade.cuts.nails import Nail, Stack, longest_nail
from crewdesk.trade.cuts.section import Section

FRAMING_GAUGE = 16
"""Trim of this weight is nailed with 16 gauge finish nails (common practice, no source)."""
DRYWALL = Fraction(1, 2)
"""Drywall between the side and its framing, in inches (common practice, no source): a nail
doesn't hold in it."""


def wall_cleat_nail(projection: Fraction) -> Nail:
    """The longest nail as sold for a cleat that stands `projection` inches off a wall, through
    it and the drywall into framing. Raises `BadInput` where none gets past them."""
    return longest_nail(Stack((projection + DRYWALL,), into_framing=True), FRAMING_GAUGE)


def side_nail(section: Section) -> Nail:
    """The longest nail as sold for a side into framing; its cautions say to look for wires.

    There is nothing for it to come through. Raises `BadInput` where none gets past the side
    and its drywall.
    """
    return longest_nail(
        Stack((section.side_thickness + DRYWALL,), into_framing=True), FRAMING_GAUGE
    )
