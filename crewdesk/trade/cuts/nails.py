"""Nails through a stack of boards: how much they hold, and whether they come through."""

from dataclasses import dataclass
from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.length import DEFAULT_STEP, SIXTEENTH, rounded_down
from crewdesk.sentence import Caution, caution
from crewdesk.trade.bounds import more_than_zero

BRADS = 18
"""The gauge for cleats and boards' edges (common practice, no source)."""
SET_BELOW = SIXTEENTH
"""The depth to which a nailer sets the head, in inches (common practice, no source)."""
CLEAR = Fraction(1, 8)
"""The least wood behind the point, in inches (common practice, no source)."""
LEAST_HOLD = Fraction(3, 8)
"""The depth in the second piece below which a caution says that it holds little, in inches (common
practice, no source)."""


def _lengths(*texts: str) -> tuple[Fraction, ...]:
    return tuple(Fraction(text) for text in texts)


@dataclass(frozen=True)
class Gauge:
    """A nail's gauge: its shank's `diameter` and the `lengths` it is sold in, inches."""

    number: int
    diameter: Fraction
    lengths: tuple[Fraction, ...]


GAUGES = {
    gauge.number: gauge
    for gauge in (
        Gauge(15, Fraction("0.072"), _lengths("5/4", "3/2", "7/4", "2", "5/2")),
        Gauge(16, Fraction("0.063"), _lengths("1", "5/4", "3/2", "7/4", "2", "5/2")),
        Gauge(18, Fraction("0.048"), _lengths("5/8", "3/4", "1", "5/4", "3/2", "7/4", "2")),
        Gauge(23, Fraction("0.025"), _lengths("1/2", "5/8", "3/4", "1", "11/8")),
    )
}
"""Finish nails, brads and pins as sold (diameters as makers print them; lengths: common
practice, no source). Electricians' 18 gauge wire, .040 in, is another gauge."""


@dataclass(frozen=True)
class Stack:
    """The pieces a nail goes into, in inches, the one under its head first.

    `into_framing` adds framing behind the last of them: then it can't come through, and the nail's
    last part holds in the framing.

    Raises `BadInput`.
    """

    pieces: tuple[Fraction, ...]
    into_framing: bool = False

    def __post_init__(self) -> None:
        if not self.pieces or len(self.pieces) + self.into_framing < 2:
            raise BadInput(
                "A nail holds one piece to another. Type at least two thicknesses, the "
                "one under its head first."
            )
        for thickness in self.pieces:
            if thickness <= 0:
                raise BadInput(
                    "A piece is {thickness} in thick; it must be more than zero.",
                    thickness=thickness,
                )

    @property
    def thickness(self) -> Fraction:
        """The thickness of all pieces, without framing."""
        return sum(self.pieces, Fraction(0))


@dataclass(frozen=True)
class Nail:
    """A possible nail: `hold` in the second piece, computed with a head left flush; `left` behind
    its point, computed with a head set below, None before framing; inches."""

    gauge: Gauge
    length: Fraction
    hold: Fraction
    left: Fraction | None
    cautions: tuple[Caution, ...]


def gauge_of(number: int) -> Gauge:
    """Return the gauge of that number; raises `BadInput`."""
    if number not in GAUGES:
        raise BadInput(
            "Gauge {number} isn't known. Known are {known}.",
            number=number,
            known=tuple(map(str, GAUGES)),
        )
    return GAUGES[number]


def nail(stack: Stack, length: Fraction, gauge: int = BRADS) -> Nail:
    """Return a nail `length` inches long into `stack`, driven square to its face.

    hold = the depth past the first piece, at most the second's thickness; left = thickness - length
    - `SET_BELOW`, which must be `CLEAR` or more.

    Raises `BadInput` with the longest that fits.
    """
    made = gauge_of(gauge)
    more_than_zero("length of the nail", length)
    first = stack.pieces[0]
    if length <= first:
        raise BadInput(
            "A nail of {length} in doesn't get past the first piece, {first} in, so it "
            "holds nothing.",
            length=length,
            first=first,
        )
    left = None if stack.into_framing else stack.thickness - length - SET_BELOW
    if left is not None and left < CLEAR:
        raise BadInput(
            "A nail of {length} in comes through a stack of {stack} in, or within "
            "{clear} in of it when its head is set. At most {longest} in stays inside.",
            length=length,
            stack=stack.thickness,
            clear=CLEAR,
            longest=rounded_down(stack.thickness - SET_BELOW - CLEAR, DEFAULT_STEP.size),
        )
    second = stack.pieces[1] if len(stack.pieces) > 1 else length
    hold = min(length - first, second)
    return Nail(made, length, hold, left, _cautions(made, length, hold, stack.into_framing))


def longest_nail(stack: Stack, gauge: int = BRADS) -> Nail:
    """Return the longest nail of a gauge, as sold, that stays inside the stack.

    Raises `BadInput`, and what a nail raises.
    """
    made = gauge_of(gauge)
    most = stack.thickness - SET_BELOW - CLEAR
    fits = [
        length
        for length in made.lengths
        if length > stack.pieces[0] and (stack.into_framing or length <= most)
    ]
    if not fits:
        raise BadInput(
            "No {gauge} gauge nail as sold gets past the first piece, {first} in, and "
            "is {most} in or shorter, which is all that stays inside.",
            gauge=gauge,
            first=stack.pieces[0],
            most=most,
        )
    return nail(stack, max(fits), gauge)


def _cautions(
    made: Gauge, length: Fraction, hold: Fraction, into_framing: bool
) -> tuple[Caution, ...]:
    out = []
    if hold < LEAST_HOLD:
        out.append(
            caution(
                "It goes {hold} in into the second piece. Under {least} in is little, "
                "so glue it too.",
                hold=hold,
                least=LEAST_HOLD,
            )
        )
    if length not in made.lengths:
        out.append(
            caution(
                "A nail of {length} in isn't usual for that gauge. Usual are {sold}.",
                length=length,
                sold=made.lengths,
            )
        )
    if into_framing:
        out.append(caution("Look for wires and pipes before you nail into framing."))
    return tuple(out)
