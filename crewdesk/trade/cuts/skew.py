"""Walls out of square: which face of each board is longer."""

from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.errors import BadInput
from crewdesk.length import SIXTY_FOURTH, exact, mixed, rounded_up
from crewdesk.sentence import Caution, caution
from crewdesk.trade.angle import arctangent, tangent
from crewdesk.trade.bounds import checked, more_than_zero, zero_or_more
from crewdesk.trade.cuts.side_board import STEEPEST_WALL, End, Side

Face = Literal["show", "back", "neither"]
BACK_BEVEL = Fraction(5)
"""The usual back bevel, in degrees (common practice, no source)."""


@checked
class SkewReading(NamedTuple):
    """A square held to the beam's line at the wall: `gap` inches over its leg `leg`.

    `longer` is the side whose end reaches farther before it meets the wall.

    Raises `BadInput`.
    """

    gap: Fraction
    leg: Fraction
    longer: Side

    def check(self) -> None:
        """Raise `BadInput` for a value out of bounds."""
        if self.longer not in ("A", "B"):
            raise BadInput("The longer side can't be {longer}. Type A or B.", longer=self.longer)
        zero_or_more("gap at the square", self.gap)
        more_than_zero("square's leg", self.leg)
        if arctangent(self.gap / self.leg) > STEEPEST_WALL:
            raise BadInput(
                "A gap of {gap} in over {leg} in is a wall {angle} degrees out of "
                "square; the limit is {limit}. Measure it again.",
                gap=self.gap,
                leg=self.leg,
                angle=arctangent(self.gap / self.leg),
                limit=STEEPEST_WALL,
            )

    @property
    def ratio(self) -> Fraction:
        """The tangent of the skew in plan, positive if side A is longer."""
        return (1 if self.longer == "A" else -1) * self.gap / self.leg


SQUARE = SkewReading(Fraction(0), Fraction(1), "A")


class SkewedBoardEnd(NamedTuple):
    """One side's end: the face with more room, `long_face`, and how much more, `by` inches.

    Where the back has more room, a square end touches the wall with its show face and the
    gap hides behind. Where the show face has more room, a square end would touch with its
    back and stand open at the show face, so it must lose at least `by` off its back.
    `hidden` is whether the planned back bevel does that by itself. The bevel begins about
    1 in up, so that it never shows (common practice, no source): below it such an end is
    pared to the wall.
    """

    side: Side
    end: End
    long_face: Face
    by: Fraction
    hidden: bool


def board_ends(
    readings: tuple[SkewReading, SkewReading], thickness: Fraction, back_bevel: Fraction
) -> tuple[SkewedBoardEnd, ...]:
    """Return both sides at both ends, side A first; `back_bevel` in degrees.

    The two show faces look away from one another, so where side A is the longer, its
    show face has more room and side B's back has. Over a thickness t a skew takes
    t x tan(skew), and a back bevel t x tan(bevel): it clears what is no more than that.

    Raises `BadInput`.
    """
    more_than_zero("side thickness", thickness)
    if not 0 <= back_bevel <= 45:
        raise BadInput(
            "A back bevel of {bevel} degrees is out of range. Type 0 to 45.",
            bevel=float(back_bevel),
        )
    out = []
    sides: tuple[Side, Side] = ("A", "B")
    ends: tuple[End, End] = (1, 2)
    for side in sides:
        for end, reading in zip(ends, readings, strict=True):
            ratio = reading.ratio if side == "A" else -reading.ratio
            face: Face = "neither" if ratio == 0 else "show" if ratio > 0 else "back"
            hidden = face != "show" or exact(tangent(back_bevel)) >= ratio
            out.append(SkewedBoardEnd(side, end, face, thickness * abs(ratio), hidden))
    return tuple(out)


class BottomEdges(NamedTuple):
    """The bottom board's two long edges at its show face, in inches.

    `total` is the tangent of both ends' skew together, positive if edge A is the longer; `off` is
    how much the squares and the lengths disagree about side A minus side B, or None if only one of
    them was measured.
    """

    edge_a: Fraction | None
    edge_b: Fraction | None
    a_over_b: Fraction
    total: Fraction
    off: Fraction | None
    cautions: tuple[Caution, ...]


def bottom_edges(
    width: Fraction,
    bottom_width: Fraction,
    readings: tuple[SkewReading, SkewReading] | None,
    lengths: tuple[Fraction, Fraction] | None,
    allowed: Fraction = Fraction(1, 16),
) -> BottomEdges:
    """Return edge A and edge B of a level beam from the square's readings at both ends, or from
    the lengths of sides A and B over their show faces, or from both; see `edges_by`."""
    by_square = None if readings is None else readings[0].ratio + readings[1].ratio
    return edges_by(width, bottom_width, by_square, lengths, allowed)


def edges_by(
    width: Fraction,
    bottom_width: Fraction,
    by_square: Fraction | None,
    lengths: tuple[Fraction, Fraction] | None,
    allowed: Fraction | None = None,
) -> BottomEdges:
    """Return edge A and edge B by the walls, by the lengths of sides A and B over their show
    faces, or by both, each checked by the other. `by_square` is how much longer side A is by the
    squares, per inch across, where the lengths were read: in the slope, and from the one bottom
    edge to the other.

    The sides' show faces stand `width` apart and the bottom's edges `bottom_width`, in the middle;
    between two straight walls a length changes evenly across the beam, by `total` an inch. So edge
    A is side A less total x (width - bottom_width) / 2. Lengths win over the square if both were
    read, since they span more of the wall. Two results further apart than `allowed` inches get a
    caution; none where it isn't given.

    Raises `BadInput`.
    """
    if by_square is None and lengths is None:
        raise BadInput(
            "How the walls run isn't known. Measure both ends with a square, or type "
            "the lengths of side A and side B, or both."
        )
    named = {"width": width, "bottom width": bottom_width}
    if lengths is not None:
        named |= {"length of side A": lengths[0], "length of side B": lengths[1]}
    for name, value in named.items():
        more_than_zero(f"{name}", value)
    if bottom_width > width:
        raise BadInput(
            "A bottom board {bottom} in wide doesn't go into a beam {width} in wide.",
            bottom=bottom_width,
            width=width,
        )
    if lengths is None:
        assert by_square is not None
        return BottomEdges(None, None, by_square * bottom_width, by_square, None, ())
    total = (lengths[0] - lengths[1]) / width
    if abs(total) > 2 * exact(tangent(Fraction(STEEPEST_WALL))):
        raise BadInput(
            "Lengths of {a} in and {b} in over a beam {width} in wide mean walls over "
            "20 degrees out of square. Measure both again.",
            a=lengths[0],
            b=lengths[1],
            width=width,
        )
    inset = total * (width - bottom_width) / 2
    off = None if by_square is None else abs(by_square - total) * width
    text: tuple[Caution, ...] = ()
    if off is not None and allowed is not None and off > allowed:
        text = (
            caution(
                "The square and the two lengths are {off} in apart over the beam's "
                "width, more than {allowed} in. Measure both again before you cut.",
                off=off,
                allowed=mixed(rounded_up(allowed, SIXTY_FOURTH)),
            ),
        )
    return BottomEdges(
        lengths[0] - inset, lengths[1] + inset, total * bottom_width, total, off, text
    )


def hidden_by(reading: SkewReading) -> float:
    """Return the least back bevel, in degrees, that hides this skew."""
    return arctangent(abs(reading.ratio))
