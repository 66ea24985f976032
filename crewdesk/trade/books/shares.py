"""Sharing a whole number of seconds, or of cents, so that the shares add up to it."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.errors import BadInput
from crewdesk.length import Length, exact

Way = Literal["length", "evenly"]


class Share(NamedTuple):
    """What one piece takes of a batch's seconds."""

    key: str
    seconds: int


def shares(total: int, weights: Sequence[Length | int]) -> tuple[int, ...]:
    """`total` in whole parts as near to the weights' proportions as can be.

    The method of the largest remainder (Hamilton's): everybody gets the whole part
    of the exact share, and what is left over goes one by one to the largest
    remainders, of equal ones to the earlier. The parts sum to `total` exactly and
    none is off its exact share by a whole unit. Weights that are all zero share evenly.

    Raises `BadInput`.
    """
    if total < 0:
        raise BadInput(
            "A share of {total} can't be made; what is shared must be zero or more.", total=total
        )
    if not weights:
        raise BadInput("There is no piece to share the time among; name one or more.")
    parts = [exact(w) if isinstance(w, float) else Fraction(w) for w in weights]
    if any(part < 0 for part in parts):
        raise BadInput("A piece has a length below zero; lengths must be zero or more.")
    whole = sum(parts)
    if whole == 0:
        parts, whole = [Fraction(1)] * len(parts), Fraction(len(parts))
    fair = [total * part / whole for part in parts]
    given = [int(part) for part in fair]
    neediest = sorted(range(len(parts)), key=lambda i: (given[i] - fair[i], i))
    for i in neediest[: total - sum(given)]:
        given[i] += 1
    return tuple(given)


def batch_shares(
    seconds: int, pieces: Sequence[tuple[str, Length]], way: Way = "length"
) -> tuple[Share, ...]:
    """A batch's seconds among its pieces (key, length in inches), by length or evenly.

    Raises `BadInput`: as `shares`, and for another way.
    """
    if way not in ("length", "evenly"):
        raise BadInput("{way} is no way to share a batch's time; write length or evenly.", way=way)
    weights = [length if way == "length" else Fraction(1) for _, length in pieces]
    found = shares(seconds, weights)
    return tuple(Share(key, part) for (key, _), part in zip(pieces, found, strict=True))
