"""Where to splice boards that are too long for any stock.

Common practice, no source: a splice keeps clear of the middle of the beam, where the
eye rests, of the ends, and of the partner's splice across the beam. Splices are for
decorative boards only.

Positions are inches from end 1 of the board's square-ended blank, to the middle of the joint; the
places to keep clear of are along the hanging beam. A butt takes no wood; a scarf overlaps by
thickness x its slope, half on each side of its middle, so that each part is cut half an overlap
longer at each splice.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Literal, NamedTuple

from crewdesk.errors import BadInput
from crewdesk.trade.bounds import more_than_zero, zero_or_more

Joint = Literal["scarf", "butt"]


@dataclass(frozen=True)
class SpliceRule:
    """How a job's splices are made, lengths in inches.

    `apart` is the least distance from a splice of the partner, `from_centre` from the
    middle of the beam, `shortest` the least length of a part between its joints'
    middles, so also the least distance from where the board is full at an end. A scarf
    runs over `slope` times the board's `thickness`; 1 is the 45 degree cut of trim.

    Raises `BadInput`.
    """

    joint: Joint = "scarf"
    apart: Fraction = Fraction(24)
    from_centre: Fraction = Fraction(12)
    shortest: Fraction = Fraction(24)
    slope: Fraction = Fraction(1)
    thickness: Fraction = Fraction(3, 4)

    def __post_init__(self) -> None:
        if self.joint not in ("scarf", "butt"):
            raise BadInput(
                "{joint} isn't a known joint. A splice is a scarf or a butt.", joint=self.joint
            )
        more_than_zero("shortest part of a spliced board", self.shortest)
        for name in ("apart", "from_centre", "slope", "thickness"):
            zero_or_more(f"splices' {name}", getattr(self, name), "")

    @property
    def overlap(self) -> Fraction:
        """Return how much longer two parts are together than the length they cover."""
        return self.slope * self.thickness if self.joint == "scarf" else Fraction(0)


@dataclass(frozen=True)
class Part:
    """One part of a spliced board: from `start` to `end` inches at the joints' middles,
    and the `length` to cut, with half an overlap at each splice."""

    start: Fraction
    end: Fraction
    length: Fraction


@dataclass(frozen=True)
class Spliced:
    """A board in parts, and where its splices are; one part and none if it fits whole."""

    splices: tuple[Fraction, ...]
    parts: tuple[Part, ...]


class Along(NamedTuple):
    """A blank's place along the hanging beam, in inches.

    `start` is where its end 1 is, on the scale of `middle` (the beam's middle; None for the
    blank's own) and of the partners' splices. `slants` are how far at end 1 and end 2 the
    board's slanted end runs back from the blank's, so that it is not full there.
    """

    start: Fraction = Fraction(0)
    middle: Fraction | None = None
    slants: tuple[Fraction, Fraction] = (Fraction(0), Fraction(0))


FROM_ITS_OWN_END = Along()


def splice(
    name: str,
    length: Fraction,
    longest: Fraction,
    rule: SpliceRule | None,
    partner: Sequence[Fraction] = (),
    along: Along = FROM_ITS_OWN_END,
) -> Spliced:
    """Divide a board of `length` inches into parts that come from at most `longest` inches.

    longest: what the longest stock gives after its end trim. rule: None forbids splices. partner:
    splices of the beam's other boards along the beam. along: this board's place there. As few parts
    as the rule allows, the longest first from end 1, so that only the last one is short.

    Raises `BadInput` if the board is too long and splices are off, or if the distances leave no
    place.
    """
    if length <= longest:
        return Spliced((), (Part(Fraction(0), length, length),))
    if rule is None:
        raise BadInput(
            "The piece {piece} is {length} in long, the longest stock gives {longest} "
            "in, and this job allows no splice. Use a longer board, or allow splices.",
            piece=name,
            length=length,
            longest=longest,
        )
    places = _places(length, longest, rule, partner, along)
    if places is None:
        raise BadInput(
            "The piece {piece}, {length} in long, can't be spliced from stock of "
            "{longest} in: {from_centre} in from the center, {apart} in from the "
            "partner's and parts of {shortest} in. Use a longer board, or allow "
            "smaller distances.",
            piece=name,
            length=length,
            longest=longest,
            apart=rule.apart,
            from_centre=rule.from_centre,
            shortest=rule.shortest,
        )
    ends = (Fraction(0), *places, length)
    parts = []
    for number, (start, end) in enumerate(pairwise(ends)):
        joints = (number > 0) + (number < len(places))
        parts.append(Part(start, end, end - start + joints * rule.overlap / 2))
    return Spliced(places, tuple(parts))


def _places(
    length: Fraction,
    longest: Fraction,
    rule: SpliceRule,
    partner: Sequence[Fraction],
    along: Along,
) -> tuple[Fraction, ...] | None:
    """Return the splices with the fewest parts, or None.

    Of the places allowed, those that can be reached with k splices are a union of
    stretches; from the far end back, each splice then goes as far out as it can.
    """
    allowed = _allowed(length, rule, partner, along)
    end_part, middle_part = longest - rule.overlap / 2, longest - rule.overlap
    reached = [_cut(allowed, rule.shortest, end_part)]
    while reached[-1]:
        for at_least, at_most in reversed(reached[-1]):
            low, high = max(at_least, length - end_part), min(at_most, length - rule.shortest)
            if low <= high:
                return _back(reached, high, rule.shortest, middle_part)
        if middle_part < rule.shortest or len(reached) * rule.shortest > length:
            return None
        further = [
            stretch
            for low, high in reached[-1]
            for stretch in _cut(allowed, low + rule.shortest, high + middle_part)
        ]
        reached.append(_joined(further))
    return None


def _allowed(
    length: Fraction, rule: SpliceRule, partner: Sequence[Fraction], along: Along
) -> list[tuple[Fraction, Fraction]]:
    """Return the stretches, ends included, that are far enough from all that must be kept clear."""
    first, second = along.slants
    low, high = first + rule.shortest, length - second - rule.shortest
    free = [(low, high)] if low <= high else []
    middle = length / 2 if along.middle is None else along.middle - along.start
    kept = [
        (middle, rule.from_centre),
        *((place - along.start, rule.apart) for place in partner),
    ]
    for place, reach in kept:
        if reach == 0:
            continue
        free = [
            piece
            for low, high in free
            for piece in ((low, min(high, place - reach)), (max(low, place + reach), high))
            if piece[0] <= piece[1]
        ]
    return _joined(free)


def _cut(
    stretches: list[tuple[Fraction, Fraction]], low: Fraction, high: Fraction
) -> list[tuple[Fraction, Fraction]]:
    return [(max(a, low), min(b, high)) for a, b in stretches if max(a, low) <= min(b, high)]


def _joined(stretches: list[tuple[Fraction, Fraction]]) -> list[tuple[Fraction, Fraction]]:
    found: list[tuple[Fraction, Fraction]] = []
    for low, high in sorted(stretches):
        if found and low <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found


def _back(
    reached: list[list[tuple[Fraction, Fraction]]],
    last: Fraction,
    least: Fraction,
    most: Fraction,
) -> tuple[Fraction, ...]:
    places = [last]
    for stretches in reversed(reached[:-1]):
        here = _cut(stretches, places[0] - most, places[0] - least)
        places.insert(0, here[-1][1])
    return tuple(places)
