"""Where along a beam the ceiling was read, and how high it is there."""

from fractions import Fraction
from typing import NamedTuple

from crewdesk.trade.cuts.side_board import Side


class Station(NamedTuple):
    """Heights of the ceiling over the laser line, `at` inches from end 1, over each side."""

    at: Fraction
    height_a: Fraction
    height_b: Fraction

    def height(self, side: Side) -> Fraction:
        """The height over that side."""
        return self.height_a if side == "A" else self.height_b
