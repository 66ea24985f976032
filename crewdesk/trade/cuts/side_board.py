"""The marks on a side board: its ends follow the walls; left and right are as seen from its show
face."""

from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.errors import BadInput
from crewdesk.length import Length, exact
from crewdesk.trade.angle import arctangent
from crewdesk.trade.bounds import checked, more_than_zero, zero_or_more

Lean = Literal["in", "out"]
Side = Literal["A", "B"]
End = Literal[1, 2]

_NONE = Fraction(0)
STEEPEST_WALL = 20
"""The largest lean of a wall, in degrees; a larger one is treated as a typo."""


@checked
class EndReading(NamedTuple):
    """A level held plumb at the wall: `gap` inches over the level's length `level`.

    `lean` is where the wall's top goes: "in", toward the beam, so that the board's top is shorter,
    or "out", away from it.

    Raises `BadInput`.
    """

    gap: Fraction
    lean: Lean
    level: Fraction

    def check(self) -> None:
        """Raise `BadInput` for a value out of bounds."""
        if self.lean not in ("in", "out"):
            raise BadInput(
                "A wall can't be out of plumb {lean}. Type in (toward the beam at the top) or out.",
                lean=self.lean,
            )
        zero_or_more("gap at the level", self.gap)
        more_than_zero("level's length", self.level)
        if self.gap > self.level:
            raise BadInput(
                "A gap of {gap} in is longer than the level, {level} in. Measure the "
                "gap at the level's end.",
                gap=self.gap,
                level=self.level,
            )
        if arctangent(self.gap / self.level) > STEEPEST_WALL:
            raise BadInput(
                "A gap of {gap} in over {level} in is a wall {angle} degrees out of "
                "plumb; the limit is {limit}. Measure it again.",
                gap=self.gap,
                level=self.level,
                angle=arctangent(self.gap / self.level),
                limit=STEEPEST_WALL,
            )


PLUMB = EndReading(Fraction(0), "in", Fraction(1))


class EndCut(NamedTuple):
    """One end's cut: `offset` inches at the top, from the square line drawn at the bottom corner,
    positive if the top is cut back; `angle_deg` off square, likewise."""

    offset: Length
    angle_deg: float

    @property
    def away(self) -> Fraction:
        """How far the top goes from the square line, in either direction."""
        return abs(exact(self.offset))


class SideCut(NamedTuple):
    """A side board's marks in inches: `bottom_length` along the bottom edge,
    `top_length` along the top edge, `blank` the least square-ended length to cut from.
    They are exact under a level ceiling; a slope's tangent can make them floats."""

    height: Fraction
    bottom_length: Length
    top_length: Length
    blank: Length
    end1: EndCut
    end2: EndCut


def end_cut(reading: EndReading, height: Fraction) -> EndCut:
    """Return the cut at one end of a side `height` inches high.

    Similar triangles: the wall leaves plumb by gap over the level's length, so by
    offset = gap x height / level over the board's height, at atan(gap / level).
    """
    ratio = reading.gap / reading.level
    ratio = ratio if reading.lean == "in" else -ratio
    return EndCut(ratio * height, arctangent(ratio))


def side_cut(
    bottom_length: Fraction, height: Fraction, end1: EndReading, end2: EndReading
) -> SideCut:
    """Return all marks of one side board.

    The top edge is the bottom edge minus both offsets. The blank reaches the outer corner at each
    end: the longer edge if both walls come in or both go out, and more than either edge if one
    comes in and the other goes out, since the board is then a leaning shape in a longer rectangle.

    Raises `BadInput` if the offsets leave no top edge.
    """
    more_than_zero("side's length", bottom_length)
    more_than_zero("side's height", height)
    first, second = end_cut(end1, height), end_cut(end2, height)
    top_length = bottom_length - first.offset - second.offset
    if top_length <= 0:
        raise BadInput(
            "The two ends' offsets leave nothing of the top edge ({top_length} in). "
            "Measure the gaps again.",
            top_length=exact(top_length),
        )
    blank = bottom_length - min(_NONE, first.offset) - min(_NONE, second.offset)
    return SideCut(height, bottom_length, top_length, blank, first, second)


def ends_left_to_right(side: Side) -> tuple[End, End]:
    """Return the ends from left to right, looking at that side's show face.

    The two show faces look away from one another, so side B is seen from behind
    side A: end 1 is at A's left and at B's right.
    """
    return (1, 2) if side == "A" else (2, 1)
