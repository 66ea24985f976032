"""Nails through a stack of boards: how much they hold, and that they don't come through."""

from dataclasses import dataclass
from fractions import Fraction

from crewdesk.length import DEFAULT_STEP, SIXTEENTH, rounded_down
from crewdesk.trade.cuts.caution import Caution, caution
from crewdesk.trade.refusal import Refusal

SET_BELOW = SIXTEENTH
"""How far a nailer sets the head below the face, in inches (common practice, no source)."""
CLEAR = Fraction(1, 8)
"""What must be left behind the point, in inches (common practice, no source)."""
LEAST_HOLD = Fraction(3, 8)
"""Less than this in the second piece is told as little, in inches (common practice, no source)."""


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

    `into_framing` adds framing behind the last of them: there is nothing to come
    through then, and the nail's last part holds in the framing.

    Raises `Refusal`: `nail-needs-two-pieces`, `nail-piece-not-positive`.
    """

    pieces: tuple[Fraction, ...]
    into_framing: bool = False

    def __post_init__(self) -> None:
        if not self.pieces or len(self.pieces) + self.into_framing < 2:
            raise Refusal("nail-needs-two-pieces")
        for thickness in self.pieces:
            if thickness <= 0:
                raise Refusal("nail-piece-not-positive", thickness=thickness)

    @property
    def thickness(self) -> Fraction:
        """All pieces together, without framing."""
        return sum(self.pieces, Fraction(0))


@dataclass(frozen=True)
class Nail:
    """A nail that may be set: `hold` in the second piece, reckoned with a head left
    flush; `left` behind its point, reckoned with a head set below, None before framing;
    inches."""

    gauge: Gauge
    length: Fraction
    hold: Fraction
    left: Fraction | None
    cautions: tuple[Caution, ...]


def gauge_of(number: int) -> Gauge:
    """The gauge of that number; raises `Refusal` `nail-gauge-unknown`."""
    if number not in GAUGES:
        raise Refusal("nail-gauge-unknown", number=number, known=tuple(map(str, GAUGES)))
    return GAUGES[number]


def nail(stack: Stack, length: Fraction, gauge: int = 18) -> Nail:
    """A nail `length` inches long into `stack`, driven square to its face.

    hold = what goes past the first piece, no more than the second is thick;
    left = thickness - length - `SET_BELOW`, which must be `CLEAR` or more.

    Raises `Refusal`: `nail-not-positive`, `nail-gauge-unknown`, `nail-too-short`,
    `nail-comes-through` with the longest that would not.
    """
    made = gauge_of(gauge)
    if length <= 0:
        raise Refusal("nail-not-positive", length=length)
    first = stack.pieces[0]
    if length <= first:
        raise Refusal("nail-too-short", length=length, first=first)
    left = None if stack.into_framing else stack.thickness - length - SET_BELOW
    if left is not None and left < CLEAR:
        raise Refusal(
            "nail-comes-through",
            length=length,
            stack=stack.thickness,
            clear=CLEAR,
            longest=rounded_down(stack.thickness - SET_BELOW - CLEAR, DEFAULT_STEP.size),
        )
    second = stack.pieces[1] if len(stack.pieces) > 1 else length
    hold = min(length - first, second)
    return Nail(made, length, hold, left, _cautions(made, length, hold, stack.into_framing))


def longest_nail(stack: Stack, gauge: int = 18) -> Nail:
    """The longest nail of a gauge, as sold, that stays inside the stack.

    Raises `Refusal` `nail-none-fits`, and what a nail raises.
    """
    made = gauge_of(gauge)
    most = stack.thickness - SET_BELOW - CLEAR
    fits = [
        length
        for length in made.lengths
        if length > stack.pieces[0] and (stack.into_framing or length <= most)
    ]
    if not fits:
        raise Refusal("nail-none-fits", gauge=gauge, first=stack.pieces[0], most=most)
    return nail(stack, max(fits), gauge)


def _cautions(
    made: Gauge, length: Fraction, hold: Fraction, into_framing: bool
) -> tuple[Caution, ...]:
    out = []
    if hold < LEAST_HOLD:
        out.append(caution("nail-holds-little", hold=hold, least=LEAST_HOLD))
    if length not in made.lengths:
        out.append(caution("nail-length-not-sold", length=length, sold=made.lengths))
    if into_framing:
        out.append(caution("nail-wires-behind"))
    return tuple(out)
